package scenario

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tautline/model/explain"
	"tautline/model/fit"
	"tautline/model/unit"
)

// take reads one row. The checks come in the order in which a person would
// want to hear of them: whose row it is, then what stands in it.
func (r *clinicReader) take(row row) error {
	if strings.EqualFold(strings.Join(row.cells, "|"), strings.Join(r.header.cells, "|")) {
		return problem(r.name, row.line, "a second header stands here: two patients in one file? Keep one in each file")
	}
	if err := r.same(row); err != nil {
		return err
	}
	if err := r.figure(row); err != nil {
		return err
	}
	x, err := r.numbers(row)
	if err != nil {
		return err
	}
	if x.Time, x.HasTime, err = r.when(row); err != nil {
		return err
	}
	if x.Posture, err = r.lying(row); err != nil {
		return err
	}
	r.c.Readings = append(r.c.Readings, x)
	return nil
}

// numbers reads pressure and flow and holds them to what machines do.
func (r *clinicReader) numbers(row row) (x explain.Reading, err error) {
	p, err := r.number(row, r.pressure)
	if err != nil {
		return x, err
	}
	q, err := r.number(row, r.flow)
	if err != nil {
		return x, err
	}
	if p < 0 || q < 0 && r.c.Which != explain.Unintentional {
		return x, problem(r.name, row.line, "pressures and leaks are zero or more, save an unintentional leak that a machine worked out: look at this line, and whether its header should say unintentional_leak")
	}
	if err := explain.PressureRecord.Check(p); err != nil {
		return x, problem(r.name, row.line, "%v: is the unit in the header (%s) the right one?", err, r.columns[r.pressure].head)
	}
	if err := explain.FlowRecord.Check(q); err != nil {
		return x, problem(r.name, row.line, "%v: is the unit in the header (%s) the right one?", err, r.columns[r.flow].head)
	}
	if q < 0 {
		r.c.Notes = append(r.c.Notes, fmt.Sprintf("%s, line %d: the leak is below zero, so the machine took off more than left: look at the mask vent and at the mask setting", r.name, row.line))
	}
	return explain.Reading{Pressure: unit.Pressure(p), Flow: unit.Flow(q)}, nil
}

// cell gives what stands in a column; nothing when there is none.
func (r row) cell(column int) string {
	if column < 0 || column >= len(r.cells) {
		return ""
	}
	return r.cells[column]
}

// same holds a file to one person.
func (r *clinicReader) same(row row) error {
	who := row.cell(r.person)
	if who != "" && r.who != "" && who != r.who {
		return problem(r.name, row.line, "two patients in one file: another %s begins here; keep one in each file", r.columns[r.person].name)
	}
	r.who = max(r.who, who)
	return nil
}

// figure holds a file to one statistic: a mean and a percentile are not points
// of one curve.
func (r *clinicReader) figure(row row) error {
	text := row.cell(r.statistic)
	if text == "" {
		return nil
	}
	t, _ := FindTelling("statistic")
	var q explain.Question
	if err := t.Tell(&q, text); err != nil {
		return problem(r.name, row.line, "%v", err)
	}
	if s := q.Statistic; s != r.c.Statistic && r.c.Statistic != explain.StatisticNotSaid {
		return problem(r.name, row.line, "statistics are mixed: %q here, another above; keep the lines of one of them", shortened(text))
	}
	r.c.Statistic = q.Statistic
	return nil
}

// lying reads a position; one of the side is all that matters to a leak's story.
func (r *clinicReader) lying(row row) (explain.Posture, error) {
	p, ok := ParsePosture(row.cell(r.posture))
	if !ok {
		return p, problem(r.name, row.line, "the position %q is not known; say sitting, on the back, on the left side, on the right side, or leave it empty",
			shortened(row.cell(r.posture)))
	}
	return p, nil
}

// ParsePosture reads how a person lay at a reading; false when it is no
// position.
func ParsePosture(text string) (explain.Posture, bool) {
	word := strings.ToLower(strings.TrimSpace(text))
	switch {
	case word == "" || likewise[word] == noIdea || word == noIdea:
		return explain.PostureUnknown, true
	case slices.Contains([]string{"side", "on the side", "left", "right", "left side", "right side", "on left side", "on right side"}, word):
		return explain.OnSide, true
	case slices.Contains([]string{"back", "supine", "upright", "not on the side"}, word):
		return explain.NotOnSide, true
	}
	if _, ok := fit.FindPosition(word); !ok {
		return explain.PostureUnknown, false
	}
	if strings.Contains(word, "side") {
		return explain.OnSide, true
	}
	return explain.NotOnSide, true
}

// TellPosition says how the person lay at all readings that do not say it
// themselves.
func TellPosition(q *explain.Question, text string) error {
	p, ok := ParsePosture(text)
	if !ok {
		return fmt.Errorf("position %q is not known; say sitting, on the back, on the left side, on the right side or don't know", shortened(text))
	}
	q.Readings = slices.Clone(q.Readings)
	for i := range q.Readings {
		if q.Readings[i].Posture == explain.PostureUnknown {
			q.Readings[i].Posture = p
		}
	}
	return nil
}

// halfDay tells a night that passes midnight from times that run backwards.
const halfDay = 12 * 3600

// when reads the time of a reading, as seconds since the first: a number with
// the unit of the header, or a clock.
func (r *clinicReader) when(row row) (unit.Time, bool, error) {
	text := row.cell(r.time)
	if text == "" {
		return 0, false, nil
	}
	now, isClock := clock(text)
	if !isClock {
		if r.columns[r.time].kind != unit.TimeKind {
			return 0, false, problem(r.name, row.line, "the time %q is neither a clock such as 23:10 nor has the header a unit, such as time_min", shortened(text))
		}
		var err error
		if now, err = r.number(row, r.time); err != nil {
			return 0, false, err
		}
	}
	if len(r.c.Readings) == 0 {
		r.started, r.clock = now, now
		return 0, true, nil
	}
	if isClock && r.clock-now > halfDay {
		r.started -= 2 * halfDay
		r.clock -= 2 * halfDay
	}
	if now < r.clock {
		return 0, false, problem(r.name, row.line, "times run backwards here: two files in one, or lines in another order? Sort them by time, or keep one file")
	}
	r.clock = now
	return unit.Time(now - r.started), true, nil
}

// clock reads 23:10 or 23:10:30 as seconds.
func clock(text string) (float64, bool) {
	parts := strings.Split(text, ":")
	if len(parts) < 2 || len(parts) > 3 {
		return 0, false
	}
	sum, unit := 0.0, 3600.0
	for i, p := range parts {
		n, err := strconv.Atoi(p)
		if err != nil || n < 0 || n > 59 || i == 0 && n > 23 {
			return 0, false
		}
		sum, unit = sum+float64(n)*unit, unit/60
	}
	return sum, true
}
