package scenario

import (
	"fmt"

	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/unit"
)

// rim takes the mask's own rim, an oval of another size, or a curve through
// points, with its sites where they are stated.
func (r *reader) rim(mask *section) {
	s, there := mask.section("rim")
	if !there {
		return
	}
	r.oval(s)
	r.rimPoints(s)
	r.rimSites(s)
	s.done()
	if len(r.problems) == 0 {
		r.drawRims(s)
	}
}

func (r *reader) oval(s *section) {
	rims := r.q.Case.Mask.Rims
	if v, ok := s.quantity("width", unit.LengthKind, "rim width"); ok {
		for i := range rims {
			rims[i].Width = unit.Length(v)
		}
	}
	if v, ok := s.quantity("height", unit.LengthKind, "rim height"); ok {
		for i := range rims {
			rims[i].Height = unit.Length(v)
		}
	}
	if v, ok := s.number("taper", mask.Taper); ok {
		for i := range rims {
			rims[i].Taper = v
		}
	}
	if v, ok := s.quantity("apart", unit.LengthKind, mask.Apart); ok {
		rims[0].CentreX, rims[1].CentreX = unit.Length(v/2), unit.Length(-v/2)
	}
}

var rimPoint = unit.Parameter{Name: "rim point", Unit: "mm", Low: -120, High: 120,
	Meaning: "corner of the rim's curve", Origin: unit.Assumed, Source: "range assumed"}

func (r *reader) rimPoints(s *section) {
	list, ok := s.list("points")
	if !ok {
		return
	}
	switch rims := r.q.Case.Mask.Rims; {
	case len(rims) > 1:
		s.wrong("points", "describe one closed curve, and %s have two: state width, height and apart instead", r.q.Case.Mask.Type)
	case s.has("width") || s.has("height") || s.has("taper"):
		s.wrong("points", "and width, height or taper both describe the rim: keep one of the two")
	default:
		rims[0].Points = r.readPoints(s, list)
		r.inputs.dropNamed("rim width", "rim height", mask.Taper)
		for i, p := range rims[0].Points {
			for k, across := range []string{"across", "up"} {
				one := rimPoint
				one.Name = fmt.Sprintf("rim point %d, %s", i+1, across)
				r.inputs.add(one.With(float64(p[k])))
			}
		}
	}
}

func (r *reader) readPoints(s *section, list []any) (points [][2]unit.Length) {
	for i, item := range list {
		path := fmt.Sprintf("%s.points[%d]", s.path, i)
		two, isList := item.([]any)
		if !isList || len(two) != 2 {
			r.fault(path, `a point of the rim is how far left and how far up: write ["0 mm", "56 mm"]`)
			return nil
		}
		var p [2]unit.Length
		for k := range p {
			v, ok := r.parse(path, "points", two[k], unit.LengthKind)
			if !ok || !r.inRange(path, &rimPoint, v) {
				return nil
			}
			p[k] = unit.Length(v)
		}
		points = append(points, p)
	}
	if turning(points) < 0 {
		s.wrong("points", "go round the wrong way: from the bridge towards the wearer's left, where the first number is positive")
		return nil
	}
	return points
}

// turning is twice the area that the points enclose, positive when they go
// round from the top towards the wearer's left.
func turning(points [][2]unit.Length) (sum unit.Length) {
	for i, a := range points {
		b := points[(i+1)%len(points)]
		sum += b[0]*a[1] - a[0]*b[1]
	}
	return sum
}

// rimSites replaces the landmarks by those stated.
func (r *reader) rimSites(s *section) {
	list := s.sections("sites")
	if list == nil {
		return
	}
	if len(r.q.Case.Mask.Rims) > 1 {
		s.wrong("sites", "of %s are their two nostrils: take the key out", r.q.Case.Mask.Type)
		return
	}
	var marks []mask.Landmark
	for _, one := range list {
		id, ok := one.word("site", face.SiteIDs())
		if !ok && !one.has("site") {
			one.fault(one.path, `a site of the rim needs its name: write {site = "bridge", angle = "0 deg"}`)
		}
		site, _ := face.ParseSite(id)
		angle, there := one.get("angle")
		if !there {
			one.fault(one.path, `the place of the %s is missing: write {site = %q, angle = "0 deg"}, 0 at the top, 90 on the wearer's left`, site, id)
		} else if v, okA := one.parse(one.path+".angle", "angle", angle, unit.AngleKind); ok && okA {
			marks = append(marks, mask.Landmark{Site: site, Angle: unit.Angle(v)})
		}
		one.done()
	}
	m := &r.q.Case.Mask
	m.Rims[0].Landmarks = marks
	for _, site := range m.Sites() { // sites that the type does not have
		if name := "profile, " + site.String(); r.record(name) == nil {
			r.inputs.add(unit.Parameter{Name: name, Unit: "mm", Low: -20, High: 20, Origin: unit.Assumed,
				Meaning: "mismatch left on an average face", Source: "nothing stated"})
		}
	}
}

// drawRims tries the rim out, so that what is wrong with it is said here.
func (r *reader) drawRims(s *section) {
	c := &r.q.Case
	for i := range c.Mask.Rims {
		_, err := c.Mask.Rims[i].Outline(c.Segments, c.Mask.Width)
		if err != nil {
			s.fault(s.path, "the rim cannot be used: %v", err)
			return
		}
	}
}
