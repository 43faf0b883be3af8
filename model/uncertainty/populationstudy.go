package uncertainty

import (
	"context"
	"math"
	"slices"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/population"
)

// AnyShare is the share of faces that at least one type has a window on.
const AnyShare Quantity = "any_type_share"

// ServedShare is the share of faces that a type has a window on in the size
// chosen for them.
func ServedShare(kind mask.Type) Quantity { return Quantity(kind) + "_share" }

// DrawnFaces is how many faces one draw counts, the first of the answer's own:
// 200 tell a share to within 7 points (binomial, 95 %), and as every draw has
// the same faces, what differs is the numbers.
const DrawnFaces = 200

// PopulationStudy is the study of many faces with its answer: does the type with
// a window on most faces stay when the numbers of masks, positions and machine
// are others? The verdict is the place among mask.Types. Faces are what the
// population draws anyway, so none of their numbers is drawn once more. What is
// drawn of the mask is that of the scenario's; other types stay as they are.
func PopulationStudy(ctx context.Context, answer population.Answer, stated Stated) Study[population.Question] {
	q := answer.Question
	kinds := make([]mask.Type, len(answer.Types))
	for i, t := range answer.Types {
		kinds[i] = t.Type
	}
	in, held := WearingInputs(q.Case, stated)
	s := Study[population.Question]{Inputs: Lift(in, func(q *population.Question) *fit.Case { return &q.Case }), Held: held,
		Known: new(served(answer))}
	for _, kind := range kinds {
		s.Quantities = append(s.Quantities, ServedShare(kind))
	}
	s.Quantities = append(s.Quantities, AnyShare)
	s.Deciding = len(kinds)
	q.Faces = min(q.Faces, DrawnFaces)
	s.Question = q
	s.Ask = func(q population.Question, _ int) (Outcome, error) {
		a, err := population.Ask(ctx, q)
		if err != nil {
			return Outcome{}, err
		}
		return served(a), nil
	}
	return s
}

// served reads an answer: the type that serves most, and the shares.
func served(a population.Answer) Outcome {
	o, most := Outcome{}, -1.0
	for _, t := range a.Types {
		part := t.Chosen.Part()
		if math.IsNaN(part) {
			part = 0
		}
		o.Values = append(o.Values, part)
		if part > most {
			o.Verdict, most = slices.Index(mask.Types(), t.Type), part
		}
	}
	o.Values = append(o.Values, a.Some.Part())
	return o
}
