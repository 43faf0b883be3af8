package explain

import (
	"cmp"
	"math"
	"slices"

	"tautline/model/unit"
)

// A reading is one taken apart for the sums: SI, the vent's flow taken off.
type reading struct {
	p, leak, vent float64
	base          float64 // what every seal lets through, relative to that at 10 cmH2O
	posture       Posture
}

// take turns readings into leaks, in an order of their own, so that the order
// in which they were written down changes not even the last digit.
func (b *Bank) take(q *Question) []reading {
	out := b.taken(q)
	slices.SortFunc(out, func(x, y reading) int {
		return cmp.Or(cmp.Compare(x.p, y.p), cmp.Compare(x.leak, y.leak), cmp.Compare(x.posture, y.posture))
	})
	return out
}

// taken turns readings into leaks. The flow of a total reading is the vent's and
// the leak's; of an unintentional one the machine has taken its vent off.
func (b *Bank) taken(q *Question) []reading {
	out := make([]reading, len(q.Readings))
	for i, r := range q.Readings {
		v, _ := b.vent.Flow(r.Pressure)
		leak := r.Flow
		if q.Which == TotalFlow {
			leak -= v
		}
		out[i] = reading{p: float64(r.Pressure), leak: float64(leak), vent: float64(v), posture: r.Posture,
			base: math.Pow(float64(r.Pressure/(10*unit.CmH2O)), b.Priors.Noise.BaseRise)}
	}
	return out
}

// A weigher weighs draws against the readings of one question.
type weigher struct {
	b        *Bank
	readings []reading
	shape    []float64 // of the draw at hand, at the readings
}

// sd is the noise of a reading of a leak [m3/s].
func (n *Noise) sd(leak float64) float64 {
	return float64(n.Floor) + n.Share*max(leak, 0)
}

// A weight is what one draw came to.
type weight struct {
	log  float64 // of the evidence
	size float64 // best leak at the highest pressure, m3/s; 1 for vent draws, whose shape is a flow
}

// draw weighs one draw of a cause.
func (w *weigher) draw(c Cause, d *draw) weight {
	for i, r := range w.readings {
		w.shape[i] = w.b.at(d.shape, r.p)
	}
	switch c {
	case WrongVent, BlockedVent, NothingUnusual:
		return weight{w.linear(1), 1}
	case SideSleeping:
		return w.sizes(c, func(size float64) float64 { return w.mixed(d, size) })
	}
	return w.sizes(c, w.linear)
}

// linear is the logarithm of the readings' density for a leak of a given size.
// The base leak and the vent's tolerance, which shift all readings together,
// are integrated out: with noise D and the two directions U the covariance is
// D + U U', whose inverse and determinant need a matrix of two by two
// (M. A. Woodbury 1950; textbook).
func (w *weigher) linear(size float64) float64 {
	n := &w.b.Priors.Noise
	var logs, rr, g0, g1, m00, m01, m11 float64
	m00, m11 = 1, 1
	product := 1.0 // of the noises over their floor: one logarithm for many
	for i := range w.readings {
		r := &w.readings[i]
		leak := size * w.shape[i]
		sd := n.sd(leak)
		x := (r.leak - leak - float64(n.Base)*r.base) / sd
		u0, u1 := float64(n.BaseSD)*r.base/sd, n.Vent*r.vent/sd
		if product *= sd / float64(n.Floor); product > 1e200 {
			logs, product = logs+math.Log(product), 1
		}
		rr += x * x
		g0 += u0 * x
		g1 += u1 * x
		m00 += u0 * u0
		m01 += u0 * u1
		m11 += u1 * u1
	}
	det := m00*m11 - m01*m01
	rr -= (m11*g0*g0 - 2*m01*g0*g1 + m00*g1*g1) / det
	logs += math.Log(product*math.Sqrt(det)) + float64(len(w.readings))*math.Log(float64(n.Floor))
	return -logs - (rr+float64(len(w.readings))*log2Pi)/2
}

var log2Pi = math.Log(2 * math.Pi)

