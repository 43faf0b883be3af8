package trial

import (
	"math"
	"math/rand/v2"

	"tautline/model/explain"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/gas"
	"tautline/model/mask"
	"tautline/model/unit"
	"tautline/model/vent"
)

// other makes patients by laws of its own: nothing in it is taken from package
// explain but the names of causes and findings. Its distributions differ from
// the priors, its readings are rounded, drift and may be percentiles, and its
// noise has heavy tails. All of it is assumed.
type other struct {
	mask mask.Mask
	vent vent.Vent
}

func newOther(m mask.Mask) *other { return &other{m, m.Vent.In(gas.AtMask())} }

const lpm = float64(unit.LPerMin)

// patient makes the readings and findings of one patient, in L/min inside.
func (o *other) patient(r *rand.Rand, c explain.Cause, at []unit.Pressure) explain.Question {
	q := explain.Question{Mask: o.mask, Which: explain.Unintentional, Chooser: explain.PersonStepped, Statistic: statistic(r)}
	leak := o.leak(r, c, q.Statistic)
	vent := 0.04 * (2*r.Float64() - 1) // tolerance, even instead of normal
	drift := 3 * (r.Float64() - 0.5)   // L/min from the first reading to the last
	base := 2.5 * r.Float64()
	for i, p := range at {
		cm := p.CmH2O()
		v, _ := o.vent.Flow(p)
		true := leak(cm)
		y := true + base*math.Pow(cm/10, 0.6) + vent*v.LPerMin() + drift*(float64(i)/float64(len(at))-0.5)
		y += (1.2 + 0.1*math.Abs(true)) * heavy(r)
		y = math.Round(y) // the display shows whole L/min
		q.Readings = append(q.Readings, explain.Reading{Pressure: p, Flow: unit.Flow(y * lpm)})
	}
	for f := range q.Seen {
		q.Seen[f] = look(r, explain.Finding(f), c)
	}
	return q
}

// statistic: half the machines give a mean, the rest a median or a percentile.
func statistic(r *rand.Rand) explain.Statistic {
	switch u := r.Float64(); {
	case u < 0.5:
		return explain.Mean
	case u < 0.75:
		return explain.Median
	}
	return explain.Percentile95
}

// heavy is noise with heavy tails: one time in twelve it is 2.5 times as large;
// its standard deviation is that of a plain normal number.
func heavy(r *rand.Rand) float64 {
	const often, times = 1.0 / 12, 2.5
	z := r.NormFloat64() / math.Sqrt(1+often*(times*times-1))
	if r.Float64() < often {
		z *= times
	}
	return z
}

// between is an even number between two.
func between(r *rand.Rand, a, b float64) float64 { return a + (b-a)*r.Float64() }

// leak gives the patient's leak in L/min over pressure in cmH2O.
func (o *other) leak(r *rand.Rand, c explain.Cause, s explain.Statistic) func(float64) float64 {
	switch c {
	case explain.ConstantGap:
		return power(between(r, 7, 30), between(r, 0.48, 0.75), 0)
	case explain.WornCushion:
		return power(between(r, 7, 30), between(r, 1.1, 2.2), between(r, 0, 1))
	case explain.LiftOff:
		return o.lift(r)
	case explain.MouthOpening:
		return lips(r, s)
	case explain.WrongVent:
		return o.wrong(r)
	}
	return sideways(r, s)
}

// power is a leak of size at 15 cmH2O that grows by an exponent from an onset.
func power(size, exponent, onset float64) func(float64) float64 {
	return func(p float64) float64 { return size * math.Pow(max(0, p-onset)/(15-onset), exponent) }
}

// lift is a seal on a face of its own, the straps set so loose that it opens
// between 6 and 13 cmH2O.
func (o *other) lift(r *rand.Rand) func(float64) float64 {
	for range 60 {
		f := face.Average()
		for s := range f.Deviation {
			f.Deviation[s] = unit.Length(between(r, -4, 4)) * unit.Mm
			f.Tissue[s].Modulus *= unit.Pressure(between(r, 0.7, 1.4))
		}
		at, _ := fit.FindPosition([]string{"on the back", "sitting"}[r.IntN(2)])
		c := fit.NewCase(o.mask, f, unit.Force(between(r, 0.6, 3)), at)
		c.Segments = 48
		c.Seal.GapScale *= between(r, 0.6, 1.8)
		if curve, ok := sealLeak(r, c); ok {
			return curve
		}
	}
	return power(between(r, 12, 35), between(r, 1.5, 2.5), between(r, 6, 10))
}

