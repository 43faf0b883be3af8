package words

import (
	"errors"
	"fmt"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/model/fit"
	"tautline/model/skin"
	"tautline/model/unit"
)

// steps is how many values a sweep takes: enough for a smooth line.
const steps = 25

// A Sweep is a fitting asked at many pressures or strap forces. Rows holds the
// numbers.
type Sweep struct {
	Rows []fit.Row
	show sheet
}

// String is the sweep as text.
func (s Sweep) String() string { return s.show.text() }

// Mimebundle shows the sentence, the picture and the table.
func (s Sweep) Mimebundle() map[string]any { return s.show.bundle() }

// AcrossPressures asks from a lower to a higher set pressure: where it opens.
func (f Fitting) AcrossPressures(low, high unit.Pressure) Sweep {
	if !(low < high) {
		panic(fmt.Errorf("AcrossPressures goes from a lower to a higher pressure, not from %s to %s", low, high))
	}
	rows := f.rows(low, high)
	last := rows[len(rows)-1]
	return Sweep{rows, sheet{
		caution:   true,
		sentences: []string{report.OpeningSentence(last.Point), report.PointSentence(last.Point, f.on.Case.Position.Name)},
		pictures:  []*picture.Picture{picture.AcrossPressures(rows, picture.Named(f.name()))},
		tables:    []table{{caption: "Across set pressures", head: 2, rows: pressureRows(rows)}},
	}}
}

func (f Fitting) rows(low, high unit.Pressure) []fit.Row {
	c := f.model().Case
	set := fit.Settings{Straps: c.Total(), Balance: c.Straps.Upper, Size: c.Mask.Size,
		Cushion: c.Cushion.Days, Position: c.Position.Name}
	var rows []fit.Row
	for i := range steps {
		check(f.at.context().Err())
		set.Pressure = low + (high-low)*unit.Pressure(i)/(steps-1)
		p, err := f.on.At(set.Pressure)
		check(err)
		rows = append(rows, fit.Row{Settings: set, Point: p})
	}
	return rows
}

// pressureRows thins the sweep out to what is read at a glance.
func pressureRows(rows []fit.Row) [][]string {
	out := [][]string{{"set", "at mask", "vent", "leak", "contact", "at"}, {"cmH2O", "cmH2O", "L/min", "L/min", "mmHg", ""}}
	for i := 0; i < len(rows); i += (steps - 1) / 6 {
		out = append(out, append([]string{unit.Round(rows[i].Set.CmH2O())}, common(rows[i])...))
	}
	return out
}

func common(r fit.Row) []string {
	site, contact := report.Worst(r.Point)
	return []string{fmt.Sprintf("%.1f", r.Mask.CmH2O()), fmt.Sprintf("%.1f", r.Vent.LPerMin()),
		fmt.Sprintf("%.1f", r.Leak.LPerMin()), fmt.Sprintf("%.0f", contact.MmHg()), site.String()}
}

// A Statement is something that only the one who asks can decide: a limit for
// the leak, a reference line for the skin. Neither has a default.
type Statement struct {
	limit unit.Flow
	line  skin.Line
}

// limit states how much may leak.
func limit(q unit.Flow) Statement {
	if !(q > 0) {
		panic(errors.New("a limit of the leak is above zero, such as Limit(24*LPerMin)"))
	}
	return Statement{limit: q}
}

// line states the contact pressure to compare the skin's load with.
func line(p unit.Pressure) Statement {
	l, err := skin.Chosen(p)
	check(err)
	return Statement{line: l}
}

// AcrossStraps asks from a lower to a higher strap force at a set pressure:
// leak against skin. With a limit and a line stated it looks for the window.
func (f Fitting) AcrossStraps(low, high unit.Force, at unit.Pressure, stated ...Statement) Sweep {
	if !(low < high) {
		panic(fmt.Errorf("AcrossStraps goes from a lower to a higher force, not from %s to %s", low, high))
	}
	var s Statement
	for _, one := range stated {
		if one.limit > 0 {
			s.limit = one.limit
		}
		if one.line.IsSet() {
			s.line = one.line
		}
	}
	a := f.ask(low, high, at, s)
	out := Sweep{a.Rows, sheet{caution: true, tables: []table{
		{caption: "Across strap forces at " + report.Airway(at) + " set", head: 2, rows: strapRows(a.Rows)}}}}
	if s.limit > 0 && s.line.IsSet() {
		out.show.sentences = []string{report.WindowSentence(a.Question, a.Window)}
		out.show.pictures = []*picture.Picture{picture.TradeOff(a.Rows, a.Windows, s.limit,
			picture.Line{Name: s.line.Name, Pressure: s.line.Level(0)}, picture.Named(f.name()))}
		return out
	}
	out.show.sentences = []string{strapSentence(a.Rows)}
	out.show.pictures = []*picture.Picture{picture.Sweep(a.Rows, []fit.Variable{fit.ByStraps}, picture.Named(f.name()))}
	return out
}

// ask sweeps the straps. Where nothing was stated the question still wants a
// limit and a line; what follows from them is then not shown.
func (f Fitting) ask(low, high unit.Force, at unit.Pressure, s Statement) fit.Answer {
	axis := fit.Axis{Variable: fit.ByStraps}
	for i := range steps {
		axis.Numbers = append(axis.Numbers, float64(low+(high-low)*unit.Force(i)/(steps-1)))
	}
	q := fit.Question{Case: f.model().Case, Pressure: at, Range: [2]unit.Pressure{at, at},
		Limit: s.limit, Line: s.line, Between: [2]unit.Force{low, high}, Axes: []fit.Axis{axis}}
	if q.Limit == 0 {
		q.Limit = unit.LPerMin
	}
	if !q.Line.IsSet() {
		q.Line, _ = skin.Chosen(unit.KPa)
	}
	a, err := fit.Ask(f.at.context(), q)
	check(err)
	return a
}

// strapSentence sets both ends of the sweep against each other.
func strapSentence(rows []fit.Row) string {
	a, b := rows[0], rows[len(rows)-1]
	_, low := report.Worst(a.Point)
	site, high := report.Worst(b.Point)
	return fmt.Sprintf("From %s to %s of strap pull the leak goes from %s to %s, and the largest contact from %s to %s, at %s.",
		report.Pull(a.Straps), report.Pull(b.Straps), report.Some(a.Leak), report.Some(b.Leak),
		report.Contact(low), report.Contact(high), report.The(site))
}

func strapRows(rows []fit.Row) [][]string {
	out := [][]string{{"straps", "at mask", "vent", "leak", "contact", "at"}, {"N", "cmH2O", "L/min", "L/min", "mmHg", ""}}
	for i := 0; i < len(rows); i += (steps - 1) / 6 {
		out = append(out, append([]string{unit.Round(rows[i].Straps.N())}, common(rows[i])...))
	}
	return out
}
