package explain

import (
	"math"
	"math/rand/v2"

	"tautline/model/unit"
)

// Simulate draws a patient with a cause by the bank's own priors: readings of
// the unintentional leak at the given pressures and what every finding came out
// as. It is what the inference assumes of the world; draw from a bank of another
// seed than the one that is asked.
func (b *Bank) Simulate(r *rand.Rand, c Cause, pressures []unit.Pressure) Question {
	d := &b.draws[c][r.IntN(len(b.draws[c]))]
	n := &b.Priors.Noise
	size := 1.0
	if b.Priors.Size[c] > 0 {
		size = b.Priors.Size[c] * math.Exp(b.Priors.Spread[c]*r.NormFloat64())
	}
	base, tol := float64(n.Base)+float64(n.BaseSD)*r.NormFloat64(), n.Vent*r.NormFloat64()
	q := Question{Mask: b.Mask, Which: Unintentional, Statistic: b.Statistic, Chooser: PersonStepped, Priors: b.Priors}
	for _, p := range pressures {
		v, _ := b.vent.Flow(p)
		leak := size * b.at(d.shape, float64(p))
		if c == SideSleeping && r.Float64() > d.share {
			leak = 0
		}
		y := leak + base*math.Pow(float64(p/(10*unit.CmH2O)), n.BaseRise) + tol*float64(v) + n.sd(leak)*r.NormFloat64()
		q.Readings = append(q.Readings, Reading{Pressure: p, Flow: unit.Flow(y)})
	}
	for f := range q.Seen {
		q.Seen[f] = b.look(r, Finding(f), c)
	}
	return q
}

// look draws the outcome of a finding.
func (b *Bank) look(r *rand.Rand, f Finding, c Cause) int {
	u := r.Float64()
	for k, row := range b.Priors.Table[f] {
		if u -= row[c]; u < 0 {
			return k + 1
		}
	}
	return len(b.Priors.Table[f])
}
