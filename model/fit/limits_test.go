package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"tautline/model/seal"
	"tautline/model/unit"
)

// poseAt balances a fitting at a mask pressure.
func poseAt(t *testing.T, f *Fitting, pressure float64) seal.Pose {
	t.Helper()
	q, err := f.problem.Balance(f.set, f.set, pressure)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// TestLimits: at lift-off the smallest margin is zero and below it positive; at
// the onset the leak is 0.1 L/min and below it less.
func TestLimits(t *testing.T) {
	lifts, begins := 0, 0
	eachRandom(t, 150, func(r *rand.Rand, f *Fitting, _ float64) {
		l, err := f.Limits()
		if err != nil {
			t.Fatal(err)
		}
		margin := func(p float64) float64 { m, _ := f.problem.Margin(poseAt(t, f, p), p); return m }
		leak := func(p float64) float64 { return leakAt(t, f, p) / float64(onset) }
		switch at := float64(l.LiftOff); {
		case !l.HasLiftOff:
			if l.LiftOff != highest || margin(float64(highest)) <= 0 {
				t.Errorf("never lifts, but has a margin of %g Pa at %v", margin(float64(highest)), highest)
			}
		case at > 0:
			lifts++
			if m := margin(at); math.Abs(m) > 0.01 {
				t.Errorf("at lift-off the margin is %g Pa", m)
			}
			if below := at * r.Float64(); margin(below) < -0.01 {
				t.Errorf("lift-off at %g Pa, but a margin of %g at %g", at, margin(below), below)
			}
		case margin(1) > 0:
			t.Errorf("lifts at once, but has a margin of %g Pa at 1 Pa", margin(1))
		}
		switch at := float64(l.Onset); {
		case !l.HasOnset:
			if leak(float64(highest)) >= 1 {
				t.Errorf("never leaks, but %g times the onset at %v", leak(float64(highest)), highest)
			}
		case at > 0:
			begins++
			// A thousandth of a pascal is how exactly it is sought; where a
			// seal opens at once that is some per mille of the leak.
			if q := leak(at); math.Abs(q-1) > 5e-3 {
				t.Errorf("at the onset the leak is %g times what it should", q)
			}
			if below := at * r.Float64(); leak(below) > 1.005 {
				t.Errorf("onset at %g Pa, but %g times its leak at %g", at, leak(below), below)
			}
		}
		if l.HasLiftOff && l.LiftOff > 0 { // the site named is where the margin is least
			at := float64(l.LiftOff)
			if _, i := f.problem.Margin(poseAt(t, f, at), at); f.problem.Segments[i].Site.Mirror() != l.OpensFirst && f.problem.Segments[i].Site != l.OpensFirst {
				t.Errorf("%s is said to open first, %s does", l.OpensFirst, f.problem.Segments[i].Site)
			}
		}
	})
	if lifts < 50 || begins < 50 {
		t.Errorf("only %d lift off and %d leak: the draws do not try the search", lifts, begins)
	}
}

// TestLimitsStandInThePoint: a point carries the limits of its fitting,
// whatever its pressure.
func TestLimitsStandInThePoint(t *testing.T) {
	eachRandom(t, 20, func(r *rand.Rand, f *Fitting, _ float64) {
		l, err := f.Limits()
		if err != nil {
			t.Fatal(err)
		}
		p := pointAt(t, f, unit.Pressure(5+10*r.Float64())*unit.CmH2O)
		if (Limits{p.LiftOff, p.HasLiftOff, p.Onset, p.HasOnset, p.OpensFirst}) != l {
			t.Errorf("%+v, want %+v", p, l)
		}
	})
}
