package airway

import (
	"math"

	"tautline/model/unit"
)

// The components of a breath's state: the lung's volume above its rest, then
// sums over time.
const (
	volume   = iota
	total    // through the hose
	vented   // through the mask vent
	leaked   // past the seal and by the test leak
	mouthed  // out of the mouth
	inhaled  // into the lung while it fills
	exhaled  // into the mask while it is breathed into
	washed   // out of the mask, vent and leak, while the effort rests
	pressure // of the mask, times time
	rooted   // square root of the mask pressure, times time
	weighed  // hose flow times that square root
	count
)

// A breather follows one breath after another.
type breather struct {
	mechanism
	setup  Setup
	effort float64 // times the effort that a mask without pressure would need
	marks  []float64
	steps  stepper
	phase  bool // breathing in
	trace  []Sample
	offset float64 // s; where the breath begins in the record
	record bool
	beyond bool
}

// releaseRecord is the time constant with which the effort lets go [s]; assumed: it
// keeps the flow out of a resting lung near 0.5 L/s.
var releaseRecord = unit.Parameter{Name: "release of the effort", Unit: "s", Value: 0.35, Low: 0.02, High: 2, Likely: [2]float64{0.2, 0.6},
	Origin: unit.Assumed, Source: "keeps the largest flow out near 0.5 L/s, as in quiet sleep (from memory)",
	Meaning: "time constant with which the breathing muscles let go"}

// pull gives the effort's pressure at a time within the cycle [Pa].
//
// Formula: in inspiration what a flow of half a sine with the wanted tidal
// volume takes in lung, airways and rested nose; after it, an exponential fall.
// Source: arithmetic; that sleepers draw so is assumed.
func (b *breather) pull(t float64) float64 {
	r := &b.setup.Breathing
	ti := float64(r.Inspiring) / r.Rate
	vt, c := float64(r.Tidal()), float64(r.Lung)
	if t > ti {
		return b.effort * vt / c * math.Exp(-(t-ti)/releaseRecord.Value)
	}
	sin, cos := math.Sincos(math.Pi * t / ti)
	q := vt * math.Pi / (2 * ti) * sin
	return b.effort * (vt/2*(1-cos)/c + float64(r.Airway)*q + rohrerDrop(b.k1, b.k2, q))
}

// now balances one instant.
func (b *breather) now(t, v float64) (instant, error) {
	ti := float64(b.setup.Breathing.Inspiring) / b.setup.Breathing.Rate
	alveolar := v/float64(b.setup.Breathing.Lung) - b.pull(t)
	return b.balance(b.setup.Source.at(t, ti), alveolar, b.phase)
}

// rates gives the time derivative of the state.
func (b *breather) rates(t float64, y *vector) (d vector, err error) {
	s, err := b.now(t, y[volume])
	root := math.Sqrt(math.Max(s.mask, 0))
	d[volume], d[total], d[vented], d[leaked], d[mouthed] = s.lung, s.total, s.vent, s.leak, s.mouth
	d[inhaled], d[exhaled] = math.Max(s.lung, 0), math.Max(-s.nose, 0)
	if !b.phase {
		d[washed] = s.vent + s.leak
	}
	d[pressure], d[rooted], d[weighed] = s.mask, root, s.total*root
	return d, err
}

// breathe follows one breath from a lung volume and gives the state at its end.
func (b *breather) breathe(v float64) (y vector, err error) {
	y[volume] = v
	b.steps.step = 0.01 // the same breath again takes the same steps
	for i := range len(b.marks) - 1 {
		b.phase = b.marks[i] < float64(b.setup.Breathing.Inspiring)/b.setup.Breathing.Rate
		if b.record {
			b.note(b.marks[i], &y)
		}
		if y, err = b.steps.advance(b.marks[i], b.marks[i+1], y, b.each); err != nil {
			return y, err
		}
	}
	return y, nil
}

func (b *breather) each(t float64, y *vector) {
	if b.record {
		b.note(t, y)
	}
}

// note records an instant.
func (b *breather) note(t float64, y *vector) {
	s, err := b.now(t, y[volume])
	if err != nil {
		return // the next step fails with it
	}
	b.beyond = b.beyond || s.beyond
	at := Sample{Time: unit.Time(b.offset + t), Set: unit.Pressure(b.set), Mask: unit.Pressure(s.mask),
		Pharynx: unit.Pressure(s.pharynx), Total: unit.Flow(s.total), Vent: unit.Flow(s.vent),
		Leak: unit.Flow(s.leak), Mouth: unit.Flow(s.mouth), Lung: unit.Flow(s.lung),
		Volume: unit.Volume(y[volume]), Inspiring: b.phase}
	if n := len(b.trace); n > 0 && b.trace[n-1].Time == at.Time && b.trace[n-1].Inspiring == at.Inspiring {
		b.trace = b.trace[:n-1] // the end of one part is the start of the next
	}
	b.trace = append(b.trace, at)
}

// phases are the times within a cycle at which something bends or jumps.
func phases(s *Setup) []float64 {
	cycle := float64(s.Breathing.Cycle())
	ti := float64(s.Breathing.Inspiring) * cycle
	if !s.Source.TwoLevel() {
		return []float64{0, ti, cycle}
	}
	rise := float64(s.Source.Rise)
	return []float64{0, rise, ti, ti + rise, cycle}
}
