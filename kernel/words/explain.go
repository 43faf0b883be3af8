package words

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/explain"
	"tautline/model/fit"
	"tautline/model/unit"
)

// explainWord is the word's name in its own errors.
const explainWord = "Explain"

// An Explanation is what readings say about the causes of a leak. Its numbers
// can be read by name: why.Cause("lift_off").Probability,
// why.Step("reseat").After.Middle.
type Explanation struct {
	explain.Answer
	notes []string
	at    *place
}

// explain compares readings with what each cause of a leak would show: the share
// of each, what cannot be told apart and what would decide, the one test of ten
// seconds that tells most, and what to try in bedside order. What is not known
// is left out. It proves nothing about a person.
//
// Equation: share of a cause = how common it is, times how well its simulated leaks meet the readings, times what was seen; all shares together are 1
// Unit: pressures and flows, as read
// Range: one reading or more, from 2 to 40 cmH2O
// Source: seal, vent and mouth as modelled; how common each cause is and what each sign is worth is assumed
// Example: Explain(Readings("clinic.csv"), Mask("nasal", "medium"), OnFlow("total"))
func (p *place) explain(read ReadingList, m Mask, told ...any) Explanation {
	q := explain.Question{Mask: m.Mask}
	notes := read.tell(&q)
	for _, one := range told {
		tellLeak(&q, one)
	}
	if q.Which == explain.WhichNotSaid {
		panic(fmt.Errorf(`%s wants to know which flow was read: add OnFlow("total") or OnFlow("unintentional")`, explainWord))
	}
	return p.explained(q, notes)
}

func (p *place) explained(q explain.Question, notes []string) Explanation {
	check(scenario.TouchedSites(&q))
	check(q.Check())
	a, err := p.answer(q)
	check(err)
	return Explanation{a, notes, p}
}

// With asks the same again with something more that was seen, or said otherwise.
//
// Example: why.With(LipsClosed("no change"))
func (e Explanation) With(told ...any) Explanation {
	e.made()
	q := e.Question
	for _, one := range told {
		tellLeak(&q, one)
	}
	return e.at.explained(q, e.notes)
}

// Had asks the same with another flow at one pressure, or with a reading more
// where none was at that pressure.
//
// Unit: a pressure and a flow
// Example: why.Had(15*CmH2O, 20*LPerMin)
func (e Explanation) Had(pressure unit.Pressure, flow unit.Flow) Explanation {
	e.made()
	one := reading(pressure, flow)
	q := e.Question
	q.Readings, q.Range = slices.Clone(q.Readings), [2]unit.Pressure{}
	found := false
	for i, r := range q.Readings {
		if math.Abs(float64(r.Pressure-one.Pressure)) < float64(0.05*unit.CmH2O) {
			q.Readings[i].Flow, found = one.Flow, true
		}
	}
	if !found {
		q.Readings = append(q.Readings, explain.Reading{Pressure: one.Pressure, Flow: one.Flow})
	}
	return e.at.explained(q, e.notes)
}

func (e Explanation) made() {
	if len(e.Causes) == 0 {
		panic(errors.New(`this explanation is empty; make one with Explain(Readings(...), Mask("nasal", "medium"), OnFlow("total"))`))
	}
}

// tell gives what was read, and what its files say of it.
func (l ReadingList) tell(q *explain.Question) (notes []string) {
	for _, r := range l.All {
		q.Readings = append(q.Readings, explain.Reading{Pressure: r.Pressure, Flow: r.Flow, Posture: r.Posture,
			Time: r.Time, HasTime: r.Timed && len(l.clinic) <= 1})
	}
	for _, c := range l.clinic {
		if q.Which != 0 && c.Which != 0 && q.Which != c.Which || q.Statistic != 0 && c.Statistic != 0 && q.Statistic != c.Statistic {
			panic(fmt.Errorf("%s holds another flow or statistic than the file before: explain them one by one", c.File))
		}
		q.Which, q.Statistic = max(q.Which, c.Which), max(q.Statistic, c.Statistic)
		notes = append(notes, c.Notes...)
	}
	return notes
}

// tellLeak takes over one thing that was told: what was seen, a strap force, a
// cushion's age, a limit or a line.
func tellLeak(q *explain.Question, one any) {
	switch s := one.(type) {
	case Seen:
		if s.tell != nil {
			s.tell(q)
		}
	case Statement:
		if s.limit > 0 {
			q.Limit = s.limit
		}
		if s.line.IsSet() {
			q.Line = s.line
		}
	case Setting:
		if s.set != nil {
			tellSetting(q, s)
		}
	default:
		panic(fmt.Errorf(`%s takes what was told after readings and mask, such as SteppedBy("person") or DryMouth("no"), and %s`, explainWord, describe(one)))
	}
}

