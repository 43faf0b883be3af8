package seal

import "math"

// A plain twin of the solver, slow and written from the laws' own words, knows
// nothing of the fast one's formulas, derivatives or search.
type plain struct {
	p        *Problem
	pressure float64
	straps   func(give float64, s *Strap) float64 // energy of a strap that gives way
	set      Pose
}

// plainContact is the wall's push, crushed part included, and what of the flap
// lies on the skin.
func plainContact(s *Segment, d, pressure float64) float64 {
	pressed := max(d, 0)
	crushed := max(d-s.Bottom, 0)
	onSkin := min(max(1+d/s.FlapReach, 0), 1)
	return s.Soft*(pressed-crushed) + s.Hard*crushed + s.FlapShare*pressure*onSkin
}

// plainWork sums the contact pressure over the depth, from kink to kink.
func plainWork(s *Segment, d, pressure float64) float64 {
	work, at := 0.0, -s.FlapReach
	for _, next := range []float64{0, s.Bottom, math.Inf(1)} {
		if d <= at {
			break
		}
		to := min(next, d)
		work += (to - at) * (plainContact(s, at, pressure) + plainContact(s, to, pressure)) / 2
		at = next
	}
	return work
}

// elastic straps pull less the more they give, and nothing once slack.
func elastic(give float64, s *Strap) float64 {
	slackAt := s.Pull / s.Stiffness
	if give >= slackAt {
		return 0
	}
	return s.Stiffness * (slackAt - give) * (slackAt - give) / 2
}

// constant straps pull the same wherever they are.
func constant(give float64, s *Strap) float64 { return -s.Pull * give }

// energy is what the frame gives up or gains on its way to a pose.
func (l plain) energy(q Pose) float64 {
	sum := 0.0
	for i := range l.p.Segments {
		s := &l.p.Segments[i]
		sum += plainWork(s, q[0]+s.Y*q[1]+s.X*q[2]-s.Mismatch, l.pressure) * s.Length * s.Width
	}
	for i := range l.p.Straps {
		s := &l.p.Straps[i]
		give := 0.0
		for k, gain := range s.Gain {
			give += gain * (q[k] - l.set[k])
		}
		sum += l.straps(give, s)
	}
	for _, f := range l.p.Loads {
		sum -= f.Force*(q[0]+f.Y*q[1]+f.X*q[2]) + f.Pitch*q[1] + f.Yaw*q[2]
	}
	return sum + l.pressure*l.p.Area*(q[0]+l.p.CY*q[1]+l.p.CX*q[2])
}

// plainLeak halves its way to the flow that takes the whole pressure.
func (l plain) leak(q Pose) float64 {
	total := 0.0
	for i := range l.p.Segments {
		s := &l.p.Segments[i]
		d := q[0] + s.Y*q[1] + s.X*q[2] - s.Mismatch
		gap := l.gap(s, d)
		if gap <= 0 {
			continue
		}
		takes := func(flow float64) float64 {
			speed := flow / (gap * s.Length)
			return 12*l.p.Viscosity*s.Width*speed/(gap*gap) + l.p.LossFactor*l.p.Density/2*speed*speed
		}
		lo, hi := 0.0, 1.0
		for range 100 {
			if middle := (lo + hi) / 2; takes(middle) < l.pressure {
				lo = middle
			} else {
				hi = middle
			}
		}
		total += lo
	}
	return total
}

// gap opens by the texture until the flap lifts, then by the flap; a skin that
// has left the flap behind adds its distance.
func (l plain) gap(s *Segment, d float64) float64 {
	margin := plainContact(s, d, l.pressure) - l.pressure
	if margin >= l.p.Closing {
		return s.Hair
	}
	join := l.p.GapScale * l.p.FlapLifting
	texture := l.p.GapScale * math.Log(l.p.Closing/max(margin, join))
	flap := max(join-margin, 0) / l.p.FlapLifting
	return max(texture+flap+max(-d-s.FlapReach, 0), s.Hair)
}
