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
}

// segments of a rim in the bank: a third of the usual number. Shapes of curves,
// not leaks, are taken from it.
const segments = 32

// A sealer draws faces behind one mask. It is not for several goroutines.
type sealer struct {
	fresh, worn seal.Problem
	joints      []*face.Joint
	sites       [][]face.Site
	profile     [face.SiteCount]float64
	spread      float64
	mismatch    []float64
}

// newSealer builds the mask's problem once; faces only change the mismatch.
func newSealer(m mask.Mask, spread unit.Length, days unit.Time) (*sealer, error) {
	on, _ := fit.FindPosition("on the back")
	c := fit.NewCase(m, face.Average(), unit.Force(fit.StrapRange.SI()), on)
	c.Segments = segments / len(m.Rims)
	fresh, err := c.Problem()
	if err != nil {
		return nil, err
	}
	c.Cushion.Days = days
	worn, err := c.Problem()
	if err != nil {
		return nil, err
	}
	s := &sealer{fresh: *fresh, worn: *worn, spread: float64(spread), mismatch: make([]float64, len(fresh.Segments))}
	for k := range m.Rims {
		out, err := m.Rims[k].Outline(c.Segments, m.Width)
		if err != nil {
			return nil, err
		}
		at := make([]float64, len(out.Pieces))
		for i := range at {
			at[i] = out.Pieces[i].At
		}
		joint, err := face.NewJoint(out.Landmarks, at)
		if err != nil {
			return nil, err
		}
		s.joints, s.sites = append(s.joints, joint), append(s.sites, out.Sites)
	}
	for k := range face.SiteCount {
		s.profile[k] = float64(m.Profile[k])
	}
	return s, nil
}

// newFace puts a random face behind the mask.
func (s *sealer) newFace(r *rand.Rand) {
	at := 0
	for k, joint := range s.joints {
		marks := make([]float64, len(s.sites[k]))
		for i, site := range s.sites[k] {
			marks[i] = s.profile[site] + s.spread*r.NormFloat64()
		}
		n := len(s.mismatch) / len(s.joints)
		joint.Join(marks, s.mismatch[at:at+n])
		at += n
	}
	for i, m := range s.mismatch {
		s.fresh.Segments[i].Mismatch, s.worn.Segments[i].Mismatch = m, m
	}
}

// pulled sets the sum of the strap pulls, shared out as before.
func pulled(p *seal.Problem, sum float64) {
	total := 0.0
	for i := range p.Straps {
		total += p.Straps[i].Pull
	}
	for i := range p.Straps {
		p.Straps[i].Pull *= sum / total
	}
}

// at balances a problem at a strap pull and mask pressure.
func balanced(p *seal.Problem, pull, pressure float64) (set, q seal.Pose, err error) {
	pulled(p, pull)
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
func pullFor(p *seal.Problem, opens float64) (float64, error) {
	const steps = 5
	margin := func(pull float64) (float64, error) {
		_, q, err := balanced(p, pull, opens)
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
// over the grid; worn, with a worn cushion.
func (s *sealer) curve(r *rand.Rand, grid []float64, opens float64, worn bool) (sealCurve, bool) {
	s.newFace(r)
	p := &s.fresh
	if worn {
		p = &s.worn
	}
	pull, err := pullFor(p, opens)
	if err != nil {
		return sealCurve{}, false
	}
	pulled(p, pull)
	set, err := p.Settle()
	if err != nil {
		return sealCurve{}, false
	}
	c := sealCurve{pull: pull, leak: make([]float64, len(grid))}
	q := set
	for i, at := range grid {
		if q, err = p.Balance(set, q, at); err != nil {
			return sealCurve{}, false
		}
		c.leak[i] = p.Leak(q, at)
	}
	top := c.leak[len(grid)-1]
	if top <= 0 {
		return sealCurve{}, false
	}
	for i := range c.leak {
		c.leak[i] /= top
	}
	c.site = leakiest(p, q, grid[len(grid)-1])
	s.effects(&c, p, q, grid[len(grid)-1], top)
	return c, true
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

// strapStep is one small step of the straps, all together.
const strapStep = 0.5 // N

// effects works out what a strap step and a new cushion do at the highest
// pressure.
func (s *sealer) effects(c *sealCurve, p *seal.Problem, q seal.Pose, pressure, top float64) {
	before, _ := contact(p, q, pressure)
	c.step, c.change = 1, 1
	if _, tight, err := balanced(p, c.pull+strapStep, pressure); err == nil {
		c.step = min(p.Leak(tight, pressure)/top, 1.5)
		after, site := contact(p, tight, pressure)
		c.press, c.worst = after-before, site
	}
	if p == &s.worn {
		if _, fresh, err := balanced(&s.fresh, c.pull, pressure); err == nil {
			c.change = min(s.fresh.Leak(fresh, pressure)/top, 1)
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
