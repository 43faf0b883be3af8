// Package root finds where a continuous function of one variable crosses zero.
package root

import (
	"errors"
	"math"
)

// The ways in which a search can end without a root.
var (
	ErrNotBracketed = errors.New("root: the function has the same sign at both ends")
	ErrNotFinite    = errors.New("root: the function is not finite")
	ErrNoConverge   = errors.New("root: the interval did not shrink in time")
)

// maxIterations is far beyond what is needed: bisection alone shrinks any
// interval of doubles to neighbours in about 1080 halvings, and in 60 for the
// intervals met here.
const maxIterations = 200

// Find gives x in [lo, hi] with f(x) = 0, to within tol or a few units in the
// last place of x, whichever is wider. f must be continuous and have opposite
// signs at the two ends, or be zero at one of them. iterations counts the calls
// of f beyond those at the two ends. It allocates nothing.
//
// The method is Brent's: inverse quadratic or secant steps while they shrink
// the bracket fast enough, bisection otherwise (R. P. Brent, Algorithms for
// Minimization without Derivatives, 1973, chapter 4).
func Find(f func(float64) float64, lo, hi, tol float64) (x float64, iterations int, err error) {
	return FindBetween(f, lo, f(lo), hi, f(hi), tol)
}

// FindBetween is Find for a caller who knows the values at the ends already.
func FindBetween(f func(float64) float64, lo, flo, hi, fhi, tol float64) (x float64, iterations int, err error) {
	if bad(flo) || bad(fhi) {
		return math.NaN(), 0, ErrNotFinite
	}
	if flo*fhi > 0 || (flo > 0) == (fhi > 0) && flo != 0 && fhi != 0 {
		return math.NaN(), 0, ErrNotBracketed
	}
	s := newSearch(lo, flo, hi, fhi)
	for iterations = 0; iterations < maxIterations; iterations++ {
		step, finished := s.step(tol)
		if finished {
			return s.b, iterations, nil
		}
		s.moveTo(s.b+step, f)
		if bad(s.fb) {
			return math.NaN(), iterations + 1, ErrNotFinite
		}
	}
	return s.b, iterations, ErrNoConverge
}

func bad(y float64) bool { return math.IsNaN(y) || math.IsInf(y, 0) }

// A search keeps three points: b is the best guess, a the guess before it, and
// the root lies between b and c.
type search struct {
	a, b, c    float64
	fa, fb, fc float64
	last, prev float64 // the last step and the one before
}

func newSearch(lo, flo, hi, fhi float64) search {
	return search{a: lo, b: hi, c: lo, fa: flo, fb: fhi, fc: flo, last: hi - lo, prev: hi - lo}
}

// step gives the next step from b, or says that b is good enough.
func (s *search) step(tol float64) (d float64, finished bool) {
	if math.Abs(s.fc) < math.Abs(s.fb) { // keep the better end in b
		s.a, s.b, s.c = s.b, s.c, s.b
		s.fa, s.fb, s.fc = s.fb, s.fc, s.fb
	}
	least := 2*0x1p-52*math.Abs(s.b) + tol/2
	half := (s.c - s.b) / 2
	if math.Abs(half) <= least || s.fb == 0 {
		return 0, true
	}
	d = s.interpolate(half, least)
	if math.Abs(d) < least { // always move far enough to be heard
		d = math.Copysign(least, half)
	}
	return d, false
}

// interpolate tries the curve through the known points and falls back to
// bisection when that curve would leave the bracket or shrink it too slowly.
func (s *search) interpolate(half, least float64) float64 {
	if math.Abs(s.prev) < least || math.Abs(s.fa) <= math.Abs(s.fb) {
		s.last, s.prev = half, half
		return half
	}
	p, q := s.fraction(half)
	if p > 0 {
		q = -q
	}
	p = math.Abs(p)
	if 2*p >= math.Min(3*half*q-math.Abs(least*q), math.Abs(s.prev*q)) {
		s.last, s.prev = half, half
		return half
	}
	s.prev, s.last = s.last, p/q
	return s.last
}

// fraction gives the step p/q: secant with two points, inverse quadratic with
// three.
func (s *search) fraction(half float64) (p, q float64) {
	r := s.fb / s.fa
	if s.a == s.c {
		return 2 * half * r, 1 - r
	}
	u, v := s.fa/s.fc, s.fb/s.fc
	p = r * (2*half*u*(u-v) - (s.b-s.a)*(v-1))
	return p, (u - 1) * (v - 1) * (r - 1)
}

// moveTo takes x as the new best guess and keeps the root between b and c.
func (s *search) moveTo(x float64, f func(float64) float64) {
	s.a, s.fa = s.b, s.fb
	s.b = x
	s.fb = f(x)
	if (s.fb > 0) == (s.fc > 0) {
		s.c, s.fc = s.a, s.fa
		s.last = s.b - s.a
		s.prev = s.last
	}
}
