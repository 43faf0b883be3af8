package scenario

import (
	"slices"

	"tautline/model/face"
	"tautline/model/plan"
	"tautline/model/unit"
)

// FaceTicks are what can be ticked of a face, in the order of looking.
func FaceTicks() []string {
	var words []string
	for _, t := range plan.Ticks() {
		words = append(words, string(t))
	}
	return words
}

// noTicks says that one looked and found nothing; noIdea that nobody looked.
const (
	noTicks = "none"
	noIdea  = "don't know"
)

// contrary are ticks that no face has together.
var contrary = [][]string{{"narrow bridge", "flat bridge"}, {"high bridge", "flat bridge"}, {"beard trimmed", "full beard"}}

func (r *patientReader) look(top *section) {
	s, there := top.section("face")
	if !there {
		return
	}
	f := &r.p.Look
	if !s.has("ticks") {
		s.known = append(s.known, "ticks")
		s.missing("ticks", `ticks = ["narrow bridge", "glasses"], or ["none"], or ["don't know"]`)
	}
	ticks, _ := s.words("ticks", append(FaceTicks(), noTicks, noIdea))
	for _, t := range s.ticked(ticks) {
		f.Ticks = append(f.Ticks, plan.Tick(t))
	}
	if v, ok := s.unlessUnknown("nose_width", unit.LengthKind, &face.NoseRecord); ok {
		f.NoseWidth = unit.Length(v)
	}
	if v, ok := s.unlessUnknown("length", unit.LengthKind, &face.LengthRecord); ok {
		f.Length = unit.Length(v)
	}
	f.MouthOpen = s.told("mouth_open")
	s.done()
}

// ticked refuses ticks that contradict each other, and takes out the two words
// that stand for none.
func (s *section) ticked(ticks []string) []string {
	if len(ticks) > 1 && (slices.Contains(ticks, noTicks) || slices.Contains(ticks, noIdea)) {
		s.wrong("ticks", `hold "none" or "don't know" beside others: keep the ones that are true`)
		return nil
	}
	if len(ticks) == 1 && (ticks[0] == noTicks || ticks[0] == noIdea) {
		return nil
	}
	for _, pair := range contrary {
		if slices.Contains(ticks, pair[0]) && slices.Contains(ticks, pair[1]) {
			s.wrong("ticks", "hold both %q and %q: keep the one that is nearer", pair[0], pair[1])
		}
	}
	return ticks
}
