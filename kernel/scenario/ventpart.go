package scenario

import (
	"fmt"

	"tautline/model/gas"
	"tautline/model/unit"
	"tautline/model/vent"
)

// vent takes the mask's own vent, a curve's file, points, or holes.
func (r *reader) vent(mask *section) {
	var v vent.Vent
	ok := false
	if text, isText := mask.values["vent"].(string); isText {
		mask.known = append(mask.known, "vent")
		v, ok = r.ventFile(text)
	} else if s, there := mask.section("vent"); there {
		v, ok = r.ventTable(s)
	}
	if ok {
		r.inputs.dropStarting("vent flow at ")
		r.q.Case.Mask.Vent = v
		for _, p := range v.Points() {
			r.inputs.add(unit.Parameter{Name: "vent flow at " + p.Pressure.String(), Unit: "L/min", Value: p.Flow.LPerMin(),
				Low: 0, High: 250, Meaning: "point of the vent's curve", Origin: unit.Stated})
		}
	}
}

// ventFile reads a curve or a file of holes. What is wrong in that file keeps its
// own name and line.
func (r *reader) ventFile(name string) (vent.Vent, bool) {
	if r.open == nil {
		r.fault("mask.vent", "vent names the file %q, and no file can be read here: write the points below [mask.vent]", shortened(name))
		return vent.Vent{}, false
	}
	data, err := r.open(name)
	if err != nil {
		r.fault("mask.vent", "vent: %v", err)
		return vent.Vent{}, false
	}
	v, err := Vent(name, data, gas.AtBench())
	if err != nil {
		r.fault("mask.vent", "vent: %v", err)
	}
	return v, err == nil
}

// ventTable reads a vent that is stated in the scenario itself.
func (r *reader) ventTable(s *section) (v vent.Vent, ok bool) {
	s.known = append(s.known, "points", "holes", "diameter", "length")
	switch {
	case s.has("points") && s.has("holes"):
		s.wrong("points", "and holes both describe the vent: keep one of the two")
	case s.has("points"):
		v, ok = r.ventPoints(s)
	default:
		v, ok = r.ventHoles(s)
	}
	if share, stated := s.share("blocked"); stated && ok {
		v = v.Blocked(unit.Fraction(share))
	}
	s.done()
	return v, ok
}

// share reads a share between nothing and everything.
func (s *section) share(key string) (float64, bool) {
	v, there := s.get(key)
	if !there {
		return 0, false
	}
	share, ok := s.parse(below(s.path, key), key, v, unit.FractionKind)
	if ok && (share < 0 || share > 1) {
		s.wrong(key, "is %s: a share lies between 0 and 100 %%", unit.Fraction(share))
		ok = false
	}
	return share, ok
}

// ventPoints reads a curve; like one in a file it is taken to be measured at the
// bench.
func (r *reader) ventPoints(s *section) (v vent.Vent, ok bool) {
	list, ok := s.list("points")
	if !ok {
		return v, false
	}
	var points []vent.Point
	for i, item := range list {
		path := fmt.Sprintf("%s.points[%d]", s.path, i)
		two, isList := item.([]any)
		if !isList || len(two) != 2 {
			r.fault(path, `a point of the vent is a pressure with a flow: write ["12 cmH2O", "35 L/min"]`)
			return v, false
		}
		p, okP := r.parse(path, "points", two[0], unit.PressureKind)
		q, okQ := r.parse(path, "points", two[1], unit.FlowKind)
		if !okP || !okQ {
			return v, false
		}
		points = append(points, vent.Point{Pressure: unit.Pressure(p), Flow: unit.Flow(q)})
	}
	v, err := vent.FromPoints(points, gas.AtBench())
	if err != nil {
		s.wrong("points", "make no vent curve: %v", err)
	}
	return v, err == nil
}

// ventHoles reads a geometry; its three numbers belong together.
func (r *reader) ventHoles(s *section) (v vent.Vent, ok bool) {
	var h vent.Holes
	for _, key := range []string{"holes", "diameter", "length"} {
		if !s.has(key) {
			s.missing(key, `holes = 20, diameter = "1.1 mm" and length = "2 mm", or points`)
			return v, false
		}
	}
	records := vent.Parameters()
	r.inputs.add(records[len(records)-3:]...)
	n, okN := s.number("holes", "number of holes")
	d, okD := s.quantity("diameter", unit.LengthKind, "hole diameter")
	l, okL := s.quantity("length", unit.LengthKind, "hole length")
	if !okN || !okD || !okL {
		return v, false
	}
	if n != float64(int(n)) {
		s.wrong("holes", "is %v: write a whole number", n)
		return v, false
	}
	h.Count, h.Diameter, h.Length = int(n), unit.Length(d), unit.Length(l)
	v, err := vent.FromGeometry(h)
	if err != nil {
		s.wrong("holes", "make no vent: %v", err)
	}
	return v, err == nil
}
