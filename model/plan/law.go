package plan

import (
	"math"
	"math/rand/v2"
)

// chances are those of the outcomes, comfortable first.
type chances [OutcomeCount]float64

// between reads the responses at a level that is not whole; beyond the ends the
// last one holds, which lies a factor of 2.5 from the usual strap force.
func between(at []response, level float64) response {
	level = min(max(level, 0), levels-1)
	l := min(int(level), levels-2)
	a, b, w := &at[l], &at[l+1], level-float64(l)
	r := *a
	if w > 0.5 {
		r.site = b.site
	}
	r.leak = a.leak + (b.leak-a.leak)*w
	for i := range r.contact {
		r.contact[i] = a.contact[i] + (b.contact[i]-a.contact[i])*w
	}
	r.bridge = a.bridge + (b.bridge-a.bridge)*w
	return r
}

// logStep is what one level adds to the log of the strap force.
var logStep = math.Log(step)

// normal is the standard normal distribution.
func normal(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// outcome gives the chances for a person in a mask whose straps came to lie at a
// level, the seating and the day's skin still open:
//
//	sore  = Phi((ln contact - ln soreAt) / daily), where that is most
//	mouth = Phi((ln mouth leak - ln(limit/2)) / seat)
//	leak  = Phi((ln leak - ln limit) / seat)
//
// and the first of not worn, sore, mouth and leak is what is told.
func (b *bank) outcome(i, m int, level float64, s Spreads) (c chances) {
	p := &b.people[i]
	if p.refuses[typeIndex(b.masks[m].Type)] {
		c[NotWorn] = 1
		return c
	}
	r := between(b.responses(i, m), level+p.habit/logStep)
	limit := math.Log(b.limit)
	over := math.Inf(-1)
	for k := range r.contact {
		over = max(over, r.contact[k]-p.soreAt[k])
	}
	sore := normal(over / b.daily)
	mouth := normal((b.mouthLeak(i, m) - limit + math.Ln2) / s.Seat)
	leak := normal((r.leak - limit) / s.Seat)
	c[Sore] = sore
	c[MouthLeak] = (1 - sore) * mouth
	leaks := (1 - sore) * (1 - mouth) * leak
	c[LeaksAtBridge] = leaks * normal((r.bridge-0.5)/0.1)
	c[LeaksElsewhere] = leaks - c[LeaksAtBridge]
	c[Comfortable] = (1 - sore) * (1 - mouth) * (1 - leak)
	return c
}

// Nodes and weights of the five-point Gauss-Hermite rule for a standard normal
// (Abramowitz and Stegun 1964, table 25.10, rescaled).
var (
	nodes   = [5]float64{-2.856970013872806, -1.355626179974266, 0, 1.355626179974266, 2.856970013872806}
	weights = [5]float64{0.011257411327721, 0.222075922005613, 0.533333333333333, 0.222075922005613, 0.011257411327721}
)

// meant averages over how the straps may really get set around what was meant.
func (b *bank) meant(i, m int, level float64, s Spreads) (c chances) {
	for k, z := range nodes {
		at := b.outcome(i, m, level+s.Set*z/logStep, s)
		for o := range c {
			c[o] += weights[k] * at[o]
		}
	}
	return c
}

// visit lets a simulated person wear a mask, and tells the outcome.
func (b *bank) visit(i, m int, level float64, s Spreads, r *rand.Rand) Outcome {
	c := b.outcome(i, m, level+s.Set*r.NormFloat64()/logStep, s)
	u := r.Float64()
	for o := range c {
		if u -= c[o]; u < 0 {
			return Outcome(o)
		}
	}
	return Comfortable
}
