package seal

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// randomEnergy draws a problem at pressure, its straps set somewhere, and a
// pose at which some of the rim touches.
func randomEnergy(r *rand.Rand) (*energy, Pose) {
	p := randomProblem(r)
	pose := func() Pose {
		return Pose{between(r, -2e-3, 8e-3), between(r, -0.05, 0.05), between(r, -0.05, 0.05)}
	}
	return &energy{p: p, pressure: between(r, 0, 3000), elastic: true, set: pose(),
		constant: [3]float64{between(r, -5, 5), between(r, -0.1, 0.1), between(r, -0.1, 0.1)}}, pose()
}

// nearKink tells whether a step could cross from one piece of a law to another,
// where no derivative exists.
func (e *energy) nearKink(q Pose, step float64) bool {
	for i := range e.p.Segments {
		s := &e.p.Segments[i]
		d := q.At(s.X, s.Y) - s.Mismatch
		if min(math.Abs(d), math.Abs(d-s.Bottom), math.Abs(d+s.FlapReach)) < step {
			return true
		}
	}
	for i := range e.p.Straps {
		s := &e.p.Straps[i]
		if pull := s.pull(e.set, q); pull == 0 || pull < step*s.Stiffness {
			return true
		}
	}
	return false
}

// TestEnergyDerivatives: gradient and second derivatives against central
// differences. Between kinks the energy is a quadratic, for which they are
// exact but for rounding.
func TestEnergyDerivatives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const step = 1e-6
		r := source(t)
		e, q := randomEnergy(r)
		for e.nearKink(q, 3*step) { // about every second draw, for a strap hangs slack
			e, q = randomEnergy(r)
		}
		size := e.p.size()
		_, g, h := at(e, q)
		full := [3][3]float64{{h[0], h[1], h[2]}, {h[1], h[3], h[4]}, {h[2], h[4], h[5]}}
		unit := [3]float64{1, size, size} // moments and tilts to forces and lengths
		for k := range 3 {
			up, down, dk := q, q, step/unit[k]
			up[k] += dk
			down[k] -= dk
			vu, gu, _ := at(e, up)
			vd, gd, _ := at(e, down)
			if want := (vu - vd) / (2 * dk); math.Abs(g[k]-want) > 1e-6*unit[k] {
				t.Errorf("gradient %d is %g, want %g", k, g[k], want)
			}
			for j := range 3 {
				want := (gu[j] - gd[j]) / (2 * dk)
				if math.Abs(full[k][j]-want) > 1e-6*(full[0][0]+1)*unit[k]*unit[j] {
					t.Errorf("second derivative %d, %d is %g, want %g", k, j, full[k][j], want)
				}
			}
		}
	})
}

// TestEnergyFollowsTheLaw holds the law that is written out in energy.at to the
// plain one, at every depth and pressure.
func TestEnergyFollowsTheLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e, q := randomEnergy(source(t))
		e.elastic, e.constant = false, [3]float64{}
		if rapid.IntRange(0, 9).Draw(t, "bare") == 0 {
			e.pressure = 0
		}
		value, g, h := at(e, q)
		var wantValue float64
		var wantG [3]float64
		var wantH hessian
		for i := range e.p.Segments {
			s := &e.p.Segments[i]
			p, slope, w := s.law(q.At(s.X, s.Y)-s.Mismatch, e.pressure)
			area := s.Length * s.Width
			wantValue += w * area
			arm := [3]float64{1, s.Y, s.X}
			at := 0
			for k := range 3 {
				wantG[k] += p * area * arm[k]
				for j := k; j < 3; j++ {
					wantH[at] += slope * area * arm[k] * arm[j]
					at++
				}
			}
		}
		same := func(what string, got, want, scale float64) {
			if math.Abs(got-want) > 1e-12*scale {
				t.Errorf("%s: %v, by the law %v", what, got, want)
			}
		}
		same("energy", value, wantValue, wantValue)
		for k := range g {
			same("force", g[k], wantG[k], wantG[0])
		}
		for k := range h {
			same("stiffness", h[k], wantH[k], wantH[0])
		}
	})
}

// TestEnergyIsConvex: the middle of two poses never has more energy than their
// mean, straps and kinks included.
func TestEnergyIsConvex(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := source(t)
		e, a := randomEnergy(r)
		_, b := randomEnergy(r)
		middle := Pose{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2}
		va, _, _ := at(e, a)
		vb, _, _ := at(e, b)
		if v, _, _ := at(e, middle); v > (va+vb)/2+1e-12*(math.Abs(va)+math.Abs(vb)) {
			t.Errorf("%g J between %g and %g J", v, va, vb)
		}
	})
}

// at gives the energy with its slopes.
func at(e *energy, q Pose) (float64, [3]float64, hessian) {
	g, h := e.slopes(q)
	return e.value(q), g, h
}
