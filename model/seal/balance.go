package seal

import "math"

// The balance is the lowest point of a convex energy in three unknowns. The
// contact laws are piecewise linear, so Newton's method with a line search
// lands on it exactly once it has found which pieces apply.

const (
	// tolerance is the residual, as a share of the total pull, at which the
	// search ends. Rounding of the sums is near 1e-15.
	tolerance = 1e-11
	maxSteps  = 200
	// tipped is the tilt in rad beyond which a mask counts as off the face;
	// small angles no longer hold there anyway. A search that has run away to
	// lost will not come back.
	tipped, lost = 0.8, 1e4
)

// A Balance is where the frame settles: the pose at zero pressure, when the
// straps were set, and the pose at pressure.
type Balance struct {
	Pressure float64 // Pa, in the mask
	Set      Pose    // at zero pressure
	Pose     Pose    // at Pressure
}

// Settle finds the pose at zero pressure, at which the straps pull as they
// were set. It fails with ErrTips when the pull passes outside the rim, where
// no foothold exists.
func (p *Problem) Settle() (Pose, error) {
	f := p.push()
	total := 0.0
	for i := range p.Straps {
		s := &p.Straps[i]
		for k := range f {
			f[k] += s.Pull * s.Gain[k]
		}
		total += s.Pull
	}
	e := energy{p: p, constant: f, scale: max(total, math.Abs(f[0]))}
	return e.minimize(e.firstGuess())
}

// Balance finds the pose at a mask pressure [Pa], the straps stretched from
// where they were set. The start does not matter to the result.
func (p *Problem) Balance(set, start Pose, pressure float64) (Pose, error) {
	f := p.push()
	lift := pressure * p.Area
	f[0] -= lift
	f[1] -= lift * p.CY
	f[2] -= lift * p.CX
	total := 0.0
	for i := range p.Straps {
		total += p.Straps[i].Pull
	}
	e := energy{p: p, constant: f, pressure: pressure, elastic: true, set: set,
		scale: max(total, lift)}
	return e.minimize(start)
}

// firstGuess is where the frame would settle if every segment were held to the
// skin by its soft spring alone: a linear problem, and close to the real one.
func (e *energy) firstGuess() Pose {
	var h hessian
	var g [3]float64
	for i := range e.p.Segments {
		s := &e.p.Segments[i]
		k := s.Soft * s.Length * s.Width
		ky, kx := k*s.Y, k*s.X
		h[0] += k
		h[1] += ky
		h[2] += kx
		h[3] += ky * s.Y
		h[4] += ky * s.X
		h[5] += kx * s.X
		g[0] -= k * s.Mismatch
		g[1] -= ky * s.Mismatch
		g[2] -= kx * s.Mismatch
	}
	for k, f := range e.constant {
		g[k] -= f
	}
	return h.descend(g, e.p.size())
}

// energy is the function that the frame minimizes: cushion and tissue pressed,
// straps stretched, less what the constant forces do.
type energy struct {
	p        *Problem
	constant [3]float64 // force and moments that do not change with the pose
	pressure float64
	elastic  bool // straps give way from the pose set
	set      Pose
	scale    float64 // N, for the tolerance
}

// slopes gives the energy's gradient and second derivatives at a pose. It is
// where the time goes, so the segments' law is written out here once more; a
// test holds the two together.
func (e *energy) slopes(q Pose) (g [3]float64, h hessian) {
	segments := e.p.Segments
	q0, q1, q2, pressure := q[0], q[1], q[2], e.pressure
	var g0, g1, g2, h00, h01, h02, h11, h12, h22 float64
	for i := range segments {
		s := &segments[i]
		x, y := s.X, s.Y
		d := q0 + y*q1 + x*q2 - s.Mismatch
		var p, k float64
		if d >= 0 {
			k = s.Soft
			p = s.FlapShare*pressure + k*d
			if beyond := d - s.Bottom; beyond > 0 {
				p += (s.Hard - k) * beyond
				k = s.Hard
			}
		} else {
			t := d + s.FlapReach
			if t <= 0 {
				continue
			}
			k = s.FlapShare * pressure / s.FlapReach
			p = k * t
		}
		area := s.Length * s.Width
		f := p * area
		g0 += f
		g1 += f * y
		g2 += f * x
		k *= area
		ky, kx := k*y, k*x
		h00 += k
		h01 += ky
		h02 += kx
		h11 += ky * y
		h12 += ky * x
		h22 += kx * x
	}
	h = hessian{h00, h01, h02, h11, h12, h22}
	g = [3]float64{g0 - e.constant[0], g1 - e.constant[1], g2 - e.constant[2]}
	if e.elastic {
		e.straps(q, &g, &h)
	}
	return g, h
}

