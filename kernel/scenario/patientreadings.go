package scenario

import (
	"fmt"

	"tautline/model/explain"
	"tautline/model/unit"
)

// readings takes a CSV file beside this one, or points that stand here.
func (r *patientReader) readings(s *section) {
	c := Clinic{File: r.file}
	switch name, isFile := s.text("file"); {
	case isFile && s.has("points"):
		s.wrong("points", "and file both give the readings: keep one of the two")
		return
	case isFile:
		c = r.clinicFile(s, name)
	case !s.has("file"):
		c.Readings = r.points(s)
	}
	s.known = append(s.known, "points")
	q := &r.p.Leak
	q.Readings, q.Which, q.Statistic, r.p.Notes = c.Readings, c.Which, c.Statistic, c.Notes
	for _, key := range []string{"flow", "statistic", "stepped_by"} {
		t, _ := FindTelling(key)
		r.agree(s, key, c)
		r.tell(s, t)
	}
	if text, ok := s.text("position"); ok {
		if err := TellPosition(q, text); err != nil {
			s.fault(below(s.path, "position"), "%v", err)
		}
	}
	if q.Which == explain.WhichNotSaid && !s.has("flow") {
		s.missing("flow", `flow = "total" or "unintentional": which of the two was read`)
	}
	r.signs(s)
}

// agree refuses a file that says one thing and a key that says another.
func (r *patientReader) agree(s *section, key string, c Clinic) {
	var q explain.Question
	text, isText := s.values[key].(string)
	t, _ := FindTelling(key)
	if !isText || t.Tell(&q, text) != nil {
		return
	}
	if c.Which != 0 && q.Which != 0 && c.Which != q.Which || c.Statistic != 0 && q.Statistic != 0 && c.Statistic != q.Statistic {
		s.wrong(key, "says %q, and the header of %s says otherwise: put right the one that is wrong", text, c.File)
	}
}

func (r *patientReader) clinicFile(s *section, name string) Clinic {
	if r.open == nil {
		s.wrong("file", "names %q, and no file can be read here: write points = [[\"8 cmH2O\", \"31 L/min\"], ...]", shortened(name))
		return Clinic{}
	}
	data, err := r.open(name)
	if err == nil {
		var c Clinic
		if c, err = Readings(name, data); err == nil {
			return c
		}
	}
	s.wrong("file", ": %v", err)
	return Clinic{}
}

// points reads readings that stand in the file itself: pressure, flow, and if it
// is known the position.
func (r *patientReader) points(s *section) (out []explain.Reading) {
	list, ok := s.list("points")
	if !ok {
		if !s.has("points") {
			s.missing("points", `file = "clinic.csv", or points = [["8 cmH2O", "31 L/min"], ["12 cmH2O", "44 L/min"]]`)
		}
		return nil
	}
	if len(list) > mostReadings {
		s.wrong("points", "are beyond %d: give one mean or median for each pressure", mostReadings)
		return nil
	}
	for i, item := range list {
		if x, ok := r.point(s, item, fmt.Sprintf("%s[%d]", below(s.path, "points"), i)); ok {
			out = append(out, x)
		}
	}
	return out
}

func (r *patientReader) point(s *section, item any, path string) (x explain.Reading, ok bool) {
	parts, isList := item.([]any)
	if !isList || len(parts) < 2 || len(parts) > 3 {
		r.fault(path, `a point is a pressure and a flow, such as ["8 cmH2O", "31 L/min"], and if known the position`)
		return x, false
	}
	p, ok := r.parse(path, "pressure", parts[0], unit.PressureKind)
	if !ok || !s.inRange(path, &explain.PressureRecord, p) {
		return x, false
	}
	q, ok := r.parse(path, "flow", parts[1], unit.FlowKind)
	if !ok || !s.inRange(path, &explain.FlowRecord, q) {
		return x, false
	}
	x = explain.Reading{Pressure: unit.Pressure(p), Flow: unit.Flow(q)}
	if len(parts) == 3 {
		text, _ := parts[2].(string)
		if x.Posture, ok = ParsePosture(text); !ok {
			r.fault(path, "the position %q is not known; say sitting, on the back or on the side", shortened(text))
		}
	}
	return x, ok
}

// signs refuses a total flow below zero once it is known which flow it is.
func (r *patientReader) signs(s *section) {
	for _, x := range r.p.Leak.Readings {
		if x.Flow < 0 && r.p.Leak.Which == explain.TotalFlow {
			s.wrong("flow", "says total, and a flow of %s is below zero: look at that reading", x.Flow)
			return
		}
	}
}
