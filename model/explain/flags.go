package explain

import (
	"math"

	"tautline/model/unit"
)

const (
	below      = 2.0 // standard deviations under the vent's flow that ask for a look
	farOff     = 2.5 // standard deviations from the best curve of the leading cause
	fewCurves  = 10  // curves that count, below which the simulation itself is coarse
	fewReading = 3
)

// flags names what has to be said with the answer, most urgent first.
func (b *Bank) flags(p *posterior, a *Answer) (out []Flag) {
	q := &a.Question
	say := func(f Flag, when bool) {
		if when {
			out = append(out, f)
		}
	}
	span := q.highest() - q.lowest()
	say(BelowVent, b.underVent(p))
	say(SelfAdjusting, q.Chooser == MachineAdjusted)
	say(ChooserUnknown, q.Chooser == ChooserNotSaid && len(q.Readings) > 1)
	say(TooLittle, len(q.Readings) < fewReading || span < narrow)
	say(OnePressure, span < alike)
	say(StatisticMatters, q.Statistic == Median || q.Statistic == Percentile95)
	say(StatisticUnknown, q.Statistic == StatisticNotSaid)
	say(OxygenShifts, q.Seen[OxygenAdded] == 1)
	say(NoCauseFits, a.Causes[0].Mismatch > farOff)
	say(FewDraws, a.Causes[0].Effective < fewCurves && len(b.draws[a.Causes[0].Cause]) > 1)
	say(VentExtrapolated, b.extrapolated(q))
	say(PostureUnknownOne, p.prior[SideSleeping] > 0 && unknownPosture(q))
	say(QuietAsRead, a.Leading().Cause == NothingUnusual)
	return out
}

// underVent tells whether less flows than the vent should pass: in all readings
// together by more than noise and the vent's tolerance explain.
func (b *Bank) underVent(p *posterior) bool {
	n := &b.Priors.Noise
	var sum, ww, vent float64
	for _, r := range p.readings {
		w := 1 / (n.sd(0) * n.sd(0))
		sum, ww, vent = sum+w*r.leak, ww+w, vent+w*r.vent
	}
	mean, sd := sum/ww, math.Hypot(1/math.Sqrt(ww), n.Vent*vent/ww)
	return mean < -below*sd
}

func (b *Bank) extrapolated(q *Question) bool {
	for _, r := range q.Readings {
		if _, out := b.vent.Flow(unit.Pressure(r.Pressure)); out {
			return true
		}
	}
	return false
}

func unknownPosture(q *Question) bool {
	for _, r := range q.Readings {
		if r.Posture == PostureUnknown {
			return true
		}
	}
	return false
}
