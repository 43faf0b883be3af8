package uncertainty

import (
	"context"
	"slices"

	"tautline/model/airway"
	"tautline/model/fit"
	"tautline/model/night"
	"tautline/model/unit"
)

// The figures of a night's and of a breath's draws.
const (
	NightLeak  Quantity = "night_leak" // the stated statistic, of the middle night
	TimeAbove  Quantity = "time_above" // mean share of the night above the limit
	Unintended Quantity = "unintentional_leak"
	MouthLeak  Quantity = "mouth_leak"
	Swing      Quantity = "swing" // of the mask pressure
)

// The verdicts of nights: how the middle night compares with the limit.
const (
	NightsUnder = iota
	NightsOver
)

// NightStudy is the study of simulated nights. Every draw sleeps the same
// nights, so that what differs is the numbers and not the luck of a night.
func NightStudy(ctx context.Context, q night.Question, stated Stated) Study[night.Question] {
	in, held := CaseInputs(q.Case, stated)
	l := lister[night.Question]{Lift(in, func(q *night.Question) *fit.Case { return &q.Case }), held}
	h := q.Habits
	habit := func(p unit.Parameter, at float64, set func(*night.Habits, float64)) {
		l.add(p, at, func(q *night.Question, v float64) { set(&q.Habits, v) })
	}
	habit(night.TurnRate, h.TurnRate, func(h *night.Habits, v float64) { h.TurnRate = v })
	habit(night.ToneREM, float64(h.ToneREM), func(h *night.Habits, v float64) { h.ToneREM = unit.Fraction(v) })
	habit(night.JawREM, float64(h.JawREM), func(h *night.Habits, v float64) { h.JawREM = unit.Length(v) })
	habit(night.Slack, float64(h.Slack), func(h *night.Habits, v float64) { h.Slack = unit.Fraction(v) })
	habit(night.SlackTime, float64(h.SlackTime), func(h *night.Habits, v float64) { h.SlackTime = unit.Time(v) })
	habit(night.Slip, float64(h.Slip), func(h *night.Habits, v float64) { h.Slip = unit.Fraction(v) })
	habit(night.Askew, float64(h.Askew), func(h *night.Habits, v float64) { h.Askew = unit.Fraction(v) })
	habit(night.WarmSoftening, float64(h.WarmSoftening), func(h *night.Habits, v float64) { h.WarmSoftening = unit.Fraction(v) })
	q.Told = nil // the draws are what is counted
	return Study[night.Question]{Question: q, Inputs: l.in, Held: l.held, Quantities: []Quantity{NightLeak, TimeAbove},
		Ask: func(q night.Question, _ int) (Outcome, error) {
			a, err := night.Ask(ctx, q)
			if err != nil {
				return Outcome{}, err
			}
			verdict := NightsUnder
			if 2*a.Over > q.Nights {
				verdict = NightsOver
			}
			return Outcome{Verdict: verdict, Values: []float64{middle(a.Values), float64(a.AboveMean)}}, nil
		}}
}

// middle is the median flow, SI.
func middle(flows []unit.Flow) float64 {
	s := slices.Sorted(slices.Values(flows))
	if len(s) == 0 {
		return 0
	}
	return float64(s[len(s)/2])
}

// A Breath is a question about breaths: a fitting with how it is breathed on.
type Breath struct {
	Case  fit.Case
	Setup airway.Setup
}

// The verdicts of breaths.
const (
	MouthKeeps = iota // hardly any air leaves by the mouth
	MouthLeaks
)

// mouthTrace is the mean flow from which air is said to leave by the mouth.
const mouthTrace = 1 * unit.LPerMin

// BreathStudy is the study of breaths on a mask.
func BreathStudy(q Breath, stated Stated) Study[Breath] {
	in, held := CaseInputs(q.Case, stated)
	l := lister[Breath]{Lift(in, func(q *Breath) *fit.Case { return &q.Case }), held}
	s := q.Setup
	add := func(p unit.Parameter, at float64, set func(*airway.Setup, float64)) {
		if stated(p.Name) {
			p = p.With(at)
		}
		l.add(p, at, func(q *Breath, v float64) { set(&q.Setup, v) })
	}
	add(airway.MinuteVolume, float64(s.Breathing.Minute), func(s *airway.Setup, v float64) { s.Breathing.Minute = unit.Flow(v) })
	add(airway.ComplianceRecord, float64(s.Breathing.Lung), func(s *airway.Setup, v float64) { s.Breathing.Lung = unit.Compliance(v) })
	add(airway.AirwayRecord, float64(s.Breathing.Airway), func(s *airway.Setup, v float64) { s.Breathing.Airway = unit.Resistance(v) })
	add(airway.NoseRecord, float64(s.Nose.Rested), func(s *airway.Setup, v float64) { s.Nose.Rested = unit.Resistance(v) })
	add(airway.SwollenRecord, float64(s.Nose.Swollen), func(s *airway.Setup, v float64) { s.Nose.Swollen = unit.Resistance(v) })
	add(airway.LipsRecord, float64(s.Mouth.Lips), func(s *airway.Setup, v float64) { s.Mouth.Lips = unit.Pressure(v) })
	add(airway.PartedRecord, float64(s.Mouth.Parted), func(s *airway.Setup, v float64) { s.Mouth.Parted = unit.Resistance(v) })
	if s.Mouth.ChinStrap > 0 {
		add(airway.ChinStrapRecord, float64(s.Mouth.ChinStrap), func(s *airway.Setup, v float64) { s.Mouth.ChinStrap = unit.Pressure(v) })
	}
	if s.Mouth.Open {
		add(airway.JawDropRecord, float64(s.Mouth.JawDrop), func(s *airway.Setup, v float64) { s.Mouth.JawDrop = unit.Length(v) })
	}
	return Study[Breath]{Question: q, Inputs: l.in, Held: l.held, Quantities: []Quantity{Unintended, MouthLeak, Swing}, Ask: breathe}
}

func breathe(q Breath, _ int) (Outcome, error) {
	on, err := fit.PutOn(q.Case)
	if err != nil {
		return Outcome{}, err
	}
	r, err := airway.Run(on, q.Setup)
	if err != nil {
		return Outcome{}, err
	}
	verdict := MouthKeeps
	if r.Mouth > mouthTrace {
		verdict = MouthLeaks
	}
	return Outcome{Verdict: verdict, Values: []float64{float64(r.Unintentional), float64(r.Mouth), float64(r.Swing)}}, nil
}