// straps adds what the stretched straps do.
func (e *energy) straps(q Pose, g *[3]float64, h *hessian) {
	for i := range e.p.Straps {
		s := &e.p.Straps[i]
		pull := s.pull(e.set, q)
		if pull <= 0 {
			continue
		}
		a, k := s.Gain, s.Stiffness
		for j := range g {
			g[j] -= pull * a[j]
		}
		h[0] += k * a[0] * a[0]
		h[1] += k * a[0] * a[1]
		h[2] += k * a[0] * a[2]
		h[3] += k * a[1] * a[1]
		h[4] += k * a[1] * a[2]
		h[5] += k * a[2] * a[2]
	}
}

// value gives the energy itself, J.
func (e *energy) value(q Pose) (v float64) {
	for i := range e.p.Segments {
		s := &e.p.Segments[i]
		_, _, w := s.law(q.At(s.X, s.Y)-s.Mismatch, e.pressure)
		v += w * s.Length * s.Width
	}
	if e.elastic {
		for i := range e.p.Straps {
			s := &e.p.Straps[i]
			pull := s.pull(e.set, q)
			v += pull * pull / (2 * s.Stiffness)
		}
	}
	for k, f := range e.constant {
		v -= f * q[k]
	}
	return v
}

// pull gives the strap's pull [N] at a pose; a slack strap pulls nothing.
func (s *Strap) pull(set, q Pose) float64 {
	give := 0.0
	for k, a := range s.Gain {
		give += a * (q[k] - set[k])
	}
	return max(0, s.Pull-s.Stiffness*give)
}

// minimize runs Newton's method from a start.
func (e *energy) minimize(q Pose) (Pose, error) {
	size := e.p.size()
	g, h := e.slopes(q)
	for range maxSteps {
		if e.small(g, size) {
			return q, upright(q)
		}
		q, g, h = e.step(q, g, h.descend(g, size), size)
		if !(math.Abs(q[1])+math.Abs(q[2]) < lost) {
			break
		}
	}
	if err := upright(q); err != nil {
		return q, err
	}
	return q, ErrNotFound
}

// step goes as far along a direction of descent as lowers the energy. Where it
// still falls at the end of the full step, or rises there far less steeply than
// it fell at the beginning, it is lower there: it is convex, and its steepness
// changes by a small factor only. Otherwise the step overshot a kink and is
// halved until the energy itself is lower.
func (e *energy) step(q Pose, g, along [3]float64, size float64) (Pose, [3]float64, hessian) {
	const hardly = 0.05
	falls := -dot(g, along)
	next := q.plus(along, 1)
	ng, nh := e.slopes(next)
	if dot(ng, along) <= hardly*falls || e.small(ng, size) {
		return next, ng, nh
	}
	start := e.value(q)
	for t := 1.0; t > 1e-9; t /= 2 {
		next = q.plus(along, t)
		if e.value(next) <= start-1e-4*t*falls {
			break
		}
	}
	ng, nh = e.slopes(next)
	return next, ng, nh
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func (q Pose) plus(along [3]float64, t float64) Pose {
	return Pose{q[0] + t*along[0], q[1] + t*along[1], q[2] + t*along[2]}
}

// upright refuses a pose that is tipped.
func upright(q Pose) error {
	if math.Abs(q[1])+math.Abs(q[2]) < tipped {
		return nil
	}
	return ErrTips
}

func (e *energy) small(g [3]float64, size float64) bool {
	limit := tolerance * e.scale
	return math.Abs(g[0]) <= limit && math.Abs(g[1]) <= limit*size && math.Abs(g[2]) <= limit*size
}

// hessian holds the six different second derivatives: zz, zp, zy, pp, py, yy.
type hessian [6]float64

// descend gives Newton's step -H^-1 g. Where the frame is free to move (no
// contact holds it) a weak spring keeps the step finite.
func (h hessian) descend(g [3]float64, size float64) (step [3]float64) {
	const free = 1e-9
	r2 := size * size
	weak := free*(h[0]+(h[3]+h[5])/r2) + 1e-6 // N/m
	a, b, c := h[0]+weak, h[1], h[2]
	d, e, f := h[3]+weak*r2, h[4], h[5]+weak*r2
	// Cholesky of a 3 x 3 matrix, written out: it is the innermost loop.
	l11 := math.Sqrt(a)
	l21, l31 := b/l11, c/l11
	l22 := math.Sqrt(max(d-l21*l21, weak*r2*free))
	l32 := (e - l31*l21) / l22
	l33 := math.Sqrt(max(f-l31*l31-l32*l32, weak*r2*free))
	y0 := -g[0] / l11
	y1 := (-g[1] - l21*y0) / l22
	y2 := (-g[2] - l31*y0 - l32*y1) / l33
	step[2] = y2 / l33
	step[1] = (y1 - l32*step[2]) / l22
	step[0] = (y0 - l21*step[1] - l31*step[2]) / l11
	return step
}
