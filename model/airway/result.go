package airway

import (
	"math"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
	"tautline/model/vent"
)

// A Sample is one instant of a breath.
type Sample struct {
	Time      unit.Time
	Set       unit.Pressure // at the machine
	Mask      unit.Pressure // in the mask
	Pharynx   unit.Pressure // behind nose and palate
	Total     unit.Flow     // through the hose, as a machine measures it
	Vent      unit.Flow     // through the mask vent
	Leak      unit.Flow     // past the seal, and by a test leak
	Mouth     unit.Flow     // out of the mouth, past the mask
	Lung      unit.Flow     // into the lung
	Volume    unit.Volume   // of the lung, above its rest without pressure
	Inspiring bool          // the effort draws
}

// A Warning names something outside what the numbers can be trusted for, or
// that should be looked at.
type Warning int

// The warnings.
const (
	BelowWashout     Warning = iota // vent and leak do not clear the mask between breaths
	SourceLimit                     // the machine cannot hold its pressure at the largest flow
	VentExtrapolated                // the vent's curve was left
	SealExtrapolated                // the mask pressure went beyond the seal's table
	MachineBreathes                 // the two levels alone bring more than the minute volume
)

// A Span is a stretch of time.
type Span struct{ From, To unit.Time }

// A Result is what whole breaths come to. Means are over all of them.
type Result struct {
	Setup   Setup
	Mask    mask.Type
	Samples []Sample

	MaskMean, MaskLow, MaskHigh unit.Pressure
	Swing                       unit.Pressure // of the mask pressure, highest less lowest

	Total unit.Flow // through the hose, mean
	Vent  unit.Flow // through the mask vent, mean
	Leak  unit.Flow // past the seal and by a test leak, mean
	Mouth unit.Flow // out of the mouth, mean; zero inside an oronasal mask
	// Unintentional is seal leak and mouth leak together, which no machine can
	// tell apart.
	Unintentional unit.Flow

	Tidal  unit.Volume   // that the lung got
	Minute unit.Flow     // the same per time
	Effort unit.Pressure // largest pull of the breathing muscles

	MouthTime unit.Fraction // share of the time in which air leaves the mouth
	MouthLeak []Span        // when it does
	JawBack   unit.Length   // by how much a dropped jaw took the chin from the rim

	// Left is the share of what was breathed into the mask that is still in
	// mask and hose when the next breath in begins, and Rebreathed its volume.
	Left       unit.Fraction
	Rebreathed unit.Volume
	Washout    unit.Flow // mean through vent and leak while breathing out
	Floor      unit.Flow // what clears the mask between two breaths

	Estimates []Estimate // what machines would call the unintentional leak

	// NoseNow is the nasal resistance that was used, NoseLater what ten minutes
	// of this mouth leak would make of it.
	NoseNow, NoseLater unit.Resistance

	// Imbalance is what the hose brought and nothing let out again, over what
	// the hose brought, the lung being where it was.
	Imbalance float64
	Steps     int // of the integration, over the recorded breaths
	Warnings  []Warning
}

// mouthOpen is the flow from which air counts as leaving the mouth: that at
// which a seal's leak counts as begun.
const mouthOpen = 0.1 * unit.LPerMin

func (b *breather) result(f *fit.Fitting, start float64, sums vector) Result {
	s := &b.setup
	span := float64(s.Breaths) * float64(s.Breathing.Cycle())
	mean := func(k int) unit.Flow { return unit.Flow(sums[k] / span) }
	r := Result{Setup: *s, Mask: f.Case.Mask.Type, Samples: b.trace, Steps: b.steps.taken,
		MaskMean: unit.Pressure(sums[pressure] / span),
		Total:    mean(total), Vent: mean(vented), Leak: mean(leaked), Mouth: mean(mouthed),
		Tidal: unit.Volume(sums[inhaled] / float64(s.Breaths)), Minute: mean(inhaled),
		JawBack: s.Mouth.JawBack(), NoseNow: s.Nose.Resistance()}
	r.Unintentional = r.Leak + r.Mouth
	r.Imbalance = math.Abs(sums[total]-sums[vented]-sums[leaked]-sums[mouthed]) / sums[total]
	r.extremes()
	for t := 0.0; t < float64(s.Breathing.Cycle()); t += 0.01 {
		r.Effort = max(r.Effort, unit.Pressure(b.pull(t)))
	}
	r.mouthTimes()
	r.NoseLater = s.Nose.After(10*unit.Minute, r.MouthTime).Resistance()
	b.wash(&r, f, sums)
	r.Estimates = b.estimate(&r, sums, span)
	b.warn(&r, f)
	return r
}

func (r *Result) extremes() {
	r.MaskLow, r.MaskHigh = r.Samples[0].Mask, r.Samples[0].Mask
	for i := range r.Samples {
		p := r.Samples[i].Mask
		r.MaskLow, r.MaskHigh = min(r.MaskLow, p), max(r.MaskHigh, p)
	}
	r.Swing = r.MaskHigh - r.MaskLow
}

// mouthTimes finds when the mouth leaks, by straight lines between samples.
func (r *Result) mouthTimes() {
	all, open := unit.Time(0), false
	for i := range r.Samples {
		s := &r.Samples[i]
		if now := s.Mouth > mouthOpen; now != open {
			at := s.Time
			if i > 0 {
				p := &r.Samples[i-1]
				at = p.Time + (s.Time-p.Time)*unit.Time((mouthOpen-p.Mouth)/(s.Mouth-p.Mouth))
			}
			if open = now; now {
				r.MouthLeak = append(r.MouthLeak, Span{From: at, To: at})
			} else {
				r.MouthLeak[len(r.MouthLeak)-1].To = at
			}
		}
	}
	if open {
		r.MouthLeak[len(r.MouthLeak)-1].To = r.Samples[len(r.Samples)-1].Time
	}
	for _, s := range r.MouthLeak {
		all += s.To - s.From
	}
	r.MouthTime = unit.Fraction(all / (r.Samples[len(r.Samples)-1].Time - r.Samples[0].Time))
}

// wash tells what is left in the mask of a breath. What went out by the mouth
// never was there.
func (b *breather) wash(r *Result, f *fit.Fitting, sums vector) {
	s := &b.setup.Breathing
	resting := float64(1-s.Inspiring) / s.Rate * float64(b.setup.Breaths)
	r.Washout = unit.Flow(sums[washed] / resting)
	breath := vent.Breath{Tidal: unit.Volume(sums[exhaled] / float64(b.setup.Breaths)), Cycle: s.Cycle(),
		Inspiring: s.Inspiring, Dead: unit.Volume(f.Case.Mask.DeadSpace)}
	r.Floor = breath.Floor()
	if breath.Tidal > unit.ML { // else nothing is breathed into the mask
		r.Left = breath.Left(r.Washout)
	}
	r.Rebreathed = breath.Tidal * unit.Volume(r.Left)
}

func (b *breather) warn(r *Result, f *fit.Fitting) {
	say := func(w Warning, when bool) {
		if when {
			r.Warnings = append(r.Warnings, w)
		}
	}
	most := unit.Flow(0)
	for i := range r.Samples {
		most = max(most, r.Samples[i].Total)
	}
	say(BelowWashout, r.Washout < r.Floor)
	say(SourceLimit, f.Case.Circuit.Limited(most))
	say(VentExtrapolated, b.beyond)
	say(SealExtrapolated, float64(r.MaskHigh) > b.seal.top)
	say(MachineBreathes, b.effort == 0)
}
