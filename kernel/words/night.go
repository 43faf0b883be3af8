package words

import (
	"fmt"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/model/airway"
	"tautline/model/fit"
	"tautline/model/night"
	"tautline/model/skin"
	"tautline/model/unit"
)

// asking makes a statement about nights.
func asking(set func(*night.Question)) Statement { return Statement{night: set} }

// statistic states which figure of a night's leak is held against the limit. It
// has no default: whoever asks states it.
//
// Example: fit.Night(12*CmH2O, Limit(24*LPerMin), Line(70*MmHg), Statistic("95th percentile"))
func statistic(name string) Statement {
	var all []string
	for _, s := range night.Statistics() {
		if string(s) == name {
			return asking(func(q *night.Question) { q.Statistic = s })
		}
		all = append(all, string(s))
	}
	panic(unknown("statistic", name, all))
}

// hours states how long a night is; eight hours if it is left out.
//
// Unit: a time, such as 7*Hour
// Example: Hours(7*Hour)
func hours(t unit.Time) Statement {
	check(night.HoursRecord.Check(float64(t)))
	return asking(func(q *night.Question) { q.Hours = t })
}

// nights states how many nights are simulated; 200 if it is left out. A few are
// enough while something is dragged.
//
// Example: Nights(10)
func nights(n int) Statement {
	check(night.NightsRecord.Check(float64(n)))
	return asking(func(q *night.Question) { q.Nights = n })
}

// seed states where the chance of the nights begins: the same seed, the same
// nights; of draws, the same draws.
//
// Example: Seed(1)
func seed(n int) Statement {
	if n < 0 {
		panic(fmt.Errorf("%s wants a whole number from 0 up, not %d", "Seed", n))
	}
	from := uint64(n)
	return Statement{seed: &from, night: func(q *night.Question) { q.Seed = from }}
}

// cutOut gives the bed pillow a cut-out for the mask.
//
// Example: CutOut()
func cutOut() Statement { return asking(func(q *night.Question) { q.Habits.CutOut = true }) }

// sleepsOn states a share of the night for a position. With the first one the
// usual shares are gone, and only what is stated is lain on.
//
// Unit: a share, such as 60*Percent
// Example: SleepsOn("on the left side", 60*Percent)
func sleepsOn(position string, share unit.Fraction) Statement {
	p, ok := fit.FindPosition(position)
	if !ok {
		var known []string
		for _, p := range fit.Positions() {
			known = append(known, p.Name)
		}
		panic(unknown("position", position, known))
	}
	return Statement{lies: &night.Share{Position: p, Share: share}}
}

// lipsResting lets the lips part when the pressure behind them is enough; they
// stay closed if it is left out.
//
// Example: LipsResting()
func lipsResting() Statement {
	return asking(func(q *night.Question) { *q = q.WithMouth(airway.ClosedMouth()) })
}

// hosePull sets how hard an unsupported hose pulls on the elbow, towards the
// feet; a supported one does not.
//
// Unit: newtons (N) or grams on a hanging scale (Grams)
// Example: HosePull(0.5*N)
func hosePull(pull unit.Force) Setting {
	check(fit.HosePull.Check(float64(pull)))
	return Setting{"hose pull " + report.Pull(pull), func(c *fit.Case) { c.Hose.Pull = pull }}
}

// NightSleep is what simulated nights come to. All numbers can be read by name:
// sleep.AboveMean, sleep.Over, sleep.Leak.
type NightSleep struct{ night.Answer }

// Night sleeps in the mask, many nights, at a set pressure. Limit, Line and
// Statistic must be stated: there is no usual one.
//
// Example: fit.Night(12*CmH2O, Limit(24*LPerMin), Line(70*MmHg), Statistic("95th percentile"))
func (f Fitting) Night(set unit.Pressure, stated ...Statement) NightSleep {
	q := night.Question{Case: f.model().Case, Pressure: set, Hours: unit.Time(night.HoursRecord.SI()),
		Nights: int(night.NightsRecord.Value), Seed: 1, Habits: night.UsualHabits()}
	var lies []night.Share
	for _, s := range stated {
		q.Limit, q.Line = s.or(q.Limit, q.Line)
		if s.night != nil {
			s.night(&q)
		}
		if s.lies != nil {
			lies = append(lies, *s.lies)
		}
	}
	if lies != nil {
		q.Habits.Shares = lies
	}
	a, err := night.Ask(f.at.context(), q)
	check(err)
	return NightSleep{a}
}

// or gives the limit and the line that are stated, or those that were before.
func (s Statement) or(limit unit.Flow, line skin.Line) (unit.Flow, skin.Line) {
	if s.limit > 0 {
		limit = s.limit
	}
	if s.line.IsSet() {
		line = s.line
	}
	return limit, line
}

// String is the answer as text.
func (n NightSleep) String() string { return n.sheet().text() }

// Mimebundle shows the sentences, one night as a strip, and the tables.
func (n NightSleep) Mimebundle() map[string]any { return n.sheet().bundle() }

func (n NightSleep) sheet() sheet {
	a := n.Answer
	said := append([]string{report.NightSentence(a.Question), report.NightVerdict(a)}, report.NightWhy(a)...)
	return sheet{caution: true, sentences: append(said, report.NightAfterwards(a), report.NightLimits),
		pictures: []*picture.Picture{picture.Night(a, picture.Named(report.NightName(a.Question)))},
		tables: []table{
			{caption: "By position and by stage of sleep", head: 2, rows: report.PartRows(a)},
			{caption: "Skin contact by site, against the line", head: 2, rows: report.LoadRows(a)},
		}}
}

// CushionCare is what care and replacement do to a cushion over months; how it
// wears is assumed.
type CushionCare struct{ night.CareAnswer }

// Care follows the cushion over six months at a set pressure: washed, wiped,
// replaced. How it wears is assumed, and no evidence for supply or refusal.
//
// Example: fit.Care(12*CmH2O, Limit(24*LPerMin))
func (f Fitting) Care(set unit.Pressure, stated ...Statement) CushionCare {
	q := night.CareQuestion{Case: f.model().Case, Pressure: set, Days: night.SixMonths, Plans: night.UsualPlans()}
	for _, s := range stated {
		q.Limit, _ = s.or(q.Limit, skin.Line{})
	}
	a, err := night.Care(f.at.context(), q)
	check(err)
	return CushionCare{a}
}

// String is the answer as text.
func (c CushionCare) String() string { return c.sheet().text() }

// Mimebundle shows the sentences, the courses and the table.
func (c CushionCare) Mimebundle() map[string]any { return c.sheet().bundle() }

func (c CushionCare) sheet() sheet {
	a := c.CareAnswer
	name := report.CaseName(fit.Question{Case: a.Question.Case})
	return sheet{caution: true,
		sentences: []string{report.CareSentence(a.Question), report.CareVerdict(a), report.CareLimits, report.CareAfterwards},
		pictures:  []*picture.Picture{picture.Care(a, picture.Named(name))},
		tables:    []table{{caption: fmt.Sprintf("Care over %s", a.Question.Days), head: 2, rows: report.CareRows(a)}}}
}
