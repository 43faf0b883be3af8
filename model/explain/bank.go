package explain

import (
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"

	"tautline/model/gas"
	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/unit"
	"tautline/model/vent"
)

// A Bank holds the leak curves drawn for each cause: one mask, one highest
// pressure. It does not change; many questions may be asked of one at once.
type Bank struct {
	Mask   mask.Mask
	Top    unit.Pressure // highest pressure read
	Priors Priors
	// Statistic is what the readings are of: it decides how a leak that comes
	// and goes shows.
	Statistic Statistic

	vent    vent.Vent
	wearing *wearing
	grid    []float64 // Pa, ascending to Top and a little beyond
	top     int       // where Top stands in the grid
	draws   [CauseCount][]draw
	seeing  byCause // how likely the cause shows at all up to Top
}

// A draw is one curve of one cause: the leak relative to that at Top, and what
// belongs to it.
type draw struct {
	shape []float64 // over Bank.grid
	seal  *sealCurve
	share float64 // of readings on the side
	vent  float64 // of a vent draw: true over assumed flow, minus one
	// Of a side draw, whose two states leave no linear law: the base leak
	// [standard normal] and the vent's error.
	base, tol float64
}

const (
	usualDraws = 400
	gridSteps  = 13
	beyond     = 1.2 // how far past the highest reading a band is drawn
	wornDays   = 365 // days: a cushion that counts as worn
)

// Prepare draws the curves of all causes. Draws is how many for each cause, 0
// for the usual number. Equal seeds give equal banks on any number of cores.
func Prepare(ctx context.Context, m mask.Mask, top unit.Pressure, st Statistic, p Priors, seed uint64, draws int) (*Bank, error) {
	if !p.isSet() {
		p = UsualPriors()
	}
	if err := p.Check(); err != nil {
		return nil, err
	}
	if draws <= 0 {
		draws = usualDraws
	}
	if m.Type == mask.Oronasal {
		p.Table = withinMask(p.Table)
	}
	b := &Bank{Mask: m, Top: top, Priors: p, Statistic: st, vent: m.Vent.In(gas.AtMask())}
	b.lay()
	var err error
	if b.wearing, err = wear(m); err != nil {
		return nil, err
	}
	if err := b.drawSeals(ctx, seed, draws); err != nil {
		return nil, err
	}
	b.drawPlain(seed, draws)
	b.see()
	return b, ctx.Err()
}

// lay places the grid: from an eighth of the highest pressure, so that the
// curves of low onsets are resolved, to a fifth beyond it.
func (b *Bank) lay() {
	b.grid = make([]float64, gridSteps)
	top := float64(b.Top)
	for i := range b.grid {
		b.grid[i] = top * (float64(i+1) / (gridSteps - 2))
	}
	b.top = gridSteps - 3
	b.grid[gridSteps-2], b.grid[gridSteps-1] = top*(1+beyond)/2, top*beyond
}

// rising gives a draw its shape over the grid by a law of the pressure [Pa].
func (b *Bank) rising(law func(p float64) float64) []float64 {
	s := make([]float64, len(b.grid))
	top := law(float64(b.Top))
	for i, p := range b.grid {
		s[i] = law(p) / top
	}
	return s
}

// at reads a shape at a pressure [Pa], straight between the grid's points and
// from nothing at zero.
func (b *Bank) at(shape []float64, p float64) float64 {
	p0, s0 := 0.0, 0.0
	for i, p1 := range b.grid {
		if p <= p1 {
			return s0 + (shape[i]-s0)*(p-p0)/(p1-p0)
		}
		p0, s0 = p1, shape[i]
	}
	return s0
}

// blocks is into how many independent streams the seals are drawn: fixed, so
// that the number of cores changes nothing.
const blocks = 16

// drawSeals draws what the seal model has to answer: lift-off, worn cushion and,
// within an oronasal mask, the chin of an open mouth.
func (b *Bank) drawSeals(ctx context.Context, seed uint64, draws int) error {
	per := (draws + blocks - 1) / blocks
	var parts [blocks][3][]draw
	var failed [blocks]error
	next := make(chan int, blocks)
	for k := range blocks {
		next <- k
	}
	close(next)
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), blocks) {
		all.Go(func() {
			for k := range next {
				parts[k], failed[k] = b.sealBlock(ctx, rand.New(rand.NewPCG(seed, uint64(k))), per)
			}
		})
	}
	all.Wait()
	for k := range blocks {
		if failed[k] != nil {
			return failed[k]
		}
		b.draws[LiftOff] = append(b.draws[LiftOff], parts[k][0]...)
		b.draws[WornCushion] = append(b.draws[WornCushion], parts[k][1]...)
		b.draws[MouthOpening] = append(b.draws[MouthOpening], parts[k][2]...)
	}
	return nil
}

