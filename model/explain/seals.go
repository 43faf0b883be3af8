package explain

import (
	"errors"
	"math"
	"math/rand/v2"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/unit"
)

// A sealCurve is one seal's leak over the bank's pressures, with what a few
// steps would do to it at the highest of them.
type sealCurve struct {
	pull   float64   // N, sum of the straps
	leak   []float64 // over Bank.grid, as a share of the leak at the highest pressure
	site   face.Site // where it leaks most there
	step   float64   // leak after one small step of the straps, as a share
	press  float64   // Pa, what that step adds to the largest contact
	worst  face.Site // where that contact is
	change float64   // leak with a new cushion, as a share

	departs [face.SiteCount]unit.Length // the face from the one that the size is drawn for
	full    float64                     // m3/s, the leak at the highest pressure
	firmest float64                     // Pa, the largest contact there
}

// segments of a rim in the bank: a third of the usual number. Shapes of curves,
// not leaks, are taken from it.
const segments = 32

// A sealer draws faces behind one mask. It is not for several goroutines.
type sealer struct {
	on          *wearing
	fresh, worn *seal.Problem
	spread      float64
	face        face.Face
}

// wearing is one mask ready for many faces, its cushion new and worn.
type wearing struct{ fresh, worn *fit.Template }

// onBack is a case of a mask as the bank's curves have it: on the back, on a
// face that its size is drawn for.
func onBack(m mask.Mask, pull unit.Force) fit.Case {
	on, _ := fit.FindPosition("on the back")
	c := fit.NewCase(m, sized(&m), pull, on)
	c.Segments = segments / len(m.Rims)
	return c
}

// sized is the face that a mask's size is drawn for. What a size too large or
// too small does is part of the departures that are drawn.
func sized(m *mask.Mask) face.Face {
	f := face.Average()
	f.Length, f.Width, f.NoseWidth = m.FitsLength, m.FitsWidth, m.FitsNose
	return f
}

// wear cuts the mask's rims once; faces only change the mismatch.
func wear(m mask.Mask) (*wearing, error) {
	c := onBack(m, unit.Force(fit.StrapRange.SI()))
	fresh, err := fit.NewTemplate(c)
	if err != nil {
		return nil, err
	}
	c.Cushion.Days = wornDays * unit.Day
	worn, err := fit.NewTemplate(c)
	return &wearing{fresh, worn}, err
}

func (b *Bank) sealer() *sealer {
	return &sealer{on: b.wearing, fresh: b.wearing.fresh.Problem(), worn: b.wearing.worn.Problem(),
		spread: float64(b.Priors.Shape.FaceSpread), face: sized(&b.Mask)}
}

// newFace puts a random face behind the mask. All sites are drawn, those that
// this mask does not touch as well: another type will.
func (s *sealer) newFace(r *rand.Rand) {
	for k := range s.face.Deviation {
		s.face.Deviation[k] = unit.Length(s.spread * r.NormFloat64())
	}
	s.on.fresh.Put(&s.face, s.fresh)
	s.on.fresh.Put(&s.face, s.worn)
}

// pulled sets the sum of the strap pulls [N], shared out as in the mask's case.
func (s *sealer) pulled(p *seal.Problem, sum float64) { s.on.fresh.Pull(p, unit.Force(sum)) }

// balanced balances a problem at a strap pull and mask pressure.
func (s *sealer) balanced(p *seal.Problem, pull, pressure float64) (set, q seal.Pose, err error) {
	s.pulled(p, pull)
	if set, err = p.Settle(); err != nil {
		return
	}
	q, err = p.Balance(set, set, pressure)
	return
}

var errNoPull = errors.New("no strap pull opens this seal at that pressure")

// pullFor finds the strap pull at which the seal begins to open at a pressure:
// the least net margin there is half the closing stress. The margin is nearly
// linear in the pull, so a bracketed secant needs few steps.
func (s *sealer) pullFor(p *seal.Problem, opens float64) (float64, error) {
	const steps = 5
	margin := func(pull float64) (float64, error) {
		_, q, err := s.balanced(p, pull, opens)
		if err != nil {
			return 0, err
		}
		m, _ := p.Margin(q, opens)
		return m - p.Closing/2, nil
	}
	lo, hi := fit.StrapRange.Low, 15.0
	top, err := margin(hi)
	if err != nil || top <= 0 {
		return 0, errNoPull
	}
	low, err := margin(lo)
	if err != nil || low >= 0 {
		return 0, errNoPull
	}
	pull := lo
	for range steps {
		pull = lo + (hi-lo)*low/(low-top)
		pull = min(max(pull, lo+0.05*(hi-lo)), hi-0.05*(hi-lo))
		m, err := margin(pull)
		if err != nil {
			return 0, err
		}
		if math.Abs(m) < 20 { // Pa: a tenth of a cmH2O is well within what is drawn
			break
		}
		if m > 0 {
			hi, top = pull, m
		} else {
			lo, low = pull, m
		}
	}
	return pull, nil
}

