package uncertainty

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// sensitivities finds what matters: by screening and pick-freeze where a quick
// score is at hand, else from the draws themselves.
func (s *Study[Q]) sensitivities(ctx context.Context, r *Result, u *mat.Dense, outcomes []*Outcome, did func()) error {
	if s.Score == nil {
		for k, name := range s.Quantities {
			r.Effects = append(r.Effects, Effects{Quantity: name, Ranked: true, Effects: ranked(u, outcomes, k)})
		}
	} else if err := s.frozen(ctx, r, did); err != nil {
		return err
	}
	if s.Deciding < len(r.Effects) {
		r.lead(r.Effects[s.Deciding])
	}
	return nil
}

// frozen screens all inputs, and then splits the variance among the leading
// ones and all the others together.
func (s *Study[Q]) frozen(ctx context.Context, r *Result, did func()) error {
	ask := func(u []float64) ([]float64, error) { return s.Score(s.draw(u)) }
	d := len(s.Inputs)
	singles := make([]Group, d)
	for i := range singles {
		singles[i] = Group{i}
	}
	screen, err := freeze(ctx, d, singles, screenRows, false, r.Seed, screenStream, did, ask)
	if err != nil {
		return err
	}
	leading := screen.leading(d)
	groups := make([]Group, 0, len(leading)+1)
	for _, i := range leading {
		groups = append(groups, Group{i})
	}
	if rest := others(d, leading); len(rest) > 0 {
		groups = append(groups, rest)
	}
	all, err := Indices(ctx, d, groups, rows(r.Draws), r.Seed, did, ask)
	if err != nil {
		return err
	}
	for k, name := range s.Scores {
		r.Effects = append(r.Effects, effects(name, leading, all[k]))
	}
	return nil
}

// leading gives the inputs with the largest total effect, each output counting
// the same.
func (f *frozen) leading(d int) []int {
	all := make([]int, f.rows())
	for i := range all {
		all[i] = i
	}
	score, order := make([]float64, d), make([]int, d)
	for out := range f.a[0] {
		_, variance := f.spread(out, all)
		for g := range d {
			score[g] = math.Max(score[g], f.total(g, out, all, variance))
		}
	}
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(score[b], score[a]) })
	return order[:min(d, oneByOne)]
}

func (f *frozen) rows() int { return len(f.a) }

func others(d int, leading []int) Group {
	var rest Group
	for i := range d {
		if !slices.Contains(leading, i) {
			rest = append(rest, i)
		}
	}
	return rest
}

// effects puts one output's indices in order.
func effects(name Quantity, leading []int, all []Sensitivity) Effects {
	e := Effects{Quantity: name}
	for g, x := range all {
		in := Rest
		if g < len(leading) {
			in = leading[g]
		}
		e.Effects = append(e.Effects, Effect{Input: in, Sensitivity: x})
	}
	e.sort(func(x Effect) float64 { return x.Total.Value })
	return e
}

// sort puts the largest first, and the rest last.
func (e *Effects) sort(by func(Effect) float64) {
	slices.SortStableFunc(e.Effects, func(a, b Effect) int {
		if (a.Input == Rest) != (b.Input == Rest) {
			return b.Input - a.Input
		}
		return cmp.Compare(by(b), by(a))
	})
}

// lead names what matters most.
func (r *Result) lead(e Effects) {
	for _, x := range e.Effects {
		size := x.Total.Value
		if e.Ranked {
			size = x.First.Value
		}
		if x.Input != Rest && size > matters && len(r.Leading) < named {
			r.Leading = append(r.Leading, x)
		}
	}
}

// ranked reads sensitivities from the draws: the squared rank correlation of a
// figure with each input (J. C. Helton, F. J. Davis, Reliab Eng Syst Saf
// 2003;81:23-69, from memory). It sees what rises or falls throughout, and what
// chance alone would give one of so many inputs comes out as zero: a correlation
// counts beyond z/sqrt(n), z for 5 % over all inputs together (Bonferroni's
// bound).
func ranked(u *mat.Dense, outcomes []*Outcome, k int) []Effect {
	var at []int
	var y []float64
	for i, o := range outcomes {
		if o != nil && !o.Tips && !math.IsNaN(o.Values[k]) {
			at, y = append(at, i), append(y, o.Values[k])
		}
	}
	_, d := u.Dims()
	z := distuv.UnitNormal.Quantile(1 - 0.025/float64(d))
	var e Effects
	for j := range d {
		x := make([]float64, len(at))
		for n, i := range at {
			x[n] = u.At(i, j)
		}
		c, n := 0.0, float64(len(at))
		if len(at) > 2 {
			c = stat.Correlation(ranks(x), ranks(y), nil)
		}
		share := c * c
		if math.IsNaN(c) || share < z*z/n {
			c, share = 0, 0
		}
		e.Effects = append(e.Effects, Effect{Input: j, Linear: c,
			Sensitivity: Sensitivity{First: Index{share, math.NaN(), math.NaN()}, Total: Index{math.NaN(), math.NaN(), math.NaN()}}})
	}
	e.sort(func(x Effect) float64 { return x.First.Value })
	return e.Effects
}

// ranks gives each value its place in order; equal ones share theirs.
func ranks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
	out := make([]float64, len(x))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && x[order[j]] == x[order[i]] {
			j++
		}
		for _, k := range order[i:j] {
			out[k] = float64(i+j-1) / 2
		}
		i = j
	}
	return out
}
