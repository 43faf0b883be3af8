package scenario

import (
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// typeWords are the words for each type, the usual one first.
var typeWords = map[string]mask.Type{"nasal": mask.Nasal, "oronasal": mask.Oronasal,
	"full face": mask.Oronasal, "pillows": mask.Pillows, "nasal pillows": mask.Pillows}

// typeKeys are the same in the order in which they are offered.
var typeKeys = []string{"nasal", "oronasal", "full face", "pillows", "nasal pillows"}

// mask takes a mask from the catalogue and changes in it what is stated. Type
// and size have no default; when one is missing, the reading goes on with any,
// so that what else is wrong is said too.
func (r *reader) mask(top *section) {
	s, _ := top.section("mask")
	kind, size := mask.Nasal, "medium"
	if w, ok := s.word("type", typeKeys); ok {
		kind = typeWords[w]
	} else if !s.has("type") {
		s.missing("type", `type = "nasal", "oronasal" or "pillows"`)
	}
	if w, ok := s.word("size", mask.Sizes()); ok {
		size = w
	} else if !s.has("size") {
		s.missing("size", `size = "small", "medium" or "large"`)
	}
	m, err := mask.Find(kind, size)
	if err != nil {
		s.wrong("type", "cannot be used (%v)", err)
		return
	}
	r.q.Case = fit.NewCase(m, face.Average(), 0, fit.Position{})
	r.inputs.add(mask.Parameters(kind, size)...)
	r.maskNumbers(s)
	r.rim(s)
	r.wall(s)
	r.profile(s)
	r.vent(s)
	s.done()
}

// maskNumbers reads what belongs to the mask as a whole.
func (r *reader) maskNumbers(s *section) {
	m := &r.q.Case.Mask
	if v, ok := s.quantity("contact_width", unit.LengthKind, mask.ContactWidth); ok {
		m.Width = unit.Length(v)
	}
	if v, ok := s.quantity("weight", unit.ForceKind, mask.WeightRecord); ok {
		m.Weight = unit.Force(v)
	}
}

// wall reads the cushion: the wall that is pressed and the flap at its edge.
func (r *reader) wall(of *section) {
	s, _ := of.section("cushion")
	c := &r.q.Case.Mask.Cushion
	if v, ok := s.quantity("stiffness", unit.FoundationKind, mask.WallRecord); ok {
		c.Stiffness = unit.Foundation(v)
	}
	if v, ok := s.quantity("bottoming", unit.LengthKind, mask.Bottoming); ok {
		c.Bottoming = unit.Length(v)
	}
	if v, ok := s.number("stiffening", mask.Stiffening); ok {
		c.Stiffening = v
	}
	if v, ok := s.number("crushing", mask.CrushDepth); ok {
		c.Crushing = v
	}
	if v, ok := s.quantity("flap_share", unit.FractionKind, mask.FlapShare); ok {
		c.FlapShare = unit.Fraction(v)
	}
	if v, ok := s.quantity("flap_reach", unit.LengthKind, mask.FlapReach); ok {
		c.FlapReach = unit.Length(v)
	}
	s.done()
}

// profile reads what the mask leaves on an average face.
func (r *reader) profile(mask *section) {
	s, _ := mask.section("profile")
	s.lengthsBySite("profile", func(site face.Site, v unit.Length) { r.q.Case.Mask.Profile[site] = v })
	s.done()
}
