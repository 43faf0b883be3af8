package published

import (
	"errors"
	"math"
	"math/rand/v2"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/population"
	"tautline/model/seal"
	"tautline/model/unit"
)

// sealLaws are the laws that the checks of section 4 hold; a test bends one at
// a time to see a named check fail.
type sealLaws struct {
	gap     func(c seal.Constants, margin float64) float64
	slot    func(h, w, b, pressure, loss float64, g seal.Gas) float64
	hair    func(length, hair unit.Length) unit.Length
	modulus func(shoreA float64) unit.Pressure
	// problem and fitting bend a rim or a case before it is solved.
	problem func(*seal.Problem)
	fitting func(*fit.Case)
}

var sealActual = sealLaws{
	gap:     func(c seal.Constants, margin float64) float64 { return c.Gap(margin) },
	slot:    seal.Slot,
	hair:    face.HairGap,
	modulus: mask.Modulus,
	problem: func(*seal.Problem) {},
	fitting: func(*fit.Case) {},
}

const (
	duong      = "D. H. Duong et al., Am J Respir Crit Care Med 2020;201:A2432: strap forces; the area is force over pressure"
	duongGrid  = "D. H. Duong et al., ERJ Open Res 2021, 10.1183/23120541.00632-2020: the grid of pressures and forces"
	schettino  = "G. P. P. Schettino et al., Intensive Care Med 2001;27:1887-91"
	brill      = "A.-K. Brill et al., ERJ Open Res 2018;4:00168-2017"
	munckton   = "K. Munckton et al., Anaesthesia 2007;62:1126-31"
	sims       = "Sims et al., J Biomech 2016"
	oestenst   = "R. K. Oestenstad et al., Am Ind Hyg Assoc J 1990;51:285-90"
	floyd      = "E. L. Floyd et al., J Occup Environ Hyg 2018;15:334-40"
	gent       = "A. N. Gent, Rubber Chem Technol 1958;31:896, computed from its equation"
	poiseuille = "plane Poiseuille flow with K rho/2 v^2 at the ends, computed by hand"
)

func sealChecks(l sealLaws) []Check {
	var all []Check
	for _, part := range [][]Check{l.balance(), l.threshold(), l.oronasal(), l.grid(), l.slots(),
		l.tissue(), l.sites(), l.beard(), l.plane(), l.rubber()} {
		all = append(all, part...)
	}
	for i := range all {
		all[i].Section = 4
	}
	return all
}

// ring is a uniform round rim with three straps evenly round it.
type ring struct {
	length, width float64 // m
	soft, flap    float64 // Pa/m, 1
	straps        float64 // N/m, all together
	pull          float64 // N, all together
}

func (r ring) area() float64 {
	radius := r.length/(2*math.Pi) - r.width/2
	return math.Pi * radius * radius
}

func (r ring) problem() *seal.Problem {
	const n = 96
	p := &seal.Problem{Area: r.area(), Constants: seal.UsualConstants(), Gas: seal.Gas{Density: 1.15, Viscosity: 1.86e-5}}
	radius := r.length / (2 * math.Pi)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / n)
		p.Segments = append(p.Segments, seal.Segment{X: radius * sin, Y: radius * cos, Length: r.length / n,
			Width: r.width, Soft: r.soft, Hard: 3 * r.soft, Bottom: 1, FlapShare: r.flap, FlapReach: 3e-3})
	}
	for i := range 3 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 3)
		p.Straps = append(p.Straps, seal.Strap{Gain: [3]float64{1, radius * cos, radius * sin},
			Stiffness: r.straps / 3, Pull: r.pull / 3})
	}
	return p
}

// liftOff finds by halving the mask pressure at which the smallest margin is
// zero, in Pa.
func liftOff(p *seal.Problem) (float64, error) {
	set, err := p.Settle()
	if err != nil {
		return 0, err
	}
	lo, hi := 0.0, float64(200*unit.CmH2O)
	for range 60 {
		middle := (lo + hi) / 2
		q, err := p.Balance(set, set, middle)
		if err != nil {
			return 0, err
		}
		if m, _ := p.Margin(q, middle); m > 0 {
			lo = middle
		} else {
			hi = middle
		}
	}
	return lo, nil
}

