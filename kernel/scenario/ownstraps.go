package scenario

import (
	"fmt"
	"strings"

	"tautline/model/mask"
	"tautline/model/unit"
)

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

// strapRecord makes the record of one number of a stated strap.
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

// ownStrap reads one strap. It holds the side that it is on unless said
// otherwise, with the stiffness that the mask's own straps have.
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
		return s.strapNumber(t.Name, key, kind, record)
	}
	t.X, t.Y = unit.Length(value("x", unit.LengthKind, strapAcross)), unit.Length(value("y", unit.LengthKind, strapUp))
	t.Height = unit.Length(value("height", unit.LengthKind, strapHeight))
	t.Angle, t.Azimuth = unit.Angle(value("angle", unit.AngleKind, strapAngle)), unit.Angle(value("azimuth", unit.AngleKind, strapAzimuth))
	if v := value("stiffness", unit.StiffnessKind, strapSpring); v > 0 {
		t.Stiffness = unit.Stiffness(v)
	}
	t.Pull = unit.Force(value("force", unit.ForceKind, strapPull))
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

// strapNumber reads one number of a strap and lists it among the inputs under
// the strap's name; what is not stated is zero.
func (s *section) strapNumber(strap, key string, kind *unit.Kind, record *unit.Parameter) float64 {
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
	p.Name = fmt.Sprintf("strap %s, %s", strap, record.Name)
	s.add(p)
	return si
}