// mixed is the same for a leak that some of the readings have and others do
// not. It is not linear, so the base leak and the vent's error were drawn.
func (w *weigher) mixed(d *draw, size float64) float64 {
	n := &w.b.Priors.Noise
	base, tol := float64(n.Base)+float64(n.BaseSD)*d.base, n.Vent*d.tol
	sum := 0.0
	for i := range w.readings {
		r := &w.readings[i]
		share := onSide(r.posture, d.share)
		x := r.leak - base*r.base - tol*r.vent
		off, sd0 := x-size*w.shape[i], n.sd(0)
		sd1 := n.sd(size * w.shape[i])
		dense := share*math.Exp(-off*off/(2*sd1*sd1))/sd1 + (1-share)*math.Exp(-x*x/(2*sd0*sd0))/sd0
		sum += math.Log(dense + 1e-300)
	}
	return sum - float64(len(w.readings))*log2Pi/2
}

// absent is the part of mixed in which no reading was taken on the side.
func (w *weigher) absent(d *draw) float64 {
	n := &w.b.Priors.Noise
	base, tol, sd := float64(n.Base)+float64(n.BaseSD)*d.base, n.Vent*d.tol, n.sd(0)
	sum := 0.0
	for i := range w.readings {
		r := &w.readings[i]
		x := (r.leak - base*r.base - tol*r.vent) / sd
		sum += math.Log((1-onSide(r.posture, d.share))/sd) - x*x/2
	}
	return sum - float64(len(w.readings))*log2Pi/2
}

// onSide is the chance that a reading was taken on the side. A posture that was
// written down may be wrong now and then.
func onSide(p Posture, share float64) float64 {
	const slip = 0.02
	switch p {
	case OnSide:
		return 1 - slip
	case NotOnSide:
		return slip
	}
	return share
}

// Five points and weights of Gauss and Hermite for the standard normal
// distribution (M. Abramowitz, I. A. Stegun 1964, table 25.10, rescaled).
var (
	hermiteAt     = [5]float64{-2.856970013872806, -1.355626179974266, 0, 1.355626179974266, 2.856970013872806}
	hermiteWeight = [5]float64{0.011257411327721, 0.222075922005613, 0.533333333333333, 0.222075922005613, 0.011257411327721}
)

// sizes integrates the size of the leak out: lognormal before the readings,
// Gauss-Hermite round the best size after them. Without it most draws would be
// of the wrong size and only few would count.
func (w *weigher) sizes(c Cause, density func(float64) float64) weight {
	median, spread := w.b.Priors.Size[c], w.b.Priors.Spread[c]
	at := func(z float64) float64 { return density(median*math.Exp(spread*z)) - z*z/2 }
	z, wide := w.best(at, math.Log(w.fitted()/median)/spread)
	total := 0.0
	top := at(z)
	for k, x := range hermiteAt {
		total += hermiteWeight[k] * math.Exp(min(at(z+wide*x)-top, 0)+x*x/2)
	}
	return weight{top + math.Log(wide*total), median * math.Exp(spread*z)}
}

// fitted is the size by least squares, as a first guess.
func (w *weigher) fitted() float64 {
	n := &w.b.Priors.Noise
	var sy, ss float64
	for i, r := range w.readings {
		sd := n.sd(r.leak)
		sy += w.shape[i] * r.leak / (sd * sd)
		ss += w.shape[i] * w.shape[i] / (sd * sd)
	}
	const least = 0.1 * float64(unit.LPerMin)
	if !(ss > 0) {
		return least
	}
	return max(sy/ss, least)
}

// best climbs to the top of a log density by Newton's method from a guess, and
// gives the width of the normal distribution that fits its peak. A step that
// does not go up is halved.
func (w *weigher) best(at func(float64) float64, z float64) (top, wide float64) {
	const h, steps, farthest = 0.02, 6, 4.0
	z = min(max(z, -farthest), farthest)
	m, curve := at(z), 1.0
	for range steps {
		a, b := at(z-h), at(z+h)
		slope := (b - a) / (2 * h)
		curve = max((2*m-a-b)/(h*h), 0.5) // never wider than the prior by much
		step := min(max(slope/curve, -1), 1)
		next := at(z + step)
		for ; next < m && math.Abs(step) > h; next = at(z + step) {
			step /= 2
		}
		if next <= m || math.Abs(z+step) > farthest {
			break
		}
		z, m = z+step, next
		if math.Abs(step) < 2*h {
			break
		}
	}
	return z, 1 / math.Sqrt(curve)
}
