package explain

import (
	"context"
	"math"
	"math/rand/v2"

	"tautline/model/airway"
	"tautline/model/mask"
	"tautline/model/unit"
)

// mouth is air that enters by the nose and leaves between the lips, once the
// pressure has parted them: airway's steady leak, averaged over the drift of
// the lips' tone while a reading lasts.
func (b *Bank) mouth(r *rand.Rand) draw {
	s := &b.Priors.Shape
	m, n := airway.ClosedMouth(), airway.RestedNose()
	m.Parted *= unit.Resistance(math.Exp(s.PartedSpread * r.NormFloat64()))
	n.Risen = unit.Fraction(r.Float64()) // how long it has leaked already
	closing := b.lips(r)
	drift := s.LipsDrift * unit.Pressure(0.5+r.Float64())
	return draw{shape: b.rising(func(p float64) float64 { return b.drifting(unit.Pressure(p), closing, drift, m, n) })}
}

// jawHolds is up to which share of the highest pressure an oronasal mask holds
// while the mouth is shut, at most: beyond it the dropped chin hardly opens it.
const jawHolds = 1.4

// jaws draws mouths that open within an oronasal mask: their leak stays inside,
// and what shows is the chin seal, opened by the jaw that drops, by the airway
// model's own law.
func (b *Bank) jaws(ctx context.Context, s *sealer, r *rand.Rand, n int) (out []draw) {
	const least = float64(unit.LPerMin) / 2 // less is no leak to explain
	drop, spread := float64(airway.JawDropRecord.SI()), airway.JawDropRecord.SD*float64(unit.Mm)
	for try := 0; len(out) < n && try < 6*n && ctx.Err() == nil; try++ {
		opens := float64(b.Top) * (visible + (jawHolds-visible)*r.Float64())
		m := airway.OpenMouth().Behind(mask.Oronasal)
		m.JawDrop = unit.Length(max(drop+spread*r.NormFloat64(), 0))
		if leak, full, ok := s.dropped(r, b.grid, b.top, opens, m.JawBack()); ok && full > least {
			out = append(out, draw{shape: leak})
		}
	}
	for len(out) < n { // a mask whose chin never opens: the lips' law stands in
		out = append(out, b.mouth(r))
	}
	return out
}

// drifting is what a reading shows of a mouth whose closing pressure drifts: a
// mean all of the time, a median its middle, a 95th percentile its weak end.
func (b *Bank) drifting(p, closing, drift unit.Pressure, m airway.Mouth, n airway.Nose) float64 {
	leak := func(z float64) float64 {
		m.Lips = closing + drift*unit.Pressure(z)
		return float64(airway.MouthLeak(p, m, n))
	}
	switch b.Statistic {
	case Median:
		return leak(0)
	case Percentile95:
		return leak(-1.6449) // 95 % of the time the lips hold better
	}
	sum := 0.0
	for k, z := range hermiteAt {
		sum += hermiteWeight[k] * leak(z)
	}
	return sum
}

// lips draws the pressure at which they part, below the highest read: above it
// there would be nothing to explain.
func (b *Bank) lips(r *rand.Rand) unit.Pressure {
	s := &b.Priors.Shape
	const least = 2 * unit.CmH2O
	for range 1000 {
		p := s.LipsMean + s.LipsSD*unit.Pressure(r.NormFloat64())
		if p > least && p < visible*b.Top {
			return p
		}
	}
	return 0.7 * b.Top
}

// visible is the share of the highest pressure below which something has to
// open if readings are to show it.
const visible = 0.85
