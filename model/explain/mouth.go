package explain

import (
	"math"
	"math/rand/v2"

	"tautline/model/airway"
	"tautline/model/unit"
)

// mouth is air that enters by the nose and leaves between the lips, once the
// pressure has parted them: airway's steady leak, averaged over the drift of
// the lips' tone while a reading lasts. On an oronasal mask that leak stays
// inside; what shows then is the chin seal, opened by the dropping jaw. That it
// grows as the mouth's leak does is assumed.
func (b *Bank) mouth(r *rand.Rand) draw {
	s := &b.Priors.Shape
	m, n := airway.ClosedMouth(), airway.RestedNose()
	m.Parted *= unit.Resistance(math.Exp(s.PartedSpread * r.NormFloat64()))
	n.Risen = unit.Fraction(r.Float64()) // how long it has leaked already
	closing := b.lips(r)
	drift := s.LipsDrift * unit.Pressure(0.5+r.Float64())
	return draw{shape: b.rising(func(p float64) float64 { return b.drifting(unit.Pressure(p), closing, drift, m, n) })}
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
