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

// contact gives the contact pressure [Pa].
func (s *Segment) contact(d, pressure float64) float64 {
	p, _, _ := s.law(d, pressure)
	return p
}

// law gives the contact pressure p [Pa], its slope dp/dd [Pa/m] and its
// integral over d from far away [Pa m].
func (s *Segment) law(d, pressure float64) (p, slope, energy float64) {
	flap := s.FlapShare * pressure
	if d < 0 {
		t := d + s.FlapReach
		if t <= 0 {
			return 0, 0, 0
		}
		slope = flap / s.FlapReach
		return slope * t, slope, slope * t * t / 2
	}
	p, slope, energy = flap+s.Soft*d, s.Soft, flap*(s.FlapReach/2+d)+s.Soft*d*d/2
	if crushed := d - s.Bottom; crushed > 0 {
		more := s.Hard - s.Soft
		p += more * crushed
		slope = s.Hard
		energy += more * crushed * crushed / 2
	}
	return p, slope, energy
}
