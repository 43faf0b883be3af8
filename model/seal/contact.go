package seal

// The contact law of one segment, in terms of the interference d (how far the
// undeformed rim would reach into the undeformed face, m) and the mask
// pressure P (Pa):
//
//	p = Soft*d                       0 < d <= Bottom
//	p = Soft*Bottom + Hard*(d-Bottom)     d > Bottom
//	p = 0                                 d <= 0
//
// to which the membrane flap adds P*FlapShare where it lies on the skin
// (d >= 0), fading to nothing at the end of its reach (d = -FlapReach). The
// pressure never falls as d grows, so its integral is convex and the balance
// of the frame is unique.

// InSeries gives the foundation stiffness of cushion and tissue pressed
// together, Pa/m: 1/k = 1/cushion + 1/tissue (equal pressures, depths add).
func InSeries(cushion, tissue float64) float64 { return cushion * tissue / (cushion + tissue) }

// contact gives the contact pressure [Pa] and its slope [Pa/m].
func (s *Segment) contact(d, pressure float64) (p, slope float64) {
	if d >= 0 {
		p = s.FlapShare * pressure
		if d <= s.Bottom {
			return p + s.Soft*d, s.Soft
		}
		return p + s.Soft*s.Bottom + s.Hard*(d-s.Bottom), s.Hard
	}
	if d <= -s.FlapReach {
		return 0, 0
	}
	slope = s.FlapShare * pressure / s.FlapReach
	return slope * (d + s.FlapReach), slope
}

// energy gives the integral of contact over d from far away, Pa m.
func (s *Segment) energy(d, pressure float64) float64 {
	if d <= -s.FlapReach {
		return 0
	}
	flap := s.FlapShare * pressure
	if d < 0 {
		t := d + s.FlapReach
		return flap * t * t / (2 * s.FlapReach)
	}
	e := flap * (s.FlapReach/2 + d)
	if d <= s.Bottom {
		return e + s.Soft*d*d/2
	}
	t := d - s.Bottom
	return e + s.Soft*s.Bottom*(s.Bottom/2+t) + s.Hard*t*t/2
}
