package scenario

import (
	"tautline/model/airway"
	"tautline/model/fit"
	"tautline/model/night"
	"tautline/model/unit"
)

// A Night is what a scenario says of how the mask is slept in.
type Night struct {
	Stated    bool // whether the scenario has such a section
	Habits    night.Habits
	Hours     unit.Time
	Nights    int
	Seed      uint64
	Statistic night.Statistic
	Mouth     *airway.Mouth // nil: closed
}

// NightQuestion gives the night's question for the case of a scenario.
func (s *Scenario) NightQuestion() night.Question {
	n := s.Night
	q := night.Question{Case: s.Question.Case, Pressure: s.Question.Pressure, Limit: s.Question.Limit, Line: s.Question.Line,
		Statistic: n.Statistic, Hours: n.Hours, Nights: n.Nights, Seed: n.Seed, Habits: n.Habits}
	if n.Mouth != nil {
		return q.WithMouth(*n.Mouth)
	}
	return q
}

// hose reads what hangs on the elbow.
func (r *reader) hose(top *section) {
	s, _ := top.section("hose")
	h := &r.q.Case.Hose
	r.inputs.add(fit.HoseParameters()...)
	if v, ok := s.quantity("pull", unit.ForceKind, fit.HosePull.Name); ok {
		h.Pull = unit.Force(v)
	}
	if v, ok := s.quantity("direction", unit.AngleKind, fit.HoseToward.Name); ok {
		h.Toward = unit.Angle(v)
	}
	if v, ok := s.quantity("elbow", unit.LengthKind, fit.HoseHeight.Name); ok {
		h.Height = unit.Length(v)
	}
	s.done()
}

// usualNight is a night of which nothing is said.
func usualNight() Night {
	return Night{Habits: night.UsualHabits(), Hours: unit.Time(night.HoursRecord.SI()),
		Nights: int(night.NightsRecord.Value), Seed: 1}
}

// night reads how the mask is slept in.
func (r *reader) night(top *section) {
	s, there := top.section("night")
	n := &r.slept
	*n = usualNight()
	if n.Stated = there; !there {
		return
	}
	r.inputs.add(night.Parameters()...)
	if w, ok := s.word("statistic", statisticNames()); ok {
		n.Statistic = night.Statistic(w)
	} else if !s.has("statistic") {
		s.missing("statistic", `statistic = "95th percentile", which figure of a night's leak is held against the limit; or "mean", "median", "largest"`)
	}
	s.set("hours", unit.TimeKind, &night.HoursRecord, func(v float64) { n.Hours = unit.Time(v) })
	if v, ok := s.number("nights", night.NightsRecord.Name); ok {
		n.Nights = int(v)
		if v != float64(n.Nights) {
			s.wrong("nights", "is %v: nights are counted in whole numbers", v)
		}
	}
	s.seed(n)
	if v, ok := s.number("turns_an_hour", night.TurnRate.Name); ok {
		n.Habits.TurnRate = v
	}
	if v, ok := s.flag("cut_out"); ok {
		n.Habits.CutOut = v
	}
	s.habits(&n.Habits)
	s.shares(&n.Habits)
	r.sleepersMouth(top, s, n)
	s.done()
}

func statisticNames() []string {
	var all []string
	for _, s := range night.Statistics() {
		all = append(all, string(s))
	}
	return all
}

// set reads a quantity and hands it on.
func (s *section) set(key string, kind *unit.Kind, record *unit.Parameter, take func(float64)) {
	if v, ok := s.quantity(key, kind, record.Name); ok {
		take(v)
	}
}