// sealLeak follows a fitting over pressure; not every one opens in the range.
func sealLeak(r *rand.Rand, c fit.Case) (func(float64) float64, bool) {
	f, err := fit.PutOn(c)
	if err != nil {
		return nil, false
	}
	p, q := f.Problem(), f.Settled()
	var table [16]float64
	for cm := 1; cm <= 15; cm++ {
		pa := float64(cm) * float64(unit.CmH2O)
		if q, err = p.Balance(f.Settled(), q, pa); err != nil {
			return nil, false
		}
		table[cm] = p.Leak(q, pa) / lpm
	}
	if table[6] > 1 || table[13] < 1 || table[15] < 5 {
		return nil, false
	}
	scale := between(r, 10, 45) / table[15]
	return func(cm float64) float64 {
		k := min(int(cm), 14)
		return scale * (table[k] + (table[k+1]-table[k])*(cm-float64(k)))
	}, true
}

// lips part between 4 and 12 cmH2O and then let through what rises less than in
// proportion; a percentile sees them open more, a median all or nothing.
func lips(r *rand.Rand, s explain.Statistic) func(float64) float64 {
	opens := min(max(7+2.8*r.NormFloat64(), 3), 12)
	size, exponent, soft := between(r, 14, 55), between(r, 0.65, 1.05), between(r, 0.2, 1.2)
	switch s {
	case explain.Median:
		soft = 0.1
	case explain.Percentile95:
		opens, soft = opens-soft, 0.1
	}
	law := power(size, exponent, opens-between(r, 0, 1.5))
	return func(p float64) float64 { return law(p) / (1 + math.Exp(-3*(p-opens)/soft)) }
}

// wrong is a curve that is off by a fifth or so either way, with its exponent.
func (o *other) wrong(r *rand.Rand) func(float64) float64 {
	off := between(r, 0.09, 0.4)
	if r.Float64() < 0.5 {
		off = -between(r, 0.09, 0.35)
	}
	tilt := between(r, -0.06, 0.06)
	return func(p float64) float64 {
		v, _ := o.vent.Flow(unit.Pressure(p) * unit.CmH2O)
		return v.LPerMin() * ((1+off)*math.Pow(p/10, tilt) - 1)
	}
}

// sideways leaks while the person lies on the side, in 30 to 70 % of readings.
func sideways(r *rand.Rand, s explain.Statistic) func(float64) float64 {
	share := between(r, 0.3, 0.7)
	if s == explain.Percentile95 {
		share = between(r, 0.75, 0.95)
	}
	law := power(between(r, 9, 42), between(r, 0.4, 1.5), 0)
	return func(p float64) float64 {
		if r.Float64() < share {
			return law(p)
		}
		return 0
	}
}

// look answers a question as this generator's people do: one in twelve does not
// know, and the rest go by chances that are not the priors'.
func look(r *rand.Rand, f explain.Finding, c explain.Cause) int {
	if r.Float64() < 1.0/12 {
		return explain.DontKnow
	}
	yes := func(p float64) int {
		if r.Float64() < p {
			return 1
		}
		return 2
	}
	is := func(cause explain.Cause, then, else_ float64) float64 {
		if c == cause {
			return then
		}
		return else_
	}
	switch f {
	case explain.DryMouth:
		return yes(is(explain.MouthOpening, 0.74, 0.3))
	case explain.WorseOnSide:
		return yes(is(explain.SideSleeping, 0.85, 0.3))
	case explain.AgainstPalm:
		return yes(is(explain.WrongVent, 0.88, 0.08))
	case explain.CushionAge:
		return age(r, c)
	}
	return explain.DontKnow
}

// age of a cushion in the classes of the finding: worn ones are mostly old.
func age(r *rand.Rand, c explain.Cause) int {
	months := -4 * math.Log(1-r.Float64())
	if c == explain.WornCushion {
		months = 2 - 7*math.Log(1-r.Float64())
	}
	for k, limit := range []float64{1, 3, 6} {
		if months < limit {
			return k + 1
		}
	}
	return 4
}
