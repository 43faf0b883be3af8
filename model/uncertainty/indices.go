package uncertainty

import (
	"context"
	"errors"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// An Index is a share of variance with the interval that 95 % of the bootstrap
// samples lie in.
type Index struct{ Value, Low, High float64 }

// A Group is some columns of the unit cube that are moved together.
type Group []int

// A frozen sample holds what pick-freeze estimates rest on: the answers at the
// rows of two independent samples A and B, and at A with the columns of one
// group taken from B.
type frozen struct {
	a, b []([]float64)   // [row][output]
	ab   [][]([]float64) // [group][row][output]
}

// An Asked function answers a row of the unit cube with its outputs.
type Asked func(u []float64) ([]float64, error)

// freeze asks for A, for B where first-order indices are wanted, and for every
// group. A and B are the two halves of one Latin hypercube.
func freeze(ctx context.Context, d int, groups []Group, n int, first bool, seed, stream uint64, did func(), ask Asked) (frozen, error) {
	both := cube(n, 2*d, seed, stream)
	f := frozen{a: make([][]float64, n), b: make([][]float64, n), ab: make([][]([]float64), len(groups))}
	for g := range groups {
		f.ab[g] = make([][]float64, n)
	}
	err := each(ctx, n, did, func(i int) (err error) {
		a, b := both.RawRowView(i)[:d], both.RawRowView(i)[d:]
		if f.a[i], err = ask(a); err != nil {
			return err
		}
		if first {
			if f.b[i], err = ask(b); err != nil {
				return err
			}
		}
		for g, columns := range groups {
			moved := slices.Clone(a)
			for _, k := range columns {
				moved[k] = b[k]
			}
			if f.ab[g][i], err = ask(moved); err != nil {
				return err
			}
		}
		return nil
	})
	return f, err
}

// total is the total-effect index of a group: the share of the variance that
// would be left if all but the group were known.
//
//	ST = sum (f(A) - f(AB))^2 / (2 N V)
//
// Source: M. J. W. Jansen, Comput Phys Commun 1999;117:35-43 (from memory); (f)
// of table 2 in A. Saltelli et al., Comput Phys Commun 2010;181:259-270. With
// few rows it is the screening of F. Campolongo, A. Saltelli, J. Cariboni,
// Comput Phys Commun 2011;182:978-988 (from memory).
func (f *frozen) total(g, out int, rows []int, variance float64) float64 {
	sum := 0.0
	for _, i := range rows {
		d := f.a[i][out] - f.ab[g][i][out]
		sum += d * d
	}
	return share(sum/2/float64(len(rows)), variance)
}

// first is the first-order index of a group: the share of the variance that
// would go on average if only the group became known.
//
//	S = sum f(B) (f(AB) - f(A)) / (N V)
//
// Source: (b) of table 2 in A. Saltelli et al. 2010, as above. The mean is
// taken out of f(B) first, which changes nothing but the noise.
func (f *frozen) first(g, out int, rows []int, variance, mean float64) float64 {
	sum := 0.0
	for _, i := range rows {
		sum += (f.b[i][out] - mean) * (f.ab[g][i][out] - f.a[i][out])
	}
	return share(sum/float64(len(rows)), variance)
}

func share(part, whole float64) float64 {
	if whole <= 0 {
		return 0 // nothing varies, so nothing explains it
	}
	return part / whole
}

// spread gives mean and variance of an output over A and B together.
func (f *frozen) spread(out int, rows []int) (mean, variance float64) {
	var all []float64
	for _, i := range rows {
		all = append(all, f.a[i][out])
		if f.b[i] != nil {
			all = append(all, f.b[i][out])
		}
	}
	if len(all) < 2 {
		return stat.Mean(all, nil), 0
	}
	return stat.MeanVariance(all, nil)
}

// resamples is how many bootstrap samples an interval rests on.
const resamples = 200

// A Sensitivity is what one group does to one output.
type Sensitivity struct{ First, Total Index }

// Indices gives the sensitivities of every output to every group of inputs,
// [output][group], from n rows: n (groups + 2) questions. The intervals are
// percentiles of 200 bootstrap samples of the rows (G. Archer, A. Saltelli, I.
// M. Sobol, J Stat Comput Simul 1997;58:99-120, from memory).
func Indices(ctx context.Context, d int, groups []Group, n int, seed uint64, did func(), ask Asked) ([][]Sensitivity, error) {
	if n < 2 {
		return nil, errors.New("sensitivities need at least two rows")
	}
	f, err := freeze(ctx, d, groups, n, true, seed, indexStream, did, ask)
	if err != nil {
		return nil, err
	}
	outs := len(f.a[0])
	all := make([][]Sensitivity, outs)
	samples := bootstrap(n, seed)
	for out := range outs {
		all[out] = make([]Sensitivity, len(groups))
		firsts, totals := mat.NewDense(len(groups), resamples+1, nil), mat.NewDense(len(groups), resamples+1, nil)
		for k, rows := range samples {
			mean, variance := f.spread(out, rows)
			for g := range groups {
				firsts.Set(g, k, f.first(g, out, rows, variance, mean))
				totals.Set(g, k, f.total(g, out, rows, variance))
			}
		}
		for g := range groups {
			all[out][g] = Sensitivity{interval(firsts.RawRowView(g)), interval(totals.RawRowView(g))}
		}
	}
	return all, nil
}

// bootstrap gives the rows themselves, and then draws of as many with
// replacement.
func bootstrap(n int, seed uint64) [][]int {
	r := rand.New(rand.NewPCG(seed, bootstrapStream))
	all := make([][]int, resamples+1)
	for k := range all {
		all[k] = make([]int, n)
		for i := range all[k] {
			if all[k][i] = i; k > 0 {
				all[k][i] = r.IntN(n)
			}
		}
	}
	return all
}

// interval takes the estimate from the front and its interval from the rest.
func interval(values []float64) Index {
	rest := slices.Sorted(slices.Values(values[1:]))
	q := func(p float64) float64 { return stat.Quantile(p, stat.Empirical, rest, nil) }
	return Index{values[0], q(0.025), q(0.975)}
}