// habits reads the numbers of the habits that have a unit.
func (s *section) habits(h *night.Habits) {
	for _, k := range []struct {
		key    string
		kind   *unit.Kind
		record *unit.Parameter
		to     *unit.Fraction
	}{
		{"slackening", unit.FractionKind, &night.Slack, &h.Slack},
		{"slip", unit.FractionKind, &night.Slip, &h.Slip},
		{"askew", unit.FractionKind, &night.Askew, &h.Askew},
		{"warming", unit.FractionKind, &night.WarmSoftening, &h.WarmSoftening},
		{"cut_out_leaves", unit.FractionKind, &night.CutOutLeaves, &h.CutOutLeaves},
		{"tone_rem", unit.FractionKind, &night.ToneREM, &h.ToneREM},
		{"tone_spread", unit.FractionKind, &night.ToneSpread, &h.ToneSpread},
	} {
		s.set(k.key, k.kind, k.record, func(v float64) { *k.to = unit.Fraction(v) })
	}
	s.set("evening_spread", unit.FractionKind, &night.Evening, func(v float64) { h.Evening = v })
	s.set("slackening_spread", unit.FractionKind, &night.SlackSpread, func(v float64) { h.SlackSpread = v })
	s.set("slackening_time", unit.TimeKind, &night.SlackTime, func(v float64) { h.SlackTime = unit.Time(v) })
	s.set("warming_time", unit.TimeKind, &night.WarmTime, func(v float64) { h.WarmTime = unit.Time(v) })
	s.set("jaw_rem", unit.LengthKind, &night.JawREM, func(v float64) { h.JawREM = unit.Length(v) })
}

// seed reads the number that the chance of the nights begins from.
func (s *section) seed(n *Night) {
	v, ok := s.get("seed")
	if !ok {
		return
	}
	i, whole := v.(int64)
	if !whole || i < 0 {
		s.wrong("seed", "is %s: write a whole number from 0 up, such as seed = 1", quoted(v))
		return
	}
	n.Seed = uint64(i)
}

// shares reads how much of the night is spent in which position; those not
// named are not lain in.
func (s *section) shares(h *night.Habits) {
	v, ok := s.section("positions")
	if !ok {
		return
	}
	var all []night.Share
	sum := 0.0
	share := unit.Parameter{Name: "share of the night", Unit: "%", Value: 0, Low: 0, High: 100}
	for _, name := range positionNames() {
		item, there := v.get(name)
		if !there {
			continue
		}
		path := below(v.path, name)
		si, ok := s.parse(path, name, item, unit.FractionKind)
		if !ok || !s.inRange(path, &share, si) {
			continue
		}
		p, _ := fit.FindPosition(name)
		all = append(all, night.Share{Position: p, Share: unit.Fraction(si)})
		sum += si
	}
	v.done()
	if len(v.values) == len(all) && sum <= 0 {
		s.wrong("positions", `names no position with a share: write "on the back" = "40 %%" and the like below [night.positions]`)
	}
	if h.Shares = all; sum > 0 {
		s.record(night.BackShare.Name).Origin = unit.Stated
		for _, a := range all {
			if a.Position.Name == "on the back" {
				*s.record(night.BackShare.Name) = night.BackShare.With(float64(a.Share) / sum)
			}
		}
	}
}

// mouthWords are how a mouth may be, the usual first.
var mouthWords = []string{"closed", "lips resting", "open"}

// sleepersMouth takes what [mouth] states. Without that section the night's own
// keys are read, as files had them before; both together would be two answers
// to one question.
func (r *reader) sleepersMouth(top, s *section, n *Night) {
	if !top.has("mouth") {
		s.mouth(n)
		return
	}
	for _, key := range []string{"mouth", "chin_strap"} {
		if s.has(key) {
			s.wrong(key, "is stated in [mouth] as well: keep what stands there, and take this line out")
			return
		}
	}
	if m := r.setup.Mouth; m.Palate { // otherwise nothing reaches the lips
		n.Mouth = &m
	}
}

// mouth reads what the mouth does behind the mask.
func (s *section) mouth(n *Night) {
	w, ok := s.word("mouth", mouthWords)
	strap, _ := s.flag("chin_strap")
	if !ok || w == "closed" {
		return
	}
	m := airway.ClosedMouth()
	if w == "open" {
		m = airway.OpenMouth()
	}
	if strap {
		m = m.WithChinStrap()
	}
	n.Mouth = &m
}
