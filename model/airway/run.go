package airway

import (
	"errors"
	"fmt"
	"math"

	"tautline/model/fit"
	"tautline/model/unit"
)

// ErrNotSettled says that one breath did not come to be like the next.
var ErrNotSettled = errors.New("the breaths do not settle: the lung empties too slowly for this rate")

// A precision is how exactly a breath is followed.
type precision struct {
	tolerance float64 // of the volumes, as a share of the tidal volume
	longest   float64 // s
}

// usual moves no result by a thousandth against steps a hundred times as exact.
var usual = precision{2e-6, 0.06}

// Run follows a person through whole breaths behind a mask that has been put
// on: source, hose, mask vent, seal, nose, mouth and lung in one balance of
// pressures at each instant, and the lung's volume from one to the next. The
// record begins once breaths repeat, and the effort is such that the lung gets
// its minute volume whatever the machine adds.
//
// Valid for slow breathing: the gas is not compressed, the hose has no inertia,
// the frame follows at once. Volumes are at the mask's gas.
func Run(f *fit.Fitting, s Setup) (Result, error) { return run(f, s, usual) }

func run(f *fit.Fitting, s Setup, p precision) (Result, error) {
	if err := s.Check(); err != nil {
		return Result{}, err
	}
	on, err := s.worn(f)
	if err != nil {
		return Result{}, err
	}
	table, err := NewSealTable(on, s.Source.Inspiration)
	if err != nil {
		return Result{}, err
	}
	b := newBreather(on, s, table, p)
	v, err := b.settle()
	if err != nil {
		return Result{}, fmt.Errorf("at a set pressure of %s: %w", s.Source.Inspiration, err)
	}
	sums, err := b.recordFrom(v)
	if err != nil {
		return Result{}, err
	}
	return b.result(on, v, sums), nil
}

func newBreather(f *fit.Fitting, s Setup, table *SealTable, p precision) *breather {
	c := &f.Case
	k1, k2 := s.Nose.rohrer()
	b := &breather{setup: s, effort: 1, marks: phases(&s), mechanism: mechanism{
		circuit: c.Circuit.Filled(c.Gas), vent: c.Mask.Vent.In(c.Gas), seal: table, test: s.TestLeak,
		mouth: s.Mouth, k1: k1, k2: k2, raw: float64(s.Breathing.Airway), rm: float64(s.Mouth.Parted)}}
	b.demand = func(p unit.Pressure) unit.Flow { return unit.Flow(b.at(float64(p)).total) }
	tidal := float64(s.Breathing.Tidal())
	b.steps = stepper{f: b.rates, tolerance: p.tolerance, longest: p.longest, step: 0.01}
	for _, k := range []int{volume, total, leaked, mouthed, exhaled} {
		b.steps.scale[k] = 1 / tidal
	}
	return b
}

// settle finds the effort that brings the tidal volume and the lung volume that
// comes back after a breath.
func (b *breather) settle() (v float64, err error) {
	const most = 80
	tidal := float64(b.setup.Breathing.Tidal())
	v = float64(b.setup.Breathing.Lung) * float64(b.setup.Source.Expiration)
	aim := aiming{tidal: tidal}
	for range most {
		y, err := b.breathe(v)
		if err != nil {
			return v, err
		}
		back := math.Abs(y[volume] - v)
		v = y[volume]
		// Steps chosen by their error leave a breath's end uncertain by a tenth
		// of a millionth; nothing closer is asked for.
		if aim.done && back < 3e-7*tidal {
			return v, nil
		}
		if back < 0.05*tidal {
			b.effort = aim.next(b.effort, tidal-y[inhaled])
		}
	}
	return v, ErrNotSettled
}

// An aiming finds the effort by the secant through the last two breaths. Once
// the tidal volume is near, the effort is left alone for good, so that the lung
// can come to rest with it.
type aiming struct {
	tidal, before, short float64 // the last effort, and what it fell short by
	begun, done          bool
}

func (a *aiming) next(effort, miss float64) float64 {
	if a.done = a.done || math.Abs(miss) < 1e-4*a.tidal || effort == 0 && miss < 0; a.done {
		return effort
	}
	gain := a.tidal
	if a.begun && effort != a.before {
		gain = math.Min(math.Max((a.short-miss)/(effort-a.before), 0.2*a.tidal), 5*a.tidal)
	}
	a.before, a.short, a.begun = effort, miss, true
	return math.Max(0, effort+miss/gain)
}

// recordFrom follows the breaths that are kept and gives their sums.
func (b *breather) recordFrom(v float64) (sums vector, err error) {
	b.record, b.steps.taken = true, 0
	for i := range b.setup.Breaths {
		b.offset = float64(i) * float64(b.setup.Breathing.Cycle())
		y, err := b.breathe(v)
		if err != nil {
			return sums, err
		}
		v = y[volume]
		for k := range sums {
			sums[k] += y[k]
		}
	}
	sums[volume] = v
	return sums, nil
}
