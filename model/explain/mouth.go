package explain

import (
	"math"
	"math/rand/v2"

	"tautline/model/gas"
	"tautline/model/unit"
)

// mouth is air that enters by the nose and leaves between the lips, once the
// pressure has parted them. On an oronasal mask it stays inside; what shows
// then is the chin seal, opened by the dropping jaw: the same curve, assumed.
func (b *Bank) mouth(r *rand.Rand) draw {
	s := &b.Priors.Shape
	opens, area := b.lips(r), float64(s.MouthArea)*math.Exp(s.MouthAreaSpread*r.NormFloat64())
	soft := float64(s.LipsSoft) * (0.5 + r.Float64())
	return draw{shape: b.rising(func(p float64) float64 {
		return openShare(p, opens, soft, b.Statistic) * mouthFlow(p, area, s.NoseLinear, s.NoseSquare)
	})}
}

// lips draws the pressure [Pa] at which they part, below the highest read:
// above it there would be nothing to explain.
func (b *Bank) lips(r *rand.Rand) float64 {
	s := &b.Priors.Shape
	const least = 3 * unit.CmH2O
	for range 1000 {
		p := s.LipsMean + s.LipsSD*unit.Pressure(r.NormFloat64())
		if p > least && p < 0.9*b.Top {
			return float64(p)
		}
	}
	return 0.7 * float64(b.Top)
}

// openShare is what a reading shows of the leak through open lips. The share of
// the time that they are open rises smoothly round the pressure at which they
// part; a mean shows that share, a median all or nothing from half the time on,
// a 95th percentile from a twentieth on.
func openShare(p, opens, soft float64, s Statistic) float64 {
	at, width := opens, soft
	switch s {
	case Median:
		width = soft / 5
	case Percentile95:
		at, width = opens-soft*math.Log(19)/4, soft/5
	}
	return 1 / (1 + math.Exp(-4*(p-at)/width))
}

// mouthFlow gives the steady flow m3/s from mask through nose and lips.
//
//	P = K1 q + K2 q^2 + (rho/2) (q/(Cd A))^2,  Cd 0.61
//
// inputs: pressure [Pa], area between the lips [m2], K1 [Pa s/m3], K2
// [Pa s2/m6]; positive root, in the form that is exact for small flows. Source:
// Rohrer's law and an orifice (textbook). Example: 25 mm2 at 10 cmH2O and the
// usual nose: about 35 L/min.
func mouthFlow(p, area, k1, k2 float64) float64 {
	rho := float64(gas.AtMask().Density())
	square := k2 + rho/2/math.Pow(0.61*area, 2)
	return 2 * p / (k1 + math.Sqrt(k1*k1+4*square*p))
}