func (l sealLaws) balance() []Check {
	// With straps that do not stretch and no flap, force over pressure is the
	// area held down, contact band included.
	held := func(id string, force, want float64) Check {
		return Check{ID: id, Source: duong, Unit: "cm2", Predicted: true, Want: Within(want, 0.01),
			What: "area that " + unit.Force(force).String() + " hold at 12 cmH2O, constant straps, no flap",
			Run: func() (float64, error) {
				r := ring{length: 0.17, width: 8e-3, soft: 2e5, straps: 1e-3, pull: force}
				p := r.problem()
				l.problem(p)
				at, err := liftOff(p)
				return (r.area() + r.length*r.width) * at / float64(12*unit.CmH2O) * 1e4, err
			}}
	}
	uniform := Check{ID: "seal-lift-off", Source: "balance of a uniform rim on elastic straps, by hand: d0 (Ks + k b L)/(A + b L + Ks (1 - eta)/k)",
		Unit: "cmH2O", Predicted: true, Want: Within(20.0874, 0.001),
		What: "lift-off of a round rim, L 0.3 m, b 10 mm, k 0.25 kPa/mm, eta 0.8, Ks 2400 N/m, 5 N",
		Run: func() (float64, error) {
			p := ring{length: 0.3, width: 1e-2, soft: 2.5e5, flap: 0.8, straps: 2400, pull: 5}.problem()
			l.problem(p)
			at, err := liftOff(p)
			return unit.Pressure(at).CmH2O(), err
		}}
	return []Check{held("seal-held-loose", 0.98, 8.3), held("seal-held-right", 3.43, 29.1),
		held("seal-held-tight", 5.88, 50.0), uniform}
}

func (l sealLaws) threshold() []Check {
	// Flow through 10 cm of cushion 10 mm wide at a fixed 10 cmH2O stands for
	// the conductance.
	flow := func(margin float64) float64 {
		c := seal.UsualConstants()
		h := l.gap(c, margin*float64(unit.CmH2O))
		return l.slot(h, 0.1, 0.01, float64(10*unit.CmH2O), c.LossFactor, seal.Gas{Density: 1.15, Viscosity: 1.86e-5})
	}
	grows := func(id string, to, least float64) Check {
		return Check{ID: id, Source: schettino, Want: AtLeast(least),
			What: "leak at a net margin of " + unit.Round(to) + " over that at 1.7 cmH2O",
			Uses: []unit.Parameter{seal.Closing, seal.GapScale},
			Run: func() (float64, error) {
				if !(flow(1.7) > 0) {
					return 0, errors.New("no leak at 1.7 cmH2O, where 5 % of a breath was measured")
				}
				return flow(to) / flow(1.7), nil
			}}
	}
	return []Check{grows("seal-threshold-1.1", 1.1, 5), grows("seal-threshold-0.5", 0.5, 25), grows("seal-threshold-0.1", 0.1, 100)}
}

// put puts the starting set of a type on the average face.
func (l sealLaws) put(kind mask.Type, pull unit.Force, at fit.Position, change func(*fit.Case)) (*fit.Fitting, error) {
	m, err := mask.Find(kind, "medium")
	if err != nil {
		return nil, err
	}
	c := fit.NewCase(m, face.Average(), pull, at)
	if change != nil {
		change(&c)
	}
	l.fitting(&c)
	return fit.PutOn(c)
}

// upright is a mask that feels nothing but straps and pressure.
var upright = fit.Position{Name: "weightless"}

// right is the sum of strap pulls of a rightly tightened oronasal mask.
const right = 8 * unit.N

func contactAt(f *fit.Fitting, set unit.Pressure, sites ...face.Site) (unit.Pressure, error) {
	p, err := f.At(set)
	if err != nil {
		return 0, err
	}
	sum, n := unit.Pressure(0), 0
	for _, s := range p.Sites {
		for _, want := range sites {
			if s.Site == want {
				sum, n = sum+s.ContactMean, n+1
			}
		}
	}
	if n == 0 {
		return 0, errors.New("the mask does not touch that site")
	}
	return sum / unit.Pressure(n), nil
}

func (l sealLaws) bridge(pull unit.Force, at fit.Position, set unit.Pressure, change func(*fit.Case)) (float64, error) {
	f, err := l.put(mask.Oronasal, pull, at, change)
	if err != nil {
		return 0, err
	}
	p, err := contactAt(f, set, face.Bridge)
	return p.KPa(), err
}