// tellSetting reads what a setting of a mask says of a leak: a strap force, a
// cushion's age, and the position at readings that do not say theirs.
func tellSetting(q *explain.Question, s Setting) {
	var c fit.Case
	s.set(&c)
	switch {
	case c.Straps.Pull > 0:
		q.Straps = [2]unit.Force{c.Straps.Pull, c.Straps.Pull}
	case strings.HasPrefix(s.name, "cushion"):
		t, _ := scenario.FindTelling(explain.CushionAge.ID())
		check(t.Tell(q, c.Cushion.Days.String()))
	case c.Position.Name != "":
		check(scenario.TellPosition(q, c.Position.Name))
	default:
		panic(fmt.Errorf("%s does not help Explain; of the settings it takes Straps(3*N), CushionAge(120*Day) and Position(\"on the back\")", s.name))
	}
}

// mostBanks is how many sets of simulated leaks a notebook keeps: while a
// control moves, mask and highest pressure hardly change.
const mostBanks = 4

// answer asks the model, with the curves that were drawn for the same mask,
// highest pressure and statistic before, if there are any.
func (p *place) answer(q explain.Question) (explain.Answer, error) {
	top := unit.Pressure(0)
	for _, r := range q.Readings {
		top = max(top, r.Pressure)
	}
	if p == nil {
		return explain.Explain(p.context(), q)
	}
	for _, b := range p.banks {
		if b.Top == top && b.Statistic == q.Statistic && reflect.DeepEqual(b.Mask, q.Mask) {
			return b.Explain(p.context(), q)
		}
	}
	b, err := explain.Prepare(p.context(), q.Mask, top, q.Statistic, q.Priors, q.Seed, q.Draws)
	if err != nil {
		return explain.Answer{}, err
	}
	p.banks = append(p.banks, b)
	p.banks = p.banks[max(0, len(p.banks)-mostBanks):]
	return b.Explain(p.context(), q)
}

// Cause gives what is said of one cause, by its name in files or in tables.
//
// Example: why.Cause("mouth_opening").Probability
func (e Explanation) Cause(name string) explain.Result {
	var known []string
	for _, r := range e.Causes {
		if r.Cause.ID() == name || report.CauseShort(r.Cause) == name {
			return r
		}
		known = append(known, r.Cause.ID())
	}
	panic(unknown("cause", name, known))
}

// Leading gives what is said of the most probable cause.
//
// Example: why.Leading().Probability
func (e Explanation) Leading() explain.Result { return e.Answer.Leading() }

// Step gives what one step is expected to do, by its name in files.
//
// Example: why.Step("reseat").After
func (e Explanation) Step(name string) explain.Action {
	var known []string
	for _, a := range e.Actions {
		if a.Kind.ID() == name {
			return a
		}
		known = append(known, a.Kind.ID())
	}
	panic(unknown("step", name, known))
}

// Sentence says what the readings look most like, or between what they leave it.
func (e Explanation) Sentence() string { return report.ExplainSentence(e.Answer) }

// First says what to do first: the vent where too little flows, else the one
// test of ten seconds that tells most.
func (e Explanation) First() string {
	if vent := report.VentFirst(e.Answer); vent != "" {
		return vent
	}
	return report.NextSentence(e.Answer)
}

// String is the answer as text: the sentences, the steps and the tables.
func (e Explanation) String() string { return e.sheet().text() }

// Mimebundle shows the sentences, the readings against each cause, the steps and
// the tables.
func (e Explanation) Mimebundle() map[string]any { return e.sheet().bundle() }

func (e Explanation) sheet() sheet {
	e.made()
	var first []string
	for _, s := range append([]string{report.VentFirst(e.Answer), e.Sentence()}, e.notes...) {
		if s != "" {
			first = append(first, s)
		}
	}
	first = append(first, report.TieSentences(e.Answer)...)
	first = append(first, report.ExplainFlags(e.Answer)...)
	first = append(first, report.ExplainStated(e.Answer)...)
	if next := report.NextSentence(e.Answer); next != "" {
		first = append(first, "Ten seconds at the bedside that tell most. "+next)
	}
	return sheet{caution: true, sentences: first,
		pictures: []*picture.Picture{picture.Explain(e.Answer)},
		lists:    []list{{"What to try, in this order, one at a time", report.ActionLines(e.Answer)}},
		tables: []table{{caption: "All causes (off by: how far the readings lie from the nearest such leak)", head: 2, rows: report.CauseRows(e.Answer)},
			{caption: "The readings, taken apart", head: 2, rows: report.ReadingRows(e.Answer)}},
		after: []string{report.ExplainAfterwards(e.Answer), report.ExplainLimits}}
}
