package face

import (
	"errors"
	"fmt"
	"math"
	"sort"
)

// A Joint carries values known at landmarks to many places round a closed
// curve, by shape-preserving cubics: between two landmarks the curve never
// leaves their two values, and it has no corner at a landmark. (A plain cubic
// would overshoot by millimetres beside a proud bridge.) Slopes follow F. N.
// Fritsch and J. Butland, "A method for constructing local monotone piecewise
// cubic interpolants", SIAM J Sci Stat Comput 1984;5:300-304, closed into a
// ring. The weights are worked out once, so that a hundred thousand faces can
// be joined quickly.
type Joint struct {
	steps  []float64 // from landmark k to the next, as a share of the curve
	places []place
}

// A place is one target: the landmark before it and the cubic's weights.
type place struct {
	k, next int
	w       [4]float64 // of value, next value, slope, next slope
}

// NewJoint prepares for landmarks at rising shares of the curve's length
// (0 <= share < 1) and for targets anywhere on it.
func NewJoint(landmarks, targets []float64) (*Joint, error) {
	n := len(landmarks)
	if n == 0 {
		return nil, errors.New("a rim needs at least one landmark")
	}
	if !sort.Float64sAreSorted(landmarks) || landmarks[0] < 0 || landmarks[n-1] >= 1 {
		return nil, errors.New("landmarks must follow each other round the rim")
	}
	j := &Joint{steps: make([]float64, n), places: make([]place, len(targets))}
	for k := range j.steps {
		j.steps[k] = landmarks[(k+1)%n] - landmarks[k]
		if k == n-1 {
			j.steps[k]++
		}
		if !(j.steps[k] > 0) { // also for what is not a number
			return nil, fmt.Errorf("two landmarks share the place %g of the rim", landmarks[k])
		}
	}
	for i, t := range targets {
		j.places[i] = locate(landmarks, j.steps, t-math.Floor(t))
	}
	return j, nil
}

// locate finds the landmark before a target and the cubic Hermite weights.
func locate(landmarks, steps []float64, t float64) place {
	n := len(landmarks)
	k := sort.SearchFloat64s(landmarks, t)
	if k == n || landmarks[k] > t {
		k--
	}
	if k < 0 { // before the first landmark: on the stretch that closes the ring
		k, t = n-1, t+1
	}
	u := (t - landmarks[k]) / steps[k]
	a, b := u*u*(3-2*u), u*(1-u)
	return place{k, (k + 1) % n, [4]float64{1 - a, a, b * (1 - u) * steps[k], -b * u * steps[k]}}
}

// Join writes the joined values at the targets to out, given the values at the
// landmarks.
func (j *Joint) Join(values, out []float64) {
	var small [16]float64
	slopes := small[:0]
	if len(values) > len(small) {
		slopes = make([]float64, 0, len(values))
	}
	for k := range values {
		slopes = append(slopes, j.slope(values, k))
	}
	for i := range j.places {
		p := &j.places[i]
		out[i] = p.w[0]*values[p.k] + p.w[1]*values[p.next] + p.w[2]*slopes[p.k] + p.w[3]*slopes[p.next]
	}
}

// slope is the weighted harmonic mean of the slopes on both sides, and zero at
// a peak or trough.
func (j *Joint) slope(y []float64, k int) float64 {
	n := len(y)
	if n < 2 {
		return 0
	}
	before, after := (k+n-1)%n, (k+1)%n
	h0, h1 := j.steps[before], j.steps[k]
	s0, s1 := (y[k]-y[before])/h0, (y[after]-y[k])/h1
	if s0*s1 <= 0 {
		return 0
	}
	return 3 * (h0 + h1) / ((2*h1+h0)/s0 + (h1+2*h0)/s1)
}
