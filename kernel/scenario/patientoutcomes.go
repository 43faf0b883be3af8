package scenario

import (
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/plan"
	"tautline/model/unit"
)

// outcomes are what can come of a mask, as a therapist says it. A place makes a
// leak one of the two that a plan tells apart.
var outcomes = map[string]plan.Outcome{
	"comfortable": plan.Comfortable, "sore": plan.Sore, "mouth leak": plan.MouthLeak, "will not wear it": plan.NotWorn,
	"leaks at the bridge": plan.LeaksAtBridge, "leaks at the nose sides": plan.LeaksAtBridge,
	"leaks at the cheeks": plan.LeaksElsewhere, "leaks at the lip": plan.LeaksElsewhere, "leaks at the chin": plan.LeaksElsewhere,
	"leaks at the corners": plan.LeaksElsewhere, "leaks at the nostrils": plan.LeaksElsewhere, leaksSomewhere: plan.LeaksElsewhere,
}

// leaksSomewhere is a leak whose place nobody saw.
const leaksSomewhere = "leaks somewhere"

// OutcomeWords are the outcomes in the order in which they are offered.
func OutcomeWords() []string {
	return []string{"comfortable", "leaks at the bridge", "leaks at the nose sides", "leaks at the cheeks", "leaks at the lip",
		"leaks at the chin", "leaks at the corners", "leaks at the nostrils", leaksSomewhere, "sore", "mouth leak", "will not wear it"}
}

// ParseOutcome gives what a word tells of a visit; false when it is not known.
func ParseOutcome(word string) (what plan.Outcome, anywhere, ok bool) {
	what, ok = outcomes[word]
	return what, word == leaksSomewhere, ok
}

// outcomes reads what was tried, oldest first.
func (r *patientReader) outcomes(top *section) {
	for _, s := range top.sections("outcome") {
		o := plan.Visit{}
		o.Type, o.Size = s.maskChosen()
		if v, ok := s.unlessUnknown("straps", unit.ForceKind, &fit.StrapRange); ok {
			o.Pull = unit.Force(v)
		}
		w, ok := s.word("what", OutcomeWords())
		if o.What, o.Anywhere, _ = ParseOutcome(w); !ok && !s.has("what") {
			s.missing("what", `what = "leaks at the bridge", "sore" or another outcome`)
		}
		s.done()
		r.p.Tried = append(r.p.Tried, o)
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
