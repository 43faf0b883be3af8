package uncertainty

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"tautline/model/seal"
	"tautline/model/unit"
)

// Drawn is an input as a result names it.
type Drawn struct {
	Parameter unit.Parameter
	Spread    Spread
}

// The sizes of the search for what matters. Screening ranks all inputs by
// total effect from few rows; only the leading ones are then looked at one by
// one, the others together.
const (
	screenRows = 12
	oneByOne   = 8
	leastRows  = 32
	mostRows   = 256
	named      = 3
	// matters is the share of variance below which an input is not worth naming.
	matters = 0.03
)

// Run asks the question as it stands, and then as often as planned with every
// input drawn, and finds which inputs matter.
func (s *Study[Q]) Run(ctx context.Context, p Plan) (Result, error) {
	if err := DrawsRange.Check(float64(p.Draws)); err != nil {
		return Result{}, err
	}
	r := Result{Plan: p, Held: s.Held, deciding: s.Deciding}
	for _, in := range s.Inputs {
		r.Inputs = append(r.Inputs, Drawn{in.Parameter, in.Spread})
	}
	if err := s.state(&r); err != nil {
		return r, err
	}
	did := counter(s.work(p.Draws), p.Progress)
	u, outcomes, err := s.asks(ctx, &r, did)
	if err != nil {
		return r, err
	}
	r.count(outcomes)
	for k, name := range s.Quantities {
		r.Bands = append(r.Bands, band(name, k, &r.Stated, outcomes))
	}
	if r.Failed > p.Draws/2 {
		return r, fmt.Errorf("%d of %d draws have no answer: %w", r.Failed, p.Draws, r.Why)
	}
	if len(s.Inputs) == 0 {
		return r, nil
	}
	return r, s.sensitivities(ctx, &r, u, outcomes, did)
}

// state takes what the question comes to as asked, or asks.
func (s *Study[Q]) state(r *Result) (err error) {
	if s.Known != nil {
		r.Stated = *s.Known
		return nil
	}
	r.Stated, err = s.Ask(s.Question, 0)
	return err
}

// rows is how many rows the indices rest on: as many as there are draws, within
// reason.
func rows(draws int) int { return min(max(draws, leastRows), mostRows) }

// work counts the calculations ahead, for whoever watches.
func (s *Study[Q]) work(draws int) int {
	if s.Score == nil || len(s.Inputs) == 0 {
		return draws
	}
	return draws + screenRows + rows(draws)
}

// asks asks every draw. A draw that tips off, or has no answer, is kept as such.
func (s *Study[Q]) asks(ctx context.Context, r *Result, did func()) (*mat.Dense, []*Outcome, error) {
	u := mat.NewDense(r.Draws, max(1, len(s.Inputs)), nil)
	if len(s.Inputs) > 0 {
		u = cube(r.Draws, len(s.Inputs), r.Seed, drawStream)
	}
	outcomes, failed := make([]*Outcome, r.Draws), make([]error, r.Draws)
	err := each(ctx, r.Draws, did, func(i int) error {
		o, err := s.Ask(s.draw(u.RawRowView(i)), i)
		switch {
		case errors.Is(err, seal.ErrTips):
			outcomes[i] = &Outcome{Tips: true}
		case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
			return err
		case err != nil:
			failed[i] = err
		default:
			outcomes[i] = &o
		}
		return nil
	})
	for _, e := range failed {
		if e != nil {
			r.Failed++
			r.Why = cmp.Or(r.Why, e)
		}
	}
	return u, outcomes, err
}

// count sorts the verdicts by how many draws came to them.
func (r *Result) count(outcomes []*Outcome) {
	by := map[int]int{}
	for _, o := range outcomes {
		switch {
		case o == nil:
		case o.Tips:
			r.Tipped++
		default:
			by[o.Verdict]++
		}
	}
	for v, n := range by {
		r.Verdicts = append(r.Verdicts, Share{v, n})
	}
	slices.SortFunc(r.Verdicts, func(a, b Share) int {
		return cmp.Or(b.Draws-a.Draws, a.Verdict-b.Verdict)
	})
	r.Agree = by[r.Stated.Verdict]
}

// band gives where one figure lies over the draws that have it.
func band(name Quantity, k int, stated *Outcome, outcomes []*Outcome) Band {
	b := Band{Quantity: name, Stated: stated.Values[k], Low: math.NaN(), Middle: math.NaN(), High: math.NaN()}
	var have []float64
	for _, o := range outcomes {
		if o == nil || o.Tips || math.IsNaN(o.Values[k]) {
			b.Missing++
			continue
		}
		have = append(have, o.Values[k])
	}
	if len(have) == 0 {
		return b
	}
	slices.Sort(have)
	q := func(p float64) float64 { return stat.Quantile(p, stat.Empirical, have, nil) }
	b.Low, b.Middle, b.High = q(0.1), q(0.5), q(0.9)
	return b
}
