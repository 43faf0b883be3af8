package picture

import (
	"math"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

// The masks below are invented and only look like results: the numbers follow
// simple rules, not the model, so that a test can say what the picture must do.

// invented describes one of them.
type invented struct {
	width, height float64     // mm
	narrow        float64     // how much narrower at the top, 0 to 1
	sites         []face.Site // of the wearer's left, from the top down, with the midline ones
	contact       map[face.Site]unit.Pressure
	pressure      unit.Pressure
	leaking       map[face.Site]unit.Flow
	crushed       map[face.Site]bool
	first         face.Site
	lift          unit.Pressure
	segments      int
}

func nasal() invented {
	return invented{width: 50, height: 58, narrow: 0.35, segments: 96, pressure: 12 * unit.CmH2O,
		sites: []face.Site{face.Bridge, face.NoseSideLeft, face.CheekLeft, face.Lip},
		contact: map[face.Site]unit.Pressure{face.Bridge: 48 * unit.MmHg, face.Lip: 31 * unit.MmHg,
			face.NoseSideLeft: 22 * unit.MmHg, face.CheekLeft: 18 * unit.MmHg},
		first: face.CheekLeft, lift: 24.6 * unit.CmH2O}
}

func oronasal() invented {
	return invented{width: 88, height: 112, narrow: 0.45, segments: 96, pressure: 12 * unit.CmH2O,
		sites: []face.Site{face.Bridge, face.NoseSideLeft, face.CheekLeft, face.CornerLeft, face.Chin},
		contact: map[face.Site]unit.Pressure{face.Bridge: 55 * unit.MmHg, face.NoseSideLeft: 26 * unit.MmHg,
			face.CheekLeft: 19 * unit.MmHg, face.CornerLeft: 15 * unit.MmHg, face.Chin: 12 * unit.MmHg},
		first: face.Chin, lift: 15.2 * unit.CmH2O}
}

// point rounds up the states that the picture reads.
func (v invented) point() fit.Point {
	p := fit.Point{Set: v.pressure, Mask: v.pressure * 0.97, StrapSet: 3.43, StrapAtPressure: 4.02,
		Vent: 36 * unit.LPerMin, LiftOff: v.lift, HasLiftOff: v.lift > 0, OpensFirst: v.first}
	for i := range v.segments {
		p.Segments = append(p.Segments, v.segment(i, p.Mask))
	}
	v.spreadLeaks(p.Segments)
	v.sum(&p)
	return p
}

// segment goes round from the bridge to the wearer's left; the sites are
// stretches of equal angle and mirror each other.
func (v invented) segment(i int, mask unit.Pressure) fit.SegmentState {
	turn := (float64(i) + 0.5) / float64(v.segments)
	a := 2 * math.Pi * turn
	x, y := v.width/2*math.Sin(a), v.height/2*math.Cos(a)
	x *= 1 - v.narrow*(1+math.Cos(a))/2
	half := turn
	if half > 0.5 {
		half = 1 - half
	}
	n := len(v.sites) - 1
	site := v.sites[int(math.Round(half*2*float64(n)))]
	s := fit.SegmentState{X: unit.Length(x) * unit.Mm, Y: unit.Length(y) * unit.Mm,
		Length: unit.Length(math.Pi*(v.width+v.height)/2/float64(v.segments)) * unit.Mm,
		Width:  8 * unit.Mm, Contact: v.smooth(half, n)}
	if turn > 0.5 {
		site = site.Mirror()
	}
	if c, ok := v.contact[site]; ok && c == 0 {
		s.Contact = 0
	}
	s.Site, s.Margin, s.Crushed = site, s.Contact-mask, v.crushed[site]
	return s
}

// smooth joins the sites' contacts by a cosine, so that bands change gently.
func (v invented) smooth(half float64, n int) unit.Pressure {
	at := half * 2 * float64(n)
	i := min(int(at), n-1)
	w := unit.Pressure((1 - math.Cos(math.Pi*(at-float64(i)))) / 2)
	return v.contact[v.sites[i]]*(1-w) + v.contact[v.sites[i+1]]*w
}

// spreadLeaks gives each leaking site its flow, most in the middle.
func (v invented) spreadLeaks(segments []fit.SegmentState) {
	for site, q := range v.leaking {
		var own []int
		for i, s := range segments {
			if s.Site == site {
				own = append(own, i)
			}
		}
		for _, i := range own {
			segments[i].Leak = q / unit.Flow(len(own))
			segments[i].Gap = 80 * unit.Um
			segments[i].Contact = 0
			segments[i].Margin = -v.pressure * 0.97
		}
	}
}

func (v invented) sum(p *fit.Point) {
	for site := face.Site(0); site < face.SiteCount; site++ {
		s := fit.SiteState{Site: site, Margin: unit.Pressure(math.Inf(1))}
		n := 0
		for _, g := range p.Segments {
			if g.Site != site {
				continue
			}
			n++
			s.Contact, s.Margin = max(s.Contact, g.Contact), min(s.Margin, g.Margin)
			s.Gap, s.Leak = max(s.Gap, g.Gap), s.Leak+g.Leak
			s.ContactMean += g.Contact
			s.Crushed = s.Crushed || g.Crushed
		}
		if n > 0 {
			s.ContactMean /= unit.Pressure(n)
			p.Leak += s.Leak
			p.Sites = append(p.Sites, s)
		}
	}
}

// pillows are two small ellipses.
func pillows(leftContact, rightContact unit.Pressure, rightLeak unit.Flow) fit.Point {
	p := fit.Point{Set: 10 * unit.CmH2O, Mask: 9.8 * unit.CmH2O, StrapSet: 2.1, StrapAtPressure: 2.3,
		Vent: 30 * unit.LPerMin, OpensFirst: face.NostrilRight, HasLiftOff: true, LiftOff: 11.3 * unit.CmH2O}
	for k, site := range []face.Site{face.NostrilLeft, face.NostrilRight} {
		for i := range 48 {
			a := 2 * math.Pi * (float64(i) + 0.5) / 48
			sign := float64(1 - 2*k)
			s := fit.SegmentState{Site: site, Length: 0.85 * unit.Mm, Width: 4 * unit.Mm,
				X: unit.Length(sign*9+sign*5.5*math.Sin(a)) * unit.Mm, Y: unit.Length(7.5*math.Cos(a)) * unit.Mm,
				Contact: []unit.Pressure{leftContact, rightContact}[k]}
			if k == 1 && i > 8 && i < 20 && rightLeak > 0 {
				s.Leak, s.Contact = rightLeak/11, 0
			}
			s.Margin = s.Contact - p.Mask
			p.Segments = append(p.Segments, s)
		}
	}
	invented{}.sum(&p)
	return p
}