func (l sealLaws) oronasal() []Check {
	all := []Check{
		{ID: "seal-bridge-indifferent", Source: brill, Unit: "%", Want: AtMost(15),
			What: "change of bridge contact from 10 to 20 cmH2O at fixed straps, oronasal",
			Run: func() (float64, error) {
				low, err := l.bridge(right, upright, 10*unit.CmH2O, nil)
				if err != nil {
					return 0, err
				}
				high, err := l.bridge(right, upright, 20*unit.CmH2O, nil)
				return 100 * math.Abs(high/low-1), err
			}},
		{ID: "seal-bridge-level", Source: brill + ": 6.35 to 12.25 kPa", Unit: "kPa", Want: Between(5, 13),
			What: "mean bridge contact of a rightly tightened oronasal mask, 12 cmH2O",
			Run:  func() (float64, error) { return l.bridge(right, upright, 12*unit.CmH2O, nil) }},
		{ID: "seal-nose-cheek", Source: munckton + ": 65.8 over 15.4 mmHg, 4.3", Want: Between(2.5, 7),
			What: "bridge over cheek contact, oronasal, 12 cmH2O",
			Run: func() (float64, error) {
				f, err := l.put(mask.Oronasal, right, upright, nil)
				if err != nil {
					return 0, err
				}
				nose, err := contactAt(f, 12*unit.CmH2O, face.Bridge)
				if err != nil {
					return 0, err
				}
				cheek, err := contactAt(f, 12*unit.CmH2O, face.CheekLeft, face.CheekRight)
				return float64(nose / cheek), err
			}},
		{ID: "seal-inflation-adds", Source: munckton, Unit: "%", Want: AtMost(20),
			What: "interaction of tightening and pressure over the smaller main effect, cheek contact",
			Run:  l.interaction},
		{ID: "seal-supine", Source: brill + ": 0.894", Want: Between(0.80, 0.97),
			What: "bridge contact on the back over sitting, oronasal, 10 cmH2O",
			Uses: []unit.Parameter{fit.SittingHang, fit.LyingPress, fit.LyingSlack},
			Run:  func() (float64, error) { return l.supine(nil) }},
		{ID: "seal-supine-weightless", Source: "arithmetic: no weight, no slackening, no jaw", Want: About(1, 1e-9), Predicted: true,
			What: "the same without weight and slackening",
			Run: func() (float64, error) {
				return l.supine(func(p *fit.Position) { *p = fit.Position{Name: p.Name} })
			}},
	}
	return all
}

// supine gives bridge contact on the back over that sitting.
func (l sealLaws) supine(change func(*fit.Position)) (float64, error) {
	var kpa [2]float64
	for i, name := range []string{"on the back", "sitting"} {
		at, _ := fit.FindPosition(name)
		if change != nil {
			change(&at)
		}
		var err error
		if kpa[i], err = l.bridge(right, at, 10*unit.CmH2O, nil); err != nil {
			return 0, err
		}
	}
	return kpa[0] / kpa[1], nil
}

// interaction crosses strap pull with the pressure inside.
func (l sealLaws) interaction() (float64, error) {
	var p [2][2]float64
	for i, pull := range []unit.Force{6, 8} {
		for j, set := range []unit.Pressure{8 * unit.CmH2O, 16 * unit.CmH2O} {
			f, err := l.put(mask.Oronasal, pull, upright, nil)
			if err != nil {
				return 0, err
			}
			c, err := contactAt(f, set, face.CheekLeft, face.CheekRight)
			if err != nil {
				return 0, err
			}
			p[i][j] = c.KPa()
		}
	}
	tighten, inflate := p[1][0]-p[0][0], p[0][1]-p[0][0]
	both := p[1][1] - p[0][0]
	return 100 * math.Abs(both-tighten-inflate) / min(math.Abs(tighten), math.Abs(inflate)), nil
}

