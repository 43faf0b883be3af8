package scenario

import (
	"slices"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/population"
	"tautline/model/unit"
)

// population reads how many faces are drawn, from which seed, and which types
// of mask they try; everything may be left out.
func (r *reader) population(top *section) {
	s, _ := top.section("population")
	r.people = population.Usual(fit.Question{})
	if n, ok := s.whole("faces", &population.FacesRecord); ok {
		r.people.Faces = int(n)
	}
	if n, ok := s.whole("seed", &seedRange); ok {
		r.people.Seed = uint64(n)
	}
	if v, there := s.get("women"); there {
		share, ok := s.parse(below(s.path, "women"), "women", v, unit.FractionKind)
		if ok && s.inRange(below(s.path, "women"), &population.WomenShare, share) {
			r.people.Women = unit.Fraction(share)
		}
	}
	r.people.Types = s.types()
	s.done()
}

// seedRange is what a seed may be.
var seedRange = unit.Parameter{Name: "seed", Value: 1, Low: 0, High: 1 << 53,
	Meaning: "start of the random numbers", Origin: unit.Assumed, Source: "any will do"}

// whole reads a whole number within the range of a record.
func (s *section) whole(key string, record *unit.Parameter) (int64, bool) {
	v, ok := s.get(key)
	if !ok {
		return 0, false
	}
	n, ok := v.(int64)
	if !ok {
		s.wrong(key, "is %s where a whole number belongs: write it without unit and quotation marks", quoted(v))
		return 0, false
	}
	return n, s.inRange(below(s.path, key), record, float64(n))
}

// types reads a list of mask types; none means all.
func (s *section) types() (out []mask.Type) {
	if !s.has("types") {
		s.known = append(s.known, "types")
		return nil
	}
	list, _ := s.list("types")
	var known []string
	for _, kind := range mask.Types() {
		known = append(known, string(kind))
	}
	for _, v := range list {
		text, ok := v.(string)
		if !ok {
			s.wrong("types", "holds %s where a name belongs: write one of %q", quoted(v), known)
			return nil
		}
		w, ok := s.among("types", text, known)
		if ok && slices.Contains(out, mask.Type(w)) {
			s.wrong("types", "holds %q twice: take one out", w)
		}
		out = append(out, mask.Type(w))
	}
	return out
}

// Population gives what the scenario asks of many faces.
func (s Scenario) Population() population.Question {
	q := s.people
	q.Question = s.Question
	return q
}
