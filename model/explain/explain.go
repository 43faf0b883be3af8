package explain

import (
	"cmp"
	"context"
	"errors"
	"slices"

	"tautline/model/unit"
)

// Explain answers a question. It draws its own curves; whoever has many
// questions about one mask and highest pressure prepares a Bank once and asks
// that.
func Explain(ctx context.Context, q Question) (Answer, error) {
	if err := q.Check(); err != nil {
		return Answer{}, err
	}
	b, err := Prepare(ctx, q.Mask, q.highest(), q.Statistic, q.Priors, q.Seed, q.Draws)
	if err != nil {
		return Answer{}, err
	}
	return b.Explain(ctx, q)
}

// ErrOtherBank is returned when a bank is asked about readings that it was not
// drawn for.
var ErrOtherBank = errors.New("these curves were drawn for another highest pressure or statistic: prepare them anew")

// Explain answers a question about the bank's own mask, highest pressure,
// statistic and priors.
func (b *Bank) Explain(ctx context.Context, q Question) (Answer, error) {
	p, err := b.posterior(ctx, &q)
	if err != nil {
		return Answer{}, err
	}
	q.Mask, q.Priors = b.Mask, b.Priors
	if q.Range[1] == 0 {
		q.Range = [2]unit.Pressure{q.lowest(), q.highest()}
	}
	a := Answer{Question: q, Views: b.views(&q)}
	a.Causes = b.results(p, &q)
	a.Set = credible(a.Causes)
	a.Flags = b.flags(p, &a)
	a.Ties = b.ties(p, &q)
	a.Next, a.HasNext = b.next(p, &q)
	a.Actions = b.actions(p, &a)
	a.Course = b.course(&q)
	for c := range CauseCount {
		if p.prior[c] > 0 {
			a.Draws += float64(len(b.draws[c]))
			a.Effective += p.said[c] * effective(p.share[c])
		}
	}
	return a, ctx.Err()
}

// Brief answers a question with probabilities, the set that carries 80 % and
// ties only: what a trial over thousands of patients needs.
func (b *Bank) Brief(ctx context.Context, q Question) (Answer, error) {
	p, err := b.posterior(ctx, &q)
	if err != nil {
		return Answer{}, err
	}
	a := Answer{Question: q}
	for c := range CauseCount {
		if p.prior[c] > 0 {
			a.Causes = append(a.Causes, Result{Cause: c, Prior: unit.Fraction(p.prior[c]), Probability: unit.Fraction(p.said[c]),
				ByReadings: unit.Fraction(p.readOnly[c]), Effective: effective(p.share[c])})
			a.Effective += p.said[c] * effective(p.share[c])
		}
	}
	slices.SortStableFunc(a.Causes, byProbability)
	a.Set, a.Ties = credible(a.Causes), b.ties(p, &q)
	return a, nil
}

// posterior checks a question and weighs the bank's draws against it.
func (b *Bank) posterior(ctx context.Context, q *Question) (*posterior, error) {
	if err := q.Check(); err != nil {
		return nil, err
	}
	if top := q.highest(); top > b.Top*1.0001 || top < b.Top*0.9999 || q.Statistic != b.Statistic {
		return nil, ErrOtherBank
	}
	return b.infer(ctx, q)
}

// views shows the readings as the inference took them.
func (b *Bank) views(q *Question) []View {
	out := make([]View, len(q.Readings))
	for i, r := range b.taken(q) {
		out[i] = View{Pressure: unit.Pressure(r.p), Vent: unit.Flow(r.vent), Leak: unit.Flow(r.leak),
			SD: unit.Flow(b.Priors.Noise.sd(r.leak))}
	}
	return out
}

// results puts the causes in order of probability; equal ones stay in the
// order of the list.
func (b *Bank) results(p *posterior, q *Question) []Result {
	var out []Result
	for c := range CauseCount {
		if p.prior[c] == 0 {
			continue
		}
		r := Result{Cause: c, Prior: unit.Fraction(p.prior[c]), Probability: unit.Fraction(p.said[c]),
			ByReadings: unit.Fraction(p.readOnly[c]), Effective: effective(p.share[c])}
		r.Band = b.band(p, c)
		r.Mismatch = b.mismatch(p, c)
		r.Sites = b.likelySites(p, c, q)
		out = append(out, r)
	}
	slices.SortStableFunc(out, byProbability)
	return out
}

func byProbability(x, y Result) int { return cmp.Compare(y.Probability, x.Probability) }

// carried is what the set of leading causes is to carry.
const carried = 0.8

// credible takes the most probable causes until they carry 80 %.
func credible(results []Result) []Cause {
	var out []Cause
	sum := unit.Fraction(0)
	for _, r := range results {
		if out, sum = append(out, r.Cause), sum+r.Probability; sum >= carried {
			break
		}
	}
	return out
}

func (q *Question) lowest() unit.Pressure {
	low := q.highest()
	for _, r := range q.Readings {
		low = min(low, r.Pressure)
	}
	return low
}