func (b *Bank) sealBlock(ctx context.Context, r *rand.Rand, n int) (out [3][]draw, err error) {
	s := b.sealer()
	top := float64(b.Top)
	for k, between := range [2][2]float64{liftBetween, wornBetween} {
		for try := 0; len(out[k]) < n && try < 4*n && ctx.Err() == nil; try++ {
			opens := top * (between[0] + (between[1]-between[0])*r.Float64())
			c, ok := s.curve(r, b.grid, b.top, opens, k == 1)
			if !ok {
				continue
			}
			d := draw{shape: c.leak, seal: &c}
			if k == 1 {
				d.shape = b.misshapen(r, c.leak)
			}
			out[k] = append(out[k], d)
		}
		// Where the seal model opens nowhere (pillows held by their nostrils),
		// a plain law stands in for its curves.
		for len(out[k]) < n {
			opens := top * (between[0] + (between[1]-between[0])*r.Float64())
			out[k] = append(out[k], draw{shape: b.rising(func(p float64) float64 { return math.Pow(max(0, p-opens/2), 2) })})
		}
	}
	if b.Mask.Type == mask.Oronasal {
		out[2] = b.jaws(ctx, s, r, n)
	}
	return out, ctx.Err()
}

// The share of the highest pressure at which a seal begins to open: a lift-off
// holds at low pressure, a worn cushion hardly holds at all.
var (
	liftBetween = [2]float64{0.35, visible}
	wornBetween = [2]float64{0.02, 0.25}
)

// misshapen mixes the curve of a limp flap with that of a lip that no longer
// meets the skin at some place, in any share up to a half.
func (b *Bank) misshapen(r *rand.Rand, leak []float64) []float64 {
	share := 0.5 * r.Float64()
	out := make([]float64, len(leak))
	for i, p := range b.grid {
		out[i] = (1-share)*leak[i] + share*math.Sqrt(p/float64(b.Top))
	}
	return out
}

// drawPlain draws the causes whose curves are a formula.
func (b *Bank) drawPlain(seed uint64, draws int) {
	r := rand.New(rand.NewPCG(seed, blocks))
	for range draws {
		b.draws[ConstantGap] = append(b.draws[ConstantGap], b.gap(r))
		if b.Mask.Type != mask.Oronasal {
			b.draws[MouthOpening] = append(b.draws[MouthOpening], b.mouth(r))
		}
		b.draws[SideSleeping] = append(b.draws[SideSleeping], b.side(r))
		b.draws[WrongVent] = append(b.draws[WrongVent], b.wrongVent(r))
		b.draws[BlockedVent] = append(b.draws[BlockedVent], b.blockedVent(r))
	}
	hole := b.rising(math.Sqrt) // a sharp edge: the square root, whatever its size
	b.draws[HoleElsewhere] = []draw{{shape: hole}}
	b.draws[NothingUnusual] = []draw{{shape: make([]float64, len(b.grid))}}
}

// gap is a slot of a height that no pressure changes.
func (b *Bank) gap(r *rand.Rand) draw {
	h := float64(b.Priors.Shape.GapHeight) * math.Exp(b.Priors.Shape.GapHeightSpread*r.NormFloat64())
	g := gas.AtMask()
	air := seal.Gas{Density: float64(g.Density()), Viscosity: float64(g.Viscosity())}
	k := seal.UsualConstants().LossFactor
	return draw{shape: b.rising(func(p float64) float64 { return seal.Slot(h, 10e-3, float64(b.Mask.Width), p, k, air) })}
}

// side leaks only in the readings that fall on the side.
func (b *Bank) side(r *rand.Rand) draw {
	s := &b.Priors.Shape
	rise := s.SideRise[0] + (s.SideRise[1]-s.SideRise[0])*r.Float64()
	return draw{shape: b.rising(func(p float64) float64 { return math.Pow(p, rise) }),
		share: b.shows(s.SideShare[0] + (s.SideShare[1]-s.SideShare[0])*r.Float64()), base: r.NormFloat64(), tol: r.NormFloat64()}
}

// shows turns the share of the time on the side into the share of readings that
// show it: a 95th percentile nearly always does.
func (b *Bank) shows(share float64) float64 {
	if b.Statistic == Percentile95 {
		return 1 - 0.2*(1-share)
	}
	return share
}

// wrongVent is the difference between the true vent and the one assumed.
func (b *Bank) wrongVent(r *rand.Rand) draw {
	off := 0.0
	for math.Abs(off) < b.Priors.Shape.VentLeast {
		off = math.Expm1(b.Priors.Shape.VentSpread * r.NormFloat64())
	}
	return b.ventDraw(off, 0.05*r.NormFloat64())
}

func (b *Bank) blockedVent(r *rand.Rand) draw {
	s := b.Priors.Shape.Blocked
	return b.ventDraw(-(s[0] + (s[1]-s[0])*r.Float64()), 0)
}

// ventDraw is off times the vent's own curve, its exponent moved by tilt.
func (b *Bank) ventDraw(off, tilt float64) draw {
	s := make([]float64, len(b.grid))
	for i, p := range b.grid {
		q, _ := b.vent.Flow(unit.Pressure(p))
		s[i] = float64(q) * ((1+off)*math.Pow(p/float64(b.Top), tilt) - 1)
	}
	return draw{shape: s, vent: off}
}

// see works out how likely a cause shows at all up to the highest pressure,
// against readings that go up to 15 cmH2O.
func (b *Bank) see() {
	for c := range b.seeing {
		b.seeing[c] = 1
	}
	s := &b.Priors.Shape
	shows := func(p unit.Pressure) float64 { return normal(float64(visible*p-s.LipsMean) / float64(s.LipsSD)) }
	if b.Mask.Type == mask.Oronasal {
		return // the jaw drops at any pressure
	}
	b.seeing[MouthOpening] = max(shows(b.Top)/shows(15*unit.CmH2O), 1e-3)
}

// normal is the cumulative standard normal distribution.
func normal(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
