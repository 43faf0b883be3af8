package uncertainty

import (
	"context"

	"tautline/model/airway"
	"tautline/model/explain"
	"tautline/model/unit"
)

// Leader is the probability of the leading cause.
const Leader Quantity = "leading_probability"

// ExplainStudy is the study of an explanation, which weighs its causes with
// some numbers held: does the leading cause stay when these and the simulated
// curves are others? The verdicts are explain.Cause.
func ExplainStudy(ctx context.Context, q explain.Question, priors explain.Priors) Study[explain.Question] {
	q.Priors = priors
	l := lister[explain.Question]{}
	shape := func(p unit.Parameter, at float64, set func(*explain.Shape, float64)) {
		l.add(p, at, func(q *explain.Question, v float64) { set(&q.Priors.Shape, v) })
	}
	noise := func(p unit.Parameter, at float64, set func(*explain.Noise, float64)) {
		l.add(p, at, func(q *explain.Question, v float64) { set(&q.Priors.Noise, v) })
	}
	s, n := priors.Shape, priors.Noise
	shape(explain.FaceSpread, float64(s.FaceSpread), func(s *explain.Shape, v float64) { s.FaceSpread = unit.Length(v) })
	shape(airway.LipsRecord, float64(s.LipsMean), func(s *explain.Shape, v float64) { s.LipsMean = unit.Pressure(v) })
	shape(explain.LipsDrift, float64(s.LipsDrift), func(s *explain.Shape, v float64) { s.LipsDrift = unit.Pressure(v) })
	shape(explain.MouthSpread, s.PartedSpread, func(s *explain.Shape, v float64) { s.PartedSpread = v })
	shape(explain.GapHeight, float64(s.GapHeight), func(s *explain.Shape, v float64) { s.GapHeight = unit.Length(v) })
	shape(explain.GapSpread, s.GapHeightSpread, func(s *explain.Shape, v float64) { s.GapHeightSpread = v })
	shape(explain.VentSpread, s.VentSpread, func(s *explain.Shape, v float64) { s.VentSpread = v })
	noise(explain.NoiseFloor, float64(n.Floor), func(n *explain.Noise, v float64) { n.Floor = unit.Flow(v) })
	noise(explain.NoiseShare, n.Share, func(n *explain.Noise, v float64) { n.Share = v })
	noise(explain.VentTol, n.Vent, func(n *explain.Noise, v float64) { n.Vent = v })
	noise(explain.BaseLeak, float64(n.Base), func(n *explain.Noise, v float64) { n.Base = unit.Flow(v) })
	noise(explain.BaseSpread, float64(n.BaseSD), func(n *explain.Noise, v float64) { n.BaseSD = unit.Flow(v) })
	noise(explain.BaseRise, n.BaseRise, func(n *explain.Noise, v float64) { n.BaseRise = v })
	return Study[explain.Question]{Question: q, Inputs: l.in, Held: l.held, Quantities: []Quantity{Leader},
		Ask: func(q explain.Question, draw int) (Outcome, error) {
			q.Seed += uint64(draw)
			a, err := explain.Explain(ctx, q)
			if err != nil {
				return Outcome{}, err
			}
			lead := a.Leading()
			return Outcome{Verdict: int(lead.Cause), Values: []float64{float64(lead.Probability)}}, nil
		}}
}
