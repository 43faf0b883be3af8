package scenario

import (
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// An Outcome is what came of one mask at one strap force.
type Outcome struct {
	Type mask.Type
	Size string
	Pull unit.Force // 0 when not known
	What string     // one of OutcomeWords
}

// OutcomeWords are what can come of a mask, as a therapist says it.
func OutcomeWords() []string {
	return []string{"comfortable", "leaks at the bridge", "leaks at the nose sides", "leaks at the cheeks", "leaks at the lip",
		"leaks at the chin", "leaks at the nostrils", "leaks somewhere", "sore", "mouth leak", "will not wear it"}
}

// outcomes reads what was tried, oldest first.
func (r *patientReader) outcomes(top *section) {
	for _, s := range top.sections("outcome") {
		o := Outcome{}
		o.Type, o.Size = s.maskChosen()
		if v, ok := s.unlessUnknown("straps", unit.ForceKind, &fit.StrapRange); ok {
			o.Pull = unit.Force(v)
		}
		var ok bool
		if o.What, ok = s.word("what", OutcomeWords()); !ok && !s.has("what") {
			s.missing("what", `what = "leaks at the bridge", "sore" or another outcome`)
		}
		s.done()
		r.p.Outcomes = append(r.p.Outcomes, o)
	}
}

// maskChosen reads a type and a size of the catalogue; neither has a default.
func (s *section) maskChosen() (kind mask.Type, size string) {
	if w, ok := s.word("type", typeKeys); ok {
		kind = typeWords[w]
	} else if !s.has("type") {
		s.missing("type", `type = "nasal", "oronasal" or "pillows"`)
	}
	size, ok := s.word("size", mask.Sizes())
	if !ok && !s.has("size") {
		s.missing("size", `size = "small", "medium" or "large"`)
	}
	return kind, size
}