// grid holds the leak's two directions on the published grid.
func (l sealLaws) grid() []Check {
	leaks := func() (q [3][3]float64, err error) {
		for i, pull := range []unit.Force{0.98, 3.43, 5.88} {
			f, err := l.put(mask.Nasal, pull, upright, nil)
			if err != nil {
				return q, err
			}
			for j, set := range []unit.Pressure{4 * unit.CmH2O, 8 * unit.CmH2O, 12 * unit.CmH2O} {
				p, err := f.At(set)
				if err != nil {
					return q, err
				}
				q[i][j] = p.Leak.LPerMin()
			}
		}
		return q, nil
	}
	count := func(wrong func(a, b float64) bool, tighter bool) func() (float64, error) {
		return func() (float64, error) {
			q, err := leaks()
			n := 0
			for i := range 3 {
				for j := range 2 {
					a, b := q[i][j], q[i][j+1]
					if tighter {
						a, b = q[j+1][i], q[j][i]
					}
					if wrong(a, b) {
						n++
					}
				}
			}
			return float64(n), err
		}
	}
	// a must not exceed b, and must be less where b leaks over 0.1 L/min.
	wrong := func(a, b float64) bool { return a > b+1e-12 || b > 0.1 && !(a < b) }
	return []Check{
		{ID: "seal-grid-pressure", Source: duongGrid, Want: About(0, 0), Predicted: true,
			What: "steps of the grid at which leak falls with pressure, nasal", Run: count(wrong, false)},
		{ID: "seal-grid-tightness", Source: duongGrid, Want: About(0, 0), Predicted: true,
			What: "steps of the grid at which leak rises with tightness, nasal", Run: count(wrong, true)},
		{ID: "seal-grid-loose", Source: duongGrid + "; loose leaks, right does not", Unit: "L/min", Want: AtLeast(5),
			What: "leak at 0.98 N less leak at 3.43 N, 12 cmH2O, nasal",
			Run: func() (float64, error) {
				q, err := leaks()
				return q[0][2] - q[1][2], err
			}},
	}
}

func (l sealLaws) slots() []Check {
	flow := func(um, loss, rho, mu, pressure float64) float64 {
		q := l.slot(um*1e-6, 20e-3, 5e-3, pressure*float64(unit.CmH2O), loss, seal.Gas{Density: rho, Viscosity: mu})
		return unit.Flow(q).LPerMin()
	}
	wide := func(id string, um, want float64) Check {
		return Check{ID: id, Source: poiseuille, Unit: "L/min", Predicted: true, Want: Within(want, 0.01),
			What: "slot of 20 mm by " + unit.Round(um) + " um, 5 mm long, 10 cmH2O, K 1.5",
			Run:  func() (float64, error) { return flow(um, 1.5, 1.15, 1.86e-5, 10), nil }}
	}
	exponent := func(id string, um, lo, hi float64) Check {
		return Check{ID: id, Source: "limits of the two terms: laminar 1, orifice 0.5", Predicted: true, Want: Between(lo, hi),
			What: "local exponent of flow against pressure, gap " + unit.Round(um) + " um",
			Run: func() (float64, error) {
				a, b := flow(um, 1.5, 1.15, 1.86e-5, 10), flow(um, 1.5, 1.15, 1.86e-5, 10.1)
				return math.Log(b/a) / math.Log(1.01), nil
			}}
	}
	return []Check{
		{ID: "seal-slot-viscous", Source: poiseuille, Unit: "L/min", Predicted: true, Want: Within(0.1318, 0.005),
			What: "slot of 20 mm by 50 um, 5 mm long, 10 cmH2O, viscous only",
			Run:  func() (float64, error) { return flow(50, 0, 1.15, 1.86e-5, 10), nil }},
		wide("seal-slot-100", 100, 0.991), wide("seal-slot-200", 200, 5.09), wide("seal-slot-500", 500, 18.7),
		exponent("seal-slot-narrow", 10, 0.99, 1), exponent("seal-slot-wide", 3000, 0.5, 0.51),
	}
}

// tissue holds how far the tissue under a nasal mask gives way.
func (l sealLaws) tissue() []Check {
	depth := func(sites ...face.Site) func() (float64, error) {
		return func() (float64, error) {
			f, err := l.put(mask.Nasal, 3.43, upright, nil)
			if err != nil {
				return 0, err
			}
			p, err := contactAt(f, 12*unit.CmH2O, sites...)
			k := f.Case.Face.Tissue[sites[0]].Stiffness(f.Case.TissueShare)
			return 1e3 * float64(p) / float64(k), err
		}
	}
	uses := []unit.Parameter{face.FoundationShare}
	return []Check{
		{ID: "seal-lip-depth", Source: sims + ": 4.9 sd 1.8 mm", Unit: "mm", Want: About(4.9, 1.8), Uses: uses,
			What: "how far the upper lip gives way, nasal, 12 cmH2O", Run: depth(face.Lip)},
		{ID: "seal-nose-depth", Source: sims + ": 4.6 sd 1.6 mm", Unit: "mm", Want: About(4.6, 1.6), Uses: uses,
			What: "how far the nose sides give way, nasal, 12 cmH2O", Run: depth(face.NoseSideLeft, face.NoseSideRight)},
		{ID: "seal-bridge-depth", Source: sims + ": much less than lip and nose sides", Unit: "mm", Want: AtMost(1.5),
			What: "how far the bridge gives way, nasal, 12 cmH2O", Run: depth(face.Bridge)},
	}
}