// curve gives the leak of a drawn face that begins to open at a pressure [Pa],
// over the grid, as a share of that at its point top; worn, with a worn cushion.
func (s *sealer) curve(r *rand.Rand, grid []float64, top int, opens float64, worn bool) (sealCurve, bool) {
	s.newFace(r)
	p := s.fresh
	if worn {
		p = s.worn
	}
	pull, err := s.pullFor(p, opens)
	if err != nil {
		return sealCurve{}, false
	}
	s.pulled(p, pull)
	set, err := p.Settle()
	if err != nil {
		return sealCurve{}, false
	}
	c := sealCurve{pull: pull, departs: s.face.Deviation}
	leak, full, there, ok := across(p, set, grid, top)
	if !ok {
		return sealCurve{}, false
	}
	c.leak, c.full = leak, full
	c.site = leakiest(p, there, grid[top])
	s.effects(&c, p, there, grid[top])
	return c, true
}

// across gives the leak over the grid as a share of that at its point top, that
// leak itself [m3/s], and where the mask stands there.
func across(p *seal.Problem, set seal.Pose, grid []float64, top int) (leak []float64, full float64, there seal.Pose, ok bool) {
	leak, q := make([]float64, len(grid)), set
	for i, at := range grid {
		var err error
		if q, err = p.Balance(set, q, at); err != nil {
			return nil, 0, q, false
		}
		if leak[i] = p.Leak(q, at); i == top {
			there = q
		}
	}
	if full = leak[top]; full <= 0 {
		return nil, 0, there, false
	}
	for i := range leak {
		leak[i] /= full
	}
	return leak, full, there, true
}

// dropped gives the leak of a drawn face whose jaw drops within a mask that
// encloses the mouth: the chin recedes, as in the airway model. The straps hold
// up to a pressure [Pa] while the mouth is shut.
func (s *sealer) dropped(r *rand.Rand, grid []float64, top int, opens float64, drop unit.Length) (leak []float64, full float64, ok bool) {
	s.newFace(r)
	pull, err := s.pullFor(s.fresh, opens)
	if err != nil {
		return nil, 0, false
	}
	s.face.Deviation[face.Chin] += drop
	s.on.fresh.Put(&s.face, s.fresh)
	s.pulled(s.fresh, pull)
	set, err := s.fresh.Settle()
	if err != nil {
		return nil, 0, false
	}
	leak, full, _, ok = across(s.fresh, set, grid, top)
	return leak, full, ok
}

// leakiest gives the site through which most of the leak goes.
func leakiest(p *seal.Problem, q seal.Pose, pressure float64) face.Site {
	var by [face.SiteCount]float64
	best := face.Site(0)
	for i := range p.Segments {
		by[p.Segments[i].Site] += p.State(i, q, pressure).Leak
	}
	for s := range by {
		if by[s] > by[best] {
			best = face.Site(s)
		}
	}
	return best
}

// effects works out what a strap step and a new cushion do at the highest
// pressure read.
func (s *sealer) effects(c *sealCurve, p *seal.Problem, q seal.Pose, pressure float64) {
	c.firmest, _ = contact(p, q, pressure)
	c.step, c.change = 1, 1
	if _, tight, err := s.balanced(p, c.pull+StrapStep.SI(), pressure); err == nil {
		c.step = min(p.Leak(tight, pressure)/c.full, 1.5)
		after, site := contact(p, tight, pressure)
		c.press, c.worst = after-c.firmest, site
	}
	if p == s.worn {
		if _, fresh, err := s.balanced(s.fresh, c.pull, pressure); err == nil {
			c.change = min(s.fresh.Leak(fresh, pressure)/c.full, 1)
		}
	}
}

// contact gives the largest contact pressure and where it is.
func contact(p *seal.Problem, q seal.Pose, pressure float64) (most float64, at face.Site) {
	for i := range p.Segments {
		if st := p.State(i, q, pressure); st.Contact > most {
			most, at = st.Contact, p.Segments[i].Site
		}
	}
	return most, at
}
