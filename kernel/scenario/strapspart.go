package scenario

import (
	"fmt"
	"strings"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

func (r *reader) straps(top *section) {
	s, _ := top.section("straps")
	r.inputs.add(fit.StrapRange, fit.LeftRecord)
	c := &r.q.Case
	c.Straps.Left = unit.Fraction(fit.LeftRecord.SI())
	if v, ok := s.quantity("stiffness", unit.StiffnessKind, "strap stiffness"); ok {
		for i := range c.Mask.Straps {
			c.Mask.Straps[i].Stiffness = unit.Stiffness(v)
		}
	}
	forces := r.ownStraps(s)
	r.force(s, forces)
	r.shares(s, forces)
	r.q.Between = fit.UsualBetween()
	if v, ok := s.pair("between", unit.ForceKind, &fit.StrapRange); ok {
		r.q.Between = [2]unit.Force{unit.Force(v[0]), unit.Force(v[1])}
		if v[0] >= v[1] {
			s.wrong("between", "goes from %s to %s: write the lower one first", r.q.Between[0], r.q.Between[1])
		}
	}
	s.done()
}

// force reads the sum of the pulls: measured, or told by feel.
func (r *reader) force(s *section, each bool) {
	text, isText := s.values["force"].(string)
	if !s.has("force") {
		s.known = append(s.known, "force")
		if !each {
			s.missing("force", `force = "3 N", "350 g" on a hanging scale, or "loose", "snug" or "tight"`)
		}
		return
	}
	if isText && !strings.ContainsAny(text, "0123456789") {
		r.feel(s, text)
		return
	}
	if v, ok := s.quantity("force", unit.ForceKind, fit.StrapRange.Name); ok {
		r.q.Case.Straps.Pull = unit.Force(v)
	}
}

// feel takes a word for a force: a figure to start from and a broad range.
func (r *reader) feel(s *section, text string) {
	var words []string
	for _, f := range fit.Feels() {
		words = append(words, f.Words...)
	}
	w, ok := s.word("force", words)
	if !ok {
		return
	}
	for _, f := range fit.Feels() {
		for _, known := range f.Words {
			if known == w {
				r.q.Case.Straps.Pull = unit.Force(f.Usual.SI())
				r.q.Guess = [2]unit.Force{f.Low, f.High}
				*r.record(fit.StrapRange.Name) = f.Usual
			}
		}
	}
}

// shares reads how the pull is shared out.
func (r *reader) shares(s *section, each bool) {
	for _, key := range []string{"upper", "left"} {
		if each && s.has(key) {
			s.wrong(key, "and a force for each strap both share out the pull: keep one of the two")
			return
		}
	}
	const upperRecord = "upper straps' share"
	if r.record(upperRecord) == nil && s.has("upper") {
		s.wrong("upper", "has no meaning for %s, which have one pair of straps: take it out", r.q.Case.Mask.Type)
		s.known = append(s.known, "upper")
	} else if v, ok := s.quantity("upper", unit.FractionKind, upperRecord); ok {
		r.q.Case.Straps.Upper = unit.Fraction(v)
	}
	if v, ok := s.quantity("left", unit.FractionKind, fit.LeftRecord.Name); ok {
		r.q.Case.Straps.Left = unit.Fraction(v)
	}
}

// The records of a strap that a scenario places itself; ranges assumed.
var (
	strapAcross  = strapRecord("across", "mm", -150, 150, "where it holds, to the wearer's left")
	strapUp      = strapRecord("up", "mm", -150, 150, "where it holds, above the rim's middle")
	strapHeight  = strapRecord("height", "mm", 0, 100, "where it holds, above the rim's plane, away from the face")
	strapAngle   = strapRecord("angle", "deg", 0, 80, "between its pull and the mask's normal")
	strapAzimuth = strapRecord("azimuth", "deg", -360, 360, "of the rest of the pull: 0 to the wearer's left, 90 up")
	strapPull    = strapRecord("force", "N", 0, 60, "its own pull, set at zero pressure")
	strapSpring  = strapRecord("stiffness", "N/m", 50, 20000, "pull per stretch")
)

func strapRecord(name, units string, low, high float64, meaning string) *unit.Parameter {
	return &unit.Parameter{Name: name, Unit: units, Low: low, High: high, Meaning: meaning,
		Origin: unit.Assumed, Source: "range assumed"}
}

// ownStraps replaces the mask's straps by stated ones, and tells whether each
// has a force of its own.
func (r *reader) ownStraps(s *section) (forces bool) {
	list := s.sections("strap")
	if len(list) == 0 {
		return false
	}
	usual := r.q.Case.Mask.Straps[0].Stiffness
	var straps []mask.Strap
	count := 0
	r.inputs.drop(func(p unit.Parameter) bool { // where the mask's own straps hold
		return strings.HasPrefix(p.Name, "strap ") && (strings.HasSuffix(p.Name, ", across") || strings.HasSuffix(p.Name, ", up"))
	})
	for i, one := range list {
		t := r.ownStrap(one, i, usual)
		if t.Pull > 0 {
			count++
		}
		straps = append(straps, t)
	}
	if count != 0 && count != len(straps) {
		s.fault(s.path, "%d of %d straps have a force: write one for each, or for none and their sum as force", count, len(straps))
	}
	if len(straps) == 1 {
		s.fault(s.path, "one strap cannot hold a mask: state two or more")
	}
	r.q.Case.Mask.Straps = straps
	return count > 0
}

func (r *reader) ownStrap(s *section, i int, usual unit.Stiffness) mask.Strap {
	t := mask.Strap{Name: fmt.Sprint(i + 1), Stiffness: usual}
	if name, ok := s.text("name"); ok {
		t.Name = name
	}
	for _, key := range []string{"x", "y"} {
		if !s.has(key) {
			s.fault(s.path, `strap %s has no %s: write x = "30 mm" (to the wearer's left) and y = "30 mm" (up), where it holds`, t.Name, key)
		}
	}
	value := func(key string, kind *unit.Kind, record *unit.Parameter) float64 {
		v, there := s.get(key)
		if !there {
			return 0
		}
		path := below(s.path, key)
		si, ok := s.parse(path, key, v, kind)
		if !ok || !s.inRange(path, record, si) {
			return 0
		}
		p := record.With(si)
		p.Name = fmt.Sprintf("strap %s, %s", t.Name, record.Name)
		r.inputs.add(p)
		return si
	}
	t.X, t.Y = unit.Length(value("x", unit.LengthKind, strapAcross)), unit.Length(value("y", unit.LengthKind, strapUp))
	t.Height = unit.Length(value("height", unit.LengthKind, strapHeight))
	t.Angle, t.Azimuth = unit.Angle(value("angle", unit.AngleKind, strapAngle)), unit.Angle(value("azimuth", unit.AngleKind, strapAzimuth))
	if v := value("stiffness", unit.StiffnessKind, strapSpring); v > 0 {
		t.Stiffness = unit.Stiffness(v)
	}
	t.Pull = unit.Force(value("force", unit.ForceKind, strapPull))
	// A strap holds the side that it is on unless said otherwise.
	t.Upper, t.Left = t.Y >= 0, t.X > 0
	if v, ok := s.flag("upper"); ok {
		t.Upper = v
	}
	if v, ok := s.flag("left"); ok {
		t.Left = v
	}
	s.done()
	return t
}