// sites counts where an oronasal mask leaks on random faces.
func (l sealLaws) sites() []Check {
	return []Check{{ID: "seal-leak-sites", Source: oestenst + ": 89 % of 110 leaks", Want: AtLeast(0.7),
		What: "share of leaks at nose or chin, 400 random faces, sd 2 mm a site, 5 N, 12 cmH2O, oronasal",
		Run: func() (float64, error) {
			r := rand.New(rand.NewPCG(89, 110))
			leaks, named := 0, 0
			for range 400 {
				f, err := l.put(mask.Oronasal, 5, upright, func(c *fit.Case) {
					for s := range face.SiteCount {
						c.Face.Deviation[s] = unit.Length(population.SiteSpread.SI() * r.NormFloat64())
					}
				})
				if err != nil {
					return 0, err
				}
				p, err := f.At(12 * unit.CmH2O)
				if err != nil {
					return 0, err
				}
				if p.Leak < 0.1*unit.LPerMin {
					continue
				}
				leaks++
				if noseOrChin(p) {
					named++
				}
			}
			return float64(named) / float64(leaks), nil
		}}}
}

// noseOrChin tells whether a tenth of the leak or more leaves at nose or chin:
// where two sites leak, the source counts the leak as including both.
func noseOrChin(p fit.Point) bool {
	sum := unit.Flow(0)
	for _, s := range p.Sites {
		switch s.Site {
		case face.Bridge, face.NoseSideLeft, face.NoseSideRight, face.Chin:
			sum += s.Leak
		}
	}
	return sum >= p.Leak/10
}

func (l sealLaws) beard() []Check {
	flow := func(mm float64) float64 {
		h := l.hair(unit.Length(mm)*unit.Mm, 76*unit.Um)
		return l.slot(float64(h), 0.1, 0.01, float64(10*unit.CmH2O), 1.5, seal.Gas{Density: 1.15, Viscosity: 1.86e-5})
	}
	return []Check{
		{ID: "seal-beard-short", Source: floyd + " (built in: the law describes it)", Unit: "L/min", Want: AtMost(0.02),
			What: "leak past 10 cm of 1.6 mm hair, 10 cmH2O", Run: func() (float64, error) { return flow(1.6), nil }},
		{ID: "seal-beard-long", Source: floyd + " (built in: the law describes it)", Want: AtLeast(8),
			What: "leak past 6.4 mm hair over that past 3.2 mm", Run: func() (float64, error) { return flow(6.4) / flow(3.2), nil }},
	}
}

// plane tilts and moves a whole mismatch, which straps cure entirely.
func (l sealLaws) plane() []Check {
	return []Check{{ID: "seal-plane", Source: "the frame is free to move and tilt", Want: About(0, 1e-8), Predicted: true,
		What: "relative change of leak by a plane added to the mismatch, oronasal, loose",
		Run: func() (float64, error) {
			f, err := l.put(mask.Oronasal, 3, upright, nil)
			if err != nil {
				return 0, err
			}
			g, err := l.put(mask.Oronasal, 3, upright, func(c *fit.Case) {
				tilt := seal.Pose{2e-3, 0.03, -0.02}
				for _, s := range f.Problem().Segments {
					c.Mismatch = append(c.Mismatch, unit.Length(s.Mismatch+tilt.At(s.X, s.Y)))
				}
			})
			if err != nil {
				return 0, err
			}
			a, err := f.At(14 * unit.CmH2O)
			if err != nil {
				return 0, err
			}
			b, err := g.At(14 * unit.CmH2O)
			return float64(b.Leak/a.Leak) - 1, err
		}}}
}

func (l sealLaws) rubber() []Check {
	var all []Check
	for _, c := range []struct {
		id          string
		shore, want float64
	}{{"seal-shore-20", 20, 0.73}, {"seal-shore-30", 30, 1.14}, {"seal-shore-40", 40, 1.69},
		{"seal-shore-50", 50, 2.46}, {"seal-shore-60", 60, 3.61}} {
		all = append(all, Check{ID: c.id, Source: gent, Unit: "MPa", Predicted: true, Want: Within(c.want, 0.005),
			What: "modulus of silicone, Shore A " + unit.Round(c.shore),
			Run:  func() (float64, error) { return float64(l.modulus(c.shore)) / 1e6, nil }})
	}
	return all
}
