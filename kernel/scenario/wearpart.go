package scenario

import (
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// careWords are how a cushion is cared for, the usual way first.
var careWords = []string{"weekly", "daily", "rarely"}

// cushion reads how long the cushion has been used and how it was cared for.
func (r *reader) cushion(top *section) {
	s, _ := top.section("cushion")
	r.inputs.add(mask.WearLimit, mask.WearTime, mask.WearSoftening, mask.WearShare, mask.WearReach)
	if v, ok := s.quantity("age", unit.TimeKind, mask.WearLimit.Name); ok {
		r.q.Case.Cushion.Days = unit.Time(v)
	}
	if w, ok := s.word("care", careWords); ok {
		r.q.Case.Cushion.Care = map[string]mask.Care{"weekly": mask.CareWeekly, "daily": mask.CareDaily, "rarely": mask.CareRarely}[w]
	}
	s.done()
}

// positionNames lists the positions that have a name.
func positionNames() []string {
	var names []string
	for _, p := range fit.Positions() {
		names = append(names, p.Name)
	}
	return names
}

// posture has no default: a mask that seals sitting may leak lying, and whoever
// forgot to say would be told the wrong one. Its numbers come with the position,
// and each may be stated otherwise.
func (r *reader) posture(top *section) {
	s, _ := top.section("posture")
	p := &r.q.Case.Position
	if w, ok := s.word("position", positionNames()); ok {
		*p, _ = fit.FindPosition(w)
	} else if !s.has("position") {
		s.missing("position", `position = "on the back", "sitting", "on the left side" or "on the right side"`)
	}
	r.inputs.add(p.Parameters()...)
	if v, ok := s.quantity("pressing", unit.FractionKind, "weight pressing"); ok {
		p.Pressing = unit.Fraction(v)
	}
	if v, ok := s.quantity("hanging", unit.FractionKind, "weight hanging on the bridge"); ok {
		p.Hanging = unit.Fraction(v)
	}
	if v, ok := s.quantity("slackening", unit.FractionKind, "strap slackening"); ok {
		p.Slackening = unit.Fraction(v)
	}
	if v, ok := s.quantity("jaw_back", unit.LengthKind, "jaw falling back"); ok {
		p.JawBack = unit.Length(v)
	}
	if v, ok := s.quantity("shove", unit.ForceKind, "bed pillow's push"); ok {
		p.Shove = unit.Force(v)
	}
	if id, ok := s.word("shove_site", siteIDs(r.q.Case.Mask.Sites())); ok {
		p.ShoveSite, _ = face.ParseSite(id)
	}
	s.done()
}
