package uncertainty

import (
	"context"
	"math"

	"tautline/model/fit"
)

// The figures of a fitting's draws.
const (
	Leak      Quantity = "leak"        // at the highest pressure of the range
	Contact   Quantity = "contact"     // largest over all sites there
	LiftOff   Quantity = "lift_off"    // mask pressure
	Loosest   Quantity = "window_low"  // strap force
	Tightest  Quantity = "window_high" // strap force
	Closeness Quantity = "closeness"   // to limit or line, see fit.Closeness
)

// Fit is the study of a sweep's question: how the verdict, the leak, the
// contact, lift-off and the window stand when every number that is not known
// exactly is drawn. The verdicts are fit.Verdict.
func Fit(ctx context.Context, q fit.Question, stated Stated) (Study[fit.Question], error) {
	if err := q.Check(); err != nil {
		return Study[fit.Question]{}, err
	}
	q.Axes = nil // the case as stated is what is drawn
	in, held := QuestionInputs(q, stated)
	return Study[fit.Question]{Question: q, Inputs: in, Held: held,
		Quantities: []Quantity{Leak, Contact, LiftOff, Loosest, Tightest},
		Ask:        func(q fit.Question, _ int) (Outcome, error) { return outcome(ctx, q) },
		Scores:     []Quantity{Leak, Contact, LiftOff, Closeness}, Deciding: 3,
		Score: score,
	}, nil
}

func outcome(ctx context.Context, q fit.Question) (Outcome, error) {
	b, w, v, err := fit.Judge(ctx, q)
	if err != nil {
		return Outcome{}, err
	}
	o := Outcome{Verdict: int(v), Values: []float64{float64(b.Leak), float64(b.Contact), math.NaN(), math.NaN(), math.NaN()}}
	if b.HasLiftOff {
		o.Values[2] = float64(b.LiftOff)
	}
	if w.Exists {
		o.Values[3], o.Values[4] = float64(w.Low), float64(w.High)
	}
	return o, nil
}

// score gives the figures of one draw in the order of Scores. The leak counts
// by its logarithm (of L/min, plus one): a few draws that tip off would else be
// all of its variance. Below its onset a leak is none, or noise would be ranked.
func score(q fit.Question) ([]float64, error) {
	b, err := fit.BriefOrTipping(q)
	leak := b.Leak.LPerMin()
	if leak < onset {
		leak = 0
	}
	return []float64{math.Log1p(leak), float64(b.Contact), float64(b.LiftOff), b.Closeness}, err
}

const onset = 0.1 // L/min, where a leak counts as begun

// AskFit draws a sweep's question as often as planned.
func AskFit(ctx context.Context, q fit.Question, stated Stated, p Plan) (Result, error) {
	s, err := Fit(ctx, q, stated)
	if err != nil {
		return Result{}, err
	}
	return s.Run(ctx, p)
}
