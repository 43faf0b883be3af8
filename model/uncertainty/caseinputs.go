package uncertainty

import (
	"slices"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

// A Stated function tells whether whoever asks has stated a number, by the name
// of its record; what was stated is not drawn.
type Stated func(name string) bool

// Nothing is stated.
func Nothing(string) bool { return false }

// StatedIn reads from a list of the numbers in play which were stated.
func StatedIn(inputs []unit.Parameter) Stated {
	return func(name string) bool {
		return slices.ContainsFunc(inputs, func(p unit.Parameter) bool {
			return p.Name == name && p.Origin == unit.Stated
		})
	}
}

// collector gathers the inputs of a case.
type collector struct {
	c      *fit.Case
	stated Stated
	in     []Input[fit.Case]
	held   []Held
}

// add takes a record that stands at a value (SI) in the case.
func (l *collector) add(p unit.Parameter, at float64, set func(*fit.Case, float64)) {
	if l.stated(p.Name) {
		p = p.With(at)
	}
	in, why, drawn := Of(p, at, set)
	if drawn {
		l.in = append(l.in, in)
		return
	}
	l.held = append(l.held, Held{in.Parameter, why})
}

// CaseInputs lists the numbers of a fitting that are drawn, each with the way
// to set it, and those that are in play and held, with the reason.
func CaseInputs(c fit.Case, stated Stated) ([]Input[fit.Case], []Held) {
	l := &collector{c: &c, stated: stated}
	l.mask()
	l.straps()
	l.face()
	l.seal()
	l.circuit()
	l.position()
	l.wear()
	return l.in, l.held
}

// WearingInputs lists those of a fitting that are not the face's, for questions
// that draw their faces themselves.
func WearingInputs(c fit.Case, stated Stated) ([]Input[fit.Case], []Held) {
	l := &collector{c: &c, stated: stated}
	l.mask()
	l.straps()
	l.tissueShare()
	l.seal()
	l.circuit()
	l.position()
	l.wear()
	return l.in, l.held
}

// QuestionInputs lists those of a question about a fitting: the numbers of the
// case, and the strap force where it was told by feel or by tabs.
func QuestionInputs(q fit.Question, stated Stated) ([]Input[fit.Question], []Held) {
	in, held := CaseInputs(q.Case, stated)
	all := Lift(in, func(q *fit.Question) *fit.Case { return &q.Case })
	if g := q.Guess; g[1] > g[0] {
		all = append(all, guessed(q.Case.Total(), g))
	} else {
		held = append(held, Held{fit.StrapRange.With(float64(q.Case.Total())), "stated"})
	}
	return all, held
}

// guessed is the strap force as hands or tabs tell it: normal about what they
// usually mean, cut off at the ends of the range, which lie four standard
// deviations apart.
func guessed(pull unit.Force, g [2]unit.Force) Input[fit.Question] {
	p := fit.StrapRange.At(float64(pull))
	p.Likely, p.Fixed = [2]float64{g[0].N(), g[1].N()}, ""
	s := Spread{Low: float64(g[0]), Mode: float64(pull), High: float64(g[1]), SD: float64(g[1]-g[0]) / 4}
	return Input[fit.Question]{p, s, func(q *fit.Question, v float64) { q.Case.Straps.Pull = unit.Force(v) }}
}

// pair is a site with its mirror, or a site on the midline alone.
type pair struct {
	name string
	left face.Site
	two  bool
}

// pairs lists the sites under a mask, both sides as one.
func pairs(sites []face.Site) []pair {
	var all []pair
	for _, s := range sites {
		switch m := s.Mirror(); {
		case m == s:
			all = append(all, pair{s.String(), s, false})
		case s < m && slices.Contains(sites, m):
			all = append(all, pair{both(s), s, true})
		}
	}
	return all
}

// both names a pair after its left one: "cheeks", "corners of the mouth".
func both(s face.Site) string {
	return map[face.Site]string{face.NoseSideLeft: "nose sides", face.CheekLeft: "cheeks",
		face.CornerLeft: "corners of the mouth", face.NostrilLeft: "nostrils"}[s]
}
