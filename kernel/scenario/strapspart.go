package scenario

import (
	"strings"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// straps reads how the straps are set, on the face, at zero pressure. The force
// has no default; it may be measured or told by feel.
func (r *reader) straps(top *section) {
	s, _ := top.section("straps")
	r.inputs.add(fit.StrapRange, fit.LeftRecord)
	if s.has("tabs") {
		r.inputs.add(fit.TabRange)
	}
	c := &r.q.Case
	c.Straps.Left = unit.Fraction(fit.LeftRecord.SI())
	if v, ok := s.quantity("stiffness", unit.StiffnessKind, mask.StrapSpring); ok {
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
	if r.tabs(s, each) {
		return
	}
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

// tabs reads how far every strap was taken in from where the mask just touched,
// and lets the model say what that pulls: a range, since headgear differs.
func (r *reader) tabs(s *section, each bool) bool {
	in, ok := s.quantity("tabs", unit.LengthKind, fit.TabRange.Name)
	if !ok {
		return s.has("tabs") // said already what is wrong with it
	}
	given := s.has("force")
	s.known = append(s.known, "force")
	if each || given {
		s.wrong("tabs", "and force both say how tight the straps are: keep one of the two")
		return true
	}
	if len(r.problems) > 0 {
		return true // mask and face must be whole for this
	}
	pull, err := fit.PullForTabs(r.q.Case, unit.Length(in))
	if err != nil {
		s.wrong("tabs", "cannot be used (%v)", err)
		return true
	}
	r.q.Case.Straps.Pull = pull
	r.q.Guess = [2]unit.Force{pull / fit.TabBand, pull * fit.TabBand}
	return true
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

// shares reads how the pull is shared out. Shares beside a force for each strap
// would contradict it.
func (r *reader) shares(s *section, each bool) {
	for _, key := range []string{"upper", "left"} {
		if each && s.has(key) {
			s.wrong(key, "and a force for each strap both share out the pull: keep one of the two")
			return
		}
	}
	if r.record(mask.UpperPart) == nil && s.has("upper") {
		s.wrong("upper", "has no meaning for %s, which have one pair of straps: take it out", r.q.Case.Mask.Type)
		s.known = append(s.known, "upper")
	} else if v, ok := s.quantity("upper", unit.FractionKind, mask.UpperPart); ok {
		r.q.Case.Straps.Upper = unit.Fraction(v)
	}
	if v, ok := s.quantity("left", unit.FractionKind, fit.LeftRecord.Name); ok {
		r.q.Case.Straps.Left = unit.Fraction(v)
	}
}
