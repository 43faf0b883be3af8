package scenario

import (
	"strings"

	"tautline/model/fit"
	"tautline/model/skin"
	"tautline/model/unit"
)

// pressure reads the pressure looked at and the range of the therapy. Both are
// needed: a mask that seals at the one is judged at the highest of the other.
func (r *reader) pressure(top *section) {
	s, _ := top.section("pressure")
	r.inputs.add(fit.SetPressureRange)
	if v, ok := s.quantity("set", unit.PressureKind, fit.SetPressureRange.Name); ok {
		r.q.Pressure = unit.Pressure(v)
	} else if !s.has("set") {
		s.missing("set", `set = "12 cmH2O", the pressure at the machine`)
	}
	r.levels(s)
	r.therapyRange(s)
	s.done()
}

// therapyRange reads the lowest and the highest pressure that will be met.
func (r *reader) therapyRange(s *section) {
	low, high := fit.SetPressureRange, fit.SetPressureRange
	low.Name, low.Meaning = "therapy range, low", "lowest set pressure that will be met"
	high.Name, high.Meaning = "therapy range, high", "highest set pressure that will be met"
	if v, ok := s.pair("range", unit.PressureKind, &fit.SetPressureRange); ok {
		r.q.Range = [2]unit.Pressure{unit.Pressure(v[0]), unit.Pressure(v[1])}
		r.inputs.add(low.With(v[0]), high.With(v[1]))
		if v[0] > v[1] || v[0] <= 0 {
			s.wrong("range", "goes from %s to %s: write the lower one first, above zero", r.q.Range[0], r.q.Range[1])
		}
	} else if !s.has("range") {
		s.missing("range", `range = ["4 cmH2O", "20 cmH2O"], the lowest and the highest pressure of the therapy`)
	}
}

// limit reads what the answer is held against. There is no usual leak limit and
// no usual line for the skin, so neither has a default.
func (r *reader) limit(top *section) {
	s, _ := top.section("limit")
	r.inputs.add(fit.LimitRecord)
	if v, ok := s.quantity("leak", unit.FlowKind, fit.LimitRecord.Name); ok {
		r.q.Limit = unit.Flow(v)
	} else if !s.has("leak") {
		s.missing("leak", `leak = "24 L/min", the unintentional leak that is still let pass`)
	}
	r.line(s)
	if s.has("worn") {
		r.inputs.add(fit.WornRecord)
	}
	if v, ok := s.quantity("worn", unit.TimeKind, fit.WornRecord.Name); ok {
		r.q.Worn = unit.Time(v)
	} else if r.q.Line.TakesTime() && !s.has("worn") {
		s.missing("worn", `worn = "7 h": the line "`+r.q.Line.Name+`" falls with the time worn`)
	}
	s.done()
}

// line reads a reference line: one's own pressure, or a published line's name.
// A text without any digit is taken for a name, so that a slip in a name is
// answered with names.
func (r *reader) line(s *section) {
	var names []string
	for _, l := range skin.Lines() {
		names = append(names, l.Name)
	}
	text, isText := s.values["line"].(string)
	switch {
	case !s.has("line"):
		s.known = append(s.known, "line")
		s.missing("line", `line = "70 mmHg", or a published one: "`+strings.Join(names, `", "`)+`"`)
	case isText && !strings.ContainsAny(text, "0123456789"):
		if w, ok := s.word("line", names); ok {
			r.q.Line, _ = skin.FindLine(w)
			r.inputs.add(skin.RecordsOf(w)...)
		}
	default:
		r.inputs.add(fit.LineRecord)
		v, ok := s.quantity("line", unit.PressureKind, fit.LineRecord.Name)
		if !ok {
			return
		}
		var err error
		if r.q.Line, err = skin.Chosen(unit.Pressure(v)); err != nil {
			s.wrong("line", "cannot be used: %v", err)
		}
	}
}
