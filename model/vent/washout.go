package vent

import (
	"math"

	"tautline/model/unit"
)

// WashoutFloor gives the vent flow below which the mask is not cleared between
// two breaths: what is breathed out in one expiration no longer leaves through
// the vent before the next breath in begins.
//
// Formula: VE/(1 - Ti/Ttot). Inputs: minute volume [m3/s], share of the cycle
// spent breathing in [1]. Source: arithmetic. Example: 7.2 L/min and 0.4:
// 12 L/min.
func WashoutFloor(minute unit.Flow, inspiring unit.Fraction) unit.Flow {
	return minute / unit.Flow(1-inspiring)
}

// Floor is WashoutFloor for quiet sleep.
func Floor() unit.Flow { return Sleeping().Floor() }

// A Breath is what washout needs to know of breathing.
type Breath struct {
	Tidal     unit.Volume
	Cycle     unit.Time     // from one breath to the next
	Inspiring unit.Fraction // share of the cycle
	Dead      unit.Volume   // inside the mask, round the face
}

// Sleeping is an ordinary breath asleep, in a mask of ordinary size.
func Sleeping() Breath {
	cycle := 60 / breathRate.Value
	return Breath{
		Tidal: unit.Volume(minuteVolume.SI() * cycle), Cycle: unit.Time(cycle),
		Inspiring: unit.Fraction(inspiring.SI()), Dead: unit.Volume(deadVolume.SI())}
}

// Floor is the washout floor of this breath.
func (b Breath) Floor() unit.Flow {
	return WashoutFloor(unit.Flow(float64(b.Tidal)/float64(b.Cycle)), b.Inspiring)
}

// Left gives the share of a breath that is still in mask and hose when the next
// breath in begins, at a steady vent flow.
//
// The expiration is half a sine; the mask is stirred; what the vent cannot take
// is pushed up the hose, waits there stirred, and comes back first. The hose is
// clean at the start. All of this is assumed; the floor does not depend on it.
// Example: far above the floor nothing is left, without a vent everything.
func (b Breath) Left(flow unit.Flow) unit.Fraction {
	if flow <= 0 {
		return 1
	}
	const steps = 2000
	te := float64(b.Cycle) * float64(1-b.Inspiring)
	dt := te / steps
	w := washing{dead: float64(b.Dead)}
	for i := range steps {
		out := float64(b.Tidal) * math.Pi / (2 * te) * math.Sin(math.Pi*(float64(i)+0.5)/steps)
		w.step(out*dt, float64(flow)*dt)
	}
	return unit.Fraction(math.Min((w.inMask+w.inHose)/float64(b.Tidal), 1))
}

// washing follows the expired gas: volumes of it in mask and hose [m3], and the
// volume that waits in the hose.
type washing struct {
	dead, inMask, inHose, hose float64
}

// step moves one small time on: out is breathed out, vented leaves by the vent.
func (w *washing) step(out, vented float64) {
	share := w.inMask / w.dead
	w.inMask += out - math.Min(vented*share, w.inMask)
	if up := out - vented; up > 0 { // into the hose
		w.inMask -= up * share
		w.inHose += up * share
		w.hose += up
		return
	}
	back := math.Min(vented-out, w.hose) // the rest is fresh air
	if back > 0 {
		gas := w.inHose * back / w.hose
		w.inHose, w.inMask, w.hose = w.inHose-gas, w.inMask+gas, w.hose-back
	}
}

// MinuteVolume is what quiet sleep breathes, as Floor takes it.
func MinuteVolume() unit.Flow { return unit.Flow(minuteVolume.SI()) }
