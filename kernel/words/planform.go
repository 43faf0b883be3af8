package words

import (
	"strings"

	"tautline/kernel/minute"
	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/plan"
	"tautline/model/unit"
)

// planForm shows a form for what to try next, and its answer: which mask, in
// which size, how tight, and what after each outcome. Nothing has to be known;
// what is not known keeps out the masks that could do harm. Every mask of the
// catalogue is taken to be in stock.
//
// Range: pressures from 4 to 25 cmH2O
// Source: what is tapped; faces, masks and persons are invented
// Example: BedsidePlan()
func (d *desk) planForm() {
	at := &place{front: d.front}
	l := &live{desk: d, controls: planControls(), shown: d.id(), form: true}
	l.f = func(values []any) any {
		if values[0] == "yes" {
			return BedsideAnswer{minute.Answer{Form: minute.Form{Danger: scenario.Yes}, Kind: minute.Stop}}
		}
		stock := scenario.UsualStock()
		return tappedPlan{at.planned(planOf(values, stock), stock.File), tapped(l.controls, values)}
	}
	l.start()
}

// A tappedPlan is a plan together with what was tapped for it, so that a printed
// sheet tells what it answers.
type tappedPlan struct {
	PlanAnswer
	taps table
}

// String is the plan as text, with the taps.
func (a tappedPlan) String() string { return a.sheet().text() }

// Mimebundle shows the plan, and last what was tapped.
func (a tappedPlan) Mimebundle() map[string]any { return a.sheet().bundle() }

func (a tappedPlan) sheet() sheet {
	s := a.PlanAnswer.sheet()
	s.tables = append(s.tables, a.taps)
	return s
}

// tappedCaption stands over what was tapped, in both forms.
const tappedCaption = "What was tapped (no name belongs here)"

// tapped lists controls with where they stand.
func tapped(controls []Control, values []any) table {
	t := table{caption: tappedCaption}
	for i, c := range controls {
		t.rows = append(t.rows, []string{c.name, strings.TrimPrefix(c.say(values[i]), c.name+" ")})
	}
	return t
}

// unplacedPlanForm is the word BedsidePlan where there is no front.
func unplacedPlanForm() { panic(errNoFront) }

// gauges are the widths that a nose gauge has.
var gauges = []string{"28 mm", "31 mm", "34 mm", "37 mm", "40 mm", "43 mm"}

func planControls() []Control {
	return []Control{
		asks("any sign to stop for, skin too", "no", "yes").Start("no"),
		asks("what strikes about the face", append([]string{"nothing"}, scenario.FaceTicks()...)...).Start("narrow bridge"),
		asks("nose width, by the gauge", gauges...).Start("34 mm"),
		asks("mouth open asleep", "no", "yes"),
		asks("vomiting, full stomach, secretions", "no", "yes").Start("no"),
		asks("takes the mask off alone", "yes", "no").Start("yes"),
		asks("implants, patient or bed partner", "no", "yes").Start("no"),
		asks("nose blocked", "no", "yes").Start("no"),
		asks("lets at most be covered", "nostrils", "nose", "nose and mouth"),
		asks("posture of sleep", positions()...).Start("on the back"),
		highest("highest pressure that is met"),
		ownLimit(), ownLine(),
		asks("mask tried last", maskKinds()...).Start(report.TypeWords(mask.Nasal)),
		asks("its size", mask.Sizes()...).Start("medium"),
		asks("what came of it", scenario.OutcomeWords()...).Start("leaks at the nose sides"),
	}
}

// planOf reads the taps back, in the order of planControls.
func planOf(values []any, stock scenario.Stock) plan.Question {
	said := func(i int) string {
		if s, ok := values[i].(string); ok && s != unknownChoice {
			return s
		}
		return ""
	}
	answer := func(i int) plan.Told { return answered[said(i)] }
	top := values[10].(unit.Pressure)
	q := plan.Question{Seed: 1, Stock: stock.Masks, Range: [2]unit.Pressure{min(4*unit.CmH2O, top), top},
		Limit: values[11].(unit.Flow), Look: plan.Look{MouthOpen: answer(3)},
		Gates: plan.Gates{Vomiting: answer(4), TakesOffAlone: answer(5), Implants: answer(6), NoseBlocked: answer(7), Covers: covering[said(8)]}}
	if tick := said(1); tick != "" && tick != "nothing" {
		q.Look.Ticks = []plan.Tick{plan.Tick(tick)}
	}
	if width, err := unit.ParseLength(said(2)); err == nil {
		q.Look.NoseWidth = width
	}
	q.Position, _ = fit.FindPosition(said(9))
	q.Line = line(values[12].(unit.Pressure)).line
	if what, anywhere, ok := scenario.ParseOutcome(said(15)); ok && said(13) != "" && said(14) != "" {
		q.Tried = []plan.Visit{{Type: kindOf(said(13)), Size: said(14), What: what, Anywhere: anywhere}}
	}
	return q
}

func positions() []string {
	var all []string
	for _, p := range fit.Positions() {
		all = append(all, p.Name)
	}
	return all
}

func maskKinds() []string {
	var all []string
	for _, t := range mask.Types() {
		all = append(all, report.TypeWords(t))
	}
	return all
}

// kindOf finds the type that words stand for; none for other words.
func kindOf(words string) mask.Type {
	for _, t := range mask.Types() {
		if report.TypeWords(t) == words {
			return t
		}
	}
	return ""
}
