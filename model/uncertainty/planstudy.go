package uncertainty

import (
	"context"
	"slices"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/plan"
	"tautline/model/unit"
)

// The figures of a plan's draws.
const (
	Visits   Quantity = "visits"   // expected from now
	Unsolved Quantity = "unsolved" // share
)

// NoMask is the verdict of a plan that rules every mask out.
const NoMask = -1

// FirstChoice reads a plan's verdict: the type and size tried first; false when
// there is none.
func FirstChoice(verdict int) (mask.Type, string, bool) {
	n := len(mask.Sizes())
	if verdict < 0 || verdict >= n*len(mask.Types()) {
		return "", "", false
	}
	return mask.Types()[verdict/n], mask.Sizes()[verdict%n], true
}

func choiceOf(a plan.Answer) int {
	if len(a.Choices) == 0 {
		return NoMask
	}
	c := a.Choices[0]
	return slices.Index(mask.Types(), c.Type)*len(mask.Sizes()) + slices.Index(mask.Sizes(), c.Size)
}

// factor is the record of a spread that is itself not known: by how much it may
// be off. A plan must stand a factor of 1.6.
func factor(name, meaning string) unit.Parameter {
	return unit.Parameter{Name: name, Value: 1, Low: 0.2, High: 5, Likely: [2]float64{0.6, 1.6}, Meaning: meaning,
		Origin: unit.Assumed, Source: "how much people differ was assumed; off by a factor of 1.6 either way"}
}

// DrawnPeople is how many simulated persons hold the belief in one draw of a
// plan. Fewer than in the plan itself: a draw costs in proportion, and shares of
// 200 persons are known to 7 points, less than what other spreads change.
const DrawnPeople = 200

// PlanStudy is the study of a plan with its answer: does the first choice stay
// when the spreads that it assumes, the position and the simulated persons are
// others? A draw asks for the first choice and the visits only, of DrawnPeople.
func PlanStudy(ctx context.Context, answer plan.Answer) Study[plan.Question] {
	q := answer.Question
	if q.People == 0 || q.People > DrawnPeople {
		q.People = DrawnPeople
	}
	if q.Spreads == (plan.Spreads{}) {
		q.Spreads = plan.Usual()
	}
	l := lister[plan.Question]{}
	scaled := func(name, meaning string, of func(*plan.Spreads) *float64) {
		l.add(factor(name, meaning), 1, func(q *plan.Question, v float64) { *of(&q.Spreads) *= v })
	}
	scaled("spread of faces", "how much faces differ, over what is assumed", func(s *plan.Spreads) *float64 { return &s.Face })
	scaled("spread of soreness", "how much people differ in what gets sore, over what is assumed", func(s *plan.Spreads) *float64 { return &s.Sore })
	scaled("spread of straps", "how differently straps are set, over what is assumed", func(s *plan.Spreads) *float64 { return &s.Set })
	scaled("spread of seating", "how differently a mask seats, over what is assumed", func(s *plan.Spreads) *float64 { return &s.Seat })
	l.positions(q.Position, func(q *plan.Question) *fit.Position { return &q.Position })
	return Study[plan.Question]{Question: q, Inputs: l.in, Held: l.held, Quantities: []Quantity{Visits, Unsolved},
		Known: new(planned(answer)),
		Ask: func(q plan.Question, draw int) (Outcome, error) {
			q.Seed += uint64(draw)
			a, err := plan.First(ctx, q)
			if err != nil {
				return Outcome{}, err
			}
			return planned(a), nil
		}}
}

func planned(a plan.Answer) Outcome {
	return Outcome{Verdict: choiceOf(a), Values: []float64{a.Planned.Visits.Value, a.Planned.Unsolved.Value}}
}

// lister gathers inputs of any question.
type lister[Q any] struct {
	in   []Input[Q]
	held []Held
}

func (l *lister[Q]) add(p unit.Parameter, at float64, set func(*Q, float64)) {
	in, why, drawn := Of(p, at, set)
	if drawn {
		l.in = append(l.in, in)
		return
	}
	l.held = append(l.held, Held{in.Parameter, why})
}

// positions adds what a position does.
func (l *lister[Q]) positions(at fit.Position, of func(*Q) *fit.Position) {
	for _, p := range at.Parameters() {
		if p.Value != 0 {
			set := positionSets[p.Name]
			l.add(p, p.SI(), func(q *Q, v float64) { set(of(q), v) })
		}
	}
}
