package seal

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/optimize"
)

// lowest finds the pose of least energy by gonum, without Newton's method and
// from several starts: a simplex first, then quasi-Newton on differences. It
// works in mm and mJ, with tilts measured at the rim.
func (l plain) lowest(starts ...Pose) Pose {
	size := l.p.size()
	pose := func(x []float64) Pose { return Pose{x[0] * 1e-3, x[1] * 1e-3 / size, x[2] * 1e-3 / size} }
	f := func(x []float64) float64 { return 1e3 * l.energy(pose(x)) }
	problem := optimize.Problem{Func: f, Grad: func(grad, x []float64) {
		// Central differences are exact but for rounding while no kink is near.
		fd.Gradient(grad, f, x, &fd.Settings{Formula: fd.Central, Step: 1e-5})
	}}
	best, at := math.Inf(1), Pose{}
	for _, q := range starts {
		x := []float64{q[0] * 1e3, q[1] * 1e3 * size, q[2] * 1e3 * size}
		for _, method := range []optimize.Method{&optimize.NelderMead{}, &optimize.BFGS{}} {
			settings := &optimize.Settings{GradientThreshold: 1e-7, MajorIterations: 400,
				Converger: &optimize.FunctionConverge{Absolute: 1e-15, Iterations: 60}}
			// A line search that ends in rounding is no failure here.
			if found, _ := optimize.Minimize(problem, x, settings, method); found != nil && found.F <= f(x) {
				x = found.X
			}
		}
		if v := f(x); v < best {
			best, at = v, pose(x)
		}
	}
	return at
}

// TestSolverAgainstOracle holds the fast solver to the plain one on random
// rims: the same energy, and the same leak.
func TestSolverAgainstOracle(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	leaking, tried := 0, 0
	for tried < 120 {
		p := randomProblem(r)
		set, err := p.Settle()
		if errors.Is(err, ErrTips) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		tried++
		pressure := between(r, 300, 2500)
		q, err := p.Balance(set, set, pressure)
		if errors.Is(err, ErrTips) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		starts := []Pose{{5e-3}, {set[0] + between(r, -2e-3, 4e-3), set[1] + between(r, -0.1, 0.1), set[2] + between(r, -0.1, 0.1)}}
		same(t, plain{p: p, straps: constant}, set, starts)
		at := plain{p: p, straps: elastic, set: set, pressure: pressure}
		slow := same(t, at, q, starts)
		fast, want := p.Leak(q, pressure), at.leak(slow)
		if off := math.Abs(fast - want); off > 1e-3*want+1e-9 {
			t.Errorf("leak %g m3/s, the oracle's %g", fast, want)
		}
		if own := at.leak(q); math.Abs(fast-own) > 1e-9*own+1e-15 { // the laws alone
			t.Errorf("leak %g m3/s, at the same pose by plain laws %g", fast, own)
		}
		if want > 1.7e-6 {
			leaking++
		}
	}
	if leaking < tried/4 {
		t.Errorf("only %d of %d problems leak: they do not try the law", leaking, tried)
	}
}

// same compares a pose with the oracle's, by energy and by place.
func same(t *testing.T, l plain, q Pose, starts []Pose) Pose {
	t.Helper()
	slow := l.lowest(starts...)
	fast, want := l.energy(q), l.energy(slow)
	scale := math.Abs(want) + 1e-3 // J
	if fast > want+1e-12*scale {
		t.Errorf("the oracle finds less energy: %.15g J, the solver %.15g J", want, fast)
	}
	if want-fast > 1e-9*scale {
		t.Errorf("the oracle ends at %.15g J, the solver at %.15g J", want, fast)
	}
	if off := math.Abs(q[0]-slow[0]) + l.p.size()*(math.Abs(q[1]-slow[1])+math.Abs(q[2]-slow[2])); off > 1e-6 {
		t.Errorf("the poses are %g m apart", off)
	}
	return slow
}
