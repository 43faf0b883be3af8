package seal

import "math"

// Gap gives the mean gap [m] between cushion and skin for a net margin s [Pa],
// contact pressure minus mask pressure, on the part of the skin that the flap
// still reaches.
//
//	u = 0                    s >= p*
//	u = u0 ln(p*/s)          sj <= s < p*,  sj = u0 kf
//	u = u(sj) + (sj - s)/kf  s < sj
//
// The first law is the separation of two rough surfaces pressed together (B. N.
// J. Persson, "Relation between interfacial separation and load", Phys Rev Lett
// 2007;99:125502); the second is the flap lifting like a spring, joined with
// the same slope.
func (c *Constants) Gap(s float64) float64 {
	if s >= c.Closing {
		return 0
	}
	join := c.GapScale * c.FlapLifting
	if join >= c.Closing { // the flap lifts before the texture separates
		return (c.Closing - s) / c.FlapLifting
	}
	if s >= join {
		return c.GapScale * math.Log(c.Closing/s)
	}
	return c.GapScale*math.Log(c.Closing/join) + (join-s)/c.FlapLifting
}

// gap gives the gap of a segment: the law above, the plain distance beyond the
// flap's reach, and at least what hair keeps open.
func (s *Segment) gap(c *Constants, d, margin float64) float64 {
	u := 0.0
	if margin < c.Closing {
		u = c.Gap(margin)
		if beyond := -d - s.FlapReach; beyond > 0 {
			u += beyond
		}
	}
	return max(u, s.Hair)
}

// Slot gives the flow [m3/s] through a flat gap: height h, width w across the
// flow, length b along it [m], under a pressure difference [Pa]:
//
//	dP = 12 mu b q/(h^3 w) + K (rho/2) (q/(h w))^2
//
// The first term is plane Poiseuille flow, the second what entrance and exit
// lose; the positive root is taken in the form that stays exact for h -> 0.
func Slot(h, w, b, pressure, loss float64, g Gas) float64 {
	if h <= 0 || pressure <= 0 {
		return 0
	}
	viscous := 12 * g.Viscosity * b / w
	inertial := loss * g.Density / (2 * w * w)
	h3 := h * h * h
	return 2 * pressure * h3 / (viscous + math.Sqrt(viscous*viscous+4*inertial*h3*h*pressure))
}

// Leak gives the flow past the whole seal [m3/s] at a pose.
func (p *Problem) Leak(q Pose, pressure float64) float64 {
	total := 0.0
	for i := range p.Segments {
		s := &p.Segments[i]
		d := q[0] + s.Y*q[1] + s.X*q[2] - s.Mismatch
		contact := s.contact(d, pressure)
		margin := contact - pressure
		if margin >= p.Closing && s.Hair == 0 {
			continue
		}
		total += Slot(s.gap(&p.Constants, d, margin), s.Length, s.Width, pressure, p.LossFactor, p.Gas)
	}
	return total
}

// Margin gives the smallest net margin [Pa] round the rim and the segment
// where it is.
func (p *Problem) Margin(q Pose, pressure float64) (margin float64, at int) {
	margin = math.Inf(1)
	for i := range p.Segments {
		s := &p.Segments[i]
		contact := s.contact(q.At(s.X, s.Y)-s.Mismatch, pressure)
		if m := contact - pressure; m < margin {
			margin, at = m, i
		}
	}
	return margin, at
}
