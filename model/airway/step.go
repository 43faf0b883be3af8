package airway

import (
	"errors"
	"math"
)

// ErrStep says that the step of a breath became too small to go on.
var ErrStep = errors.New("the breath could not be followed: its step became too small")

// vector is the state of a breath: the lung's volume, then sums over time.
type vector [count]float64

// A stepper follows dy/dt = f(t, y) by the embedded Runge-Kutta pair of third
// and second order, with the step chosen so that the two agree.
//
// Source: P. Bogacki, L. F. Shampine, Appl Math Lett 1989;2:321-325, the pair
// 3(2) whose last stage is the next step's first.
type stepper struct {
	f         func(t float64, y *vector) (vector, error)
	tolerance float64 // of each component that scale weighs
	scale     vector  // what one unit of error counts; zero is not looked at
	longest   float64 // s
	step      float64 // s; the last one that held, to begin with
	taken     int
}

// advance goes from a to b, and calls each with the end of every step taken.
func (s *stepper) advance(a, b float64, y vector, each func(t float64, y *vector)) (vector, error) {
	k1, err := s.f(a, &y)
	for t := a; t < b; {
		if err != nil {
			return y, err
		}
		h := math.Min(math.Min(s.step, s.longest), b-t)
		last := h == b-t
		next, k4, off, failed := s.try(t, h, &y, &k1)
		if failed != nil {
			return y, failed
		}
		// The error of the pair goes with the third power of the step.
		change := 0.9 * math.Cbrt(s.tolerance/math.Max(off, 1e-300))
		if s.step = h * math.Min(math.Max(change, 0.2), 4); off > s.tolerance {
			if s.step < 1e-9 {
				return y, ErrStep
			}
			continue
		}
		if t += h; last {
			t = b
		}
		y, k1 = next, k4
		s.taken++
		each(t, &y)
	}
	return y, err
}

// try takes one step and tells by how much the two orders differ.
func (s *stepper) try(t, h float64, y, k1 *vector) (next, k4 vector, off float64, err error) {
	stage := func(w1, w2, w3 float64, k2, k3 *vector) (v vector) {
		for i := range v {
			v[i] = y[i] + h*(w1*k1[i]+w2*k2[i]+w3*k3[i])
		}
		return v
	}
	var k2, k3 vector
	mid := stage(0.5, 0, 0, &k2, &k3)
	if k2, err = s.f(t+h/2, &mid); err != nil {
		return
	}
	mid = stage(0, 0.75, 0, &k2, &k3)
	if k3, err = s.f(t+0.75*h, &mid); err != nil {
		return
	}
	next = stage(2.0/9, 1.0/3, 4.0/9, &k2, &k3)
	if k4, err = s.f(t+h, &next); err != nil {
		return
	}
	for i := range next {
		e := h * (-5.0/72*k1[i] + 1.0/12*k2[i] + 1.0/9*k3[i] - 1.0/8*k4[i])
		off = math.Max(off, math.Abs(e)*s.scale[i])
	}
	return
}
