package plan

import (
	"context"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"tautline/model/airway"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// A setup is what all persons of a question have in common.
type setup struct {
	masks    []mask.Mask // that may be tried
	pressure unit.Pressure
	limit    float64 // m3/s
	position fit.Position
	daily    float64    // spread of what gets sore, from visit to visit
	cases    []fit.Case // one for each mask, its rims cut
}

// cut prepares a case for each mask, which persons then only change the face of.
func (s *setup) cut() error {
	s.cases = nil
	for _, m := range s.masks {
		c := fit.NewCase(m, face.Average(), pullAt(m.Type, middle), s.position)
		c.Segments = ofSides
		if len(m.Rims) > 1 {
			c.Segments /= 2
		}
		c.Hose.Height = unit.Length(fit.HoseHeight.SI())
		if m.Type == mask.Pillows {
			c.Hose.Height /= 2 // a lower elbow
		}
		if err := c.Cut(); err != nil {
			return err
		}
		s.cases = append(s.cases, c)
	}
	return nil
}

// A response is what one mask does on one person at one strap force, at the
// highest pressure of the range.
type response struct {
	leak    float64          // log of m3/s, past the cushion
	bridge  float64          // share of it at bridge and nose sides
	contact [regions]float64 // log of Pa, largest over the region's sites
	site    face.Site        // of the largest of all
}

// largest is the largest contact over all regions, log of Pa.
func (r *response) largest() float64 { return max(r.contact[0], r.contact[1], r.contact[2]) }

// Strap forces are looked at in steps; those at the ends are only what a strap
// that was meant otherwise may come to.
const (
	levels  = 11
	middle  = levels / 2
	step    = 1.26 // one strap force over the next lower: a tab or two
	noLeak  = 1e-8 // m3/s, below what matters
	bursts  = 1e-1 // m3/s, a mask that tips off
	ofSides = 48   // segments of a rim: enough for 1.3 % of a leak (median)
)

// pullAt gives the strap force of a type's level.
func pullAt(t mask.Type, level int) unit.Force {
	record := fit.UsualPull[t]
	return unit.Force(record.SI() * math.Pow(step, float64(level-middle)))
}

// levelOf gives the level, not rounded, of a strap force.
func levelOf(t mask.Type, pull unit.Force) float64 {
	record := fit.UsualPull[t]
	return middle + math.Log(float64(pull)/record.SI())/math.Log(step)
}

// A bank holds the responses of many persons to all masks and strap forces.
type bank struct {
	setup
	people []person
	shape  []int      // of each person, the row of at; several persons may share one
	at     []response // shape, mask, level
	mouth  []float64  // person, mask: log of m3/s out of the mouth
}

func (b *bank) responses(person, m int) []response { return b.row(b.shape[person], m) }

func (b *bank) row(shape, m int) []response {
	i := (shape*len(b.masks) + m) * levels
	return b.at[i : i+levels]
}

func (b *bank) mouthLeak(person, m int) float64 { return b.mouth[person*len(b.masks)+m] }

// nasalMouth is what leaves the mouth behind a mask that does not enclose it, log
// of m3/s.
func (b *bank) nasalMouth(i int) float64 {
	flow := airway.MouthLeak(b.pressure, b.people[i].mouth(mask.Nasal), airway.RestedNose())
	return math.Log(max(float64(flow), noLeak))
}

// fill computes all responses, each person of a shape of their own.
func (s setup) fill(ctx context.Context, people []person) (*bank, error) {
	b, err := s.newBank(people, len(people))
	if err != nil {
		return nil, err
	}
	for i := range b.shape {
		b.shape[i] = i
	}
	return b, onAllCores(ctx, len(people), func(i int) error {
		b.breathe(i)
		return b.respond(i, &people[i])
	})
}

// newBank makes room for persons and shapes.
func (s setup) newBank(people []person, shapes int) (*bank, error) {
	if s.cases == nil {
		if err := s.cut(); err != nil {
			return nil, err
		}
	}
	return &bank{setup: s, people: people, shape: make([]int, len(people)),
		at:    make([]response, shapes*len(s.masks)*levels),
		mouth: make([]float64, len(people)*len(s.masks))}, nil
}

// onAllCores does a piece of work n times, on all cores, until one fails; the
// result does not depend on how the work is shared out.
func onAllCores(ctx context.Context, n int, do func(i int) error) error {
	var next atomic.Int64
	var all sync.WaitGroup
	var failed sync.Once
	var err error
	for range runtime.GOMAXPROCS(0) {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				if e := do(i); e != nil {
					failed.Do(func() { err = e })
					return
				}
			}
		})
	}
	all.Wait()
	if err == nil {
		err = ctx.Err()
	}
	return err
}

// breathe finds what leaves one person's mouth behind every mask.
func (b *bank) breathe(i int) {
	for m := range b.masks {
		flow := airway.MouthLeak(b.pressure, b.people[i].mouth(b.masks[m].Type), airway.RestedNose())
		b.mouth[i*len(b.masks)+m] = math.Log(max(float64(flow), noLeak))
	}
}

// respond puts every mask on one person.
func (b *bank) respond(shape int, p *person) error {
	for m := range b.masks {
		if err := b.putOn(shape, m, p); err != nil {
			return err
		}
	}
	return nil
}

// putOn finds one mask's row of a shape.
func (b *bank) putOn(shape, m int, p *person) error {
	c := b.cases[m]
	c.Face = p.face
	c.Position.JawBack += p.jawBack(b.masks[m].Type)
	c.Hose.Pull, c.Hose.Toward = p.hose.Pull, p.hose.Toward
	return b.across(&c, b.row(shape, m))
}

// across finds the responses at all levels. A mask that tips off leaks all.
func (b *bank) across(c *fit.Case, out []response) error {
	for l := range out {
		out[l] = response{leak: math.Log(bursts)}
	}
	on, err := fit.PutOn(*c)
	if err != nil {
		return nil // it tips off at every pull, as the shares stay
	}
	for l := range out {
		s := c.Straps
		s.Pull = pullAt(c.Mask.Type, l)
		f, err := on.WithStraps(s)
		if err != nil {
			continue
		}
		out[l] = respondAt(f, b.pressure, out[l])
	}
	return nil
}

// respondAt reads one balance; where there is none, the mask is off.
func respondAt(f *fit.Fitting, pressure unit.Pressure, off response) response {
	p := f.Problem()
	q, err := p.Balance(f.Settled(), f.Settled(), float64(pressure))
	if err != nil {
		return off
	}
	r := response{}
	sum, bridge, most := 0.0, 0.0, 0.0
	contact := [regions]float64{1, 1, 1} // Pa, nothing to feel
	for i := range p.Segments {
		s := p.State(i, q, float64(pressure))
		site := p.Segments[i].Site
		sum += s.Leak
		in := region(site)
		if in == onBridge {
			bridge += s.Leak
		}
		contact[in] = max(contact[in], s.Contact)
		if s.Contact > most {
			most, r.site = s.Contact, site
		}
	}
	r.leak = math.Log(max(sum, noLeak))
	for i := range contact {
		r.contact[i] = math.Log(contact[i])
	}
	r.bridge = bridge / max(sum, noLeak)
	return r
}
