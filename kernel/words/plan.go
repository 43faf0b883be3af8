package words

import (
	"errors"
	"fmt"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/fit"
	"tautline/model/plan"
)

// A PatientFacts is what is known of one person, without a name.
type PatientFacts struct{ facts []Fact }

// facts puts together what is known of a person: facts that are typed in, or
// a patient file in the notebook's folder. No name belongs to it. What is not
// said counts as not known.
//
// Source: what is typed in, or the file
// Example: Facts(Ticks("narrow bridge"), Pressures(4*CmH2O, 16*CmH2O), Limit(24*LPerMin), Line(70*MmHg))
func (p *place) facts(facts ...any) PatientFacts {
	all := PatientFacts{}
	for _, f := range facts {
		all.facts = append(all.facts, p.fact(f))
	}
	return all
}

// fact turns whatever may be told of a plan into a fact.
func (p *place) fact(f any) Fact {
	switch f := f.(type) {
	case Fact:
		return f
	case PatientFacts:
		return Fact{"a patient", func(q *plan.Question) {
			for _, one := range f.facts {
				one.tell(q)
			}
		}}
	case string:
		return p.patientFile(f)
	case Shelf:
		return Fact{f.name, func(q *plan.Question) { q.Stock = f.items }}
	case Statement:
		return Fact{"a limit or a line", func(q *plan.Question) {
			if f.limit > 0 {
				q.Limit = f.limit
			}
			if f.line.IsSet() {
				q.Line = f.line
			}
		}}
	case Setting:
		return positionFact(f)
	}
	panic(fmt.Errorf("a plan takes what is known of a patient, such as Ticks(\"narrow bridge\"), Limit(24*LPerMin) or the name of a patient file; %s", describe(f)))
}

// positionFact takes the posture of sleep; the other settings belong to PutOn.
func positionFact(s Setting) Fact {
	c := fit.Case{}
	if s.set != nil {
		s.set(&c)
	}
	if c.Position.Name == "" {
		panic(fmt.Errorf("a plan finds mask and straps by itself, and of settings it takes Position(\"on the back\") only, not %s", s.name))
	}
	return Fact{s.name, func(q *plan.Question) { q.Position = c.Position }}
}

func (p *place) patientFile(name string) Fact {
	told, err := scenario.ParsePatient(name, p.read(name), scenario.PlanParts()...)
	check(err)
	return Fact{name, func(q *plan.Question) {
		stock := q.Stock
		*q = scenario.PlanOf(told)
		q.Stock = stock
	}}
}

// String lists what is known.
func (f PatientFacts) String() string {
	text := "A patient"
	for i, one := range f.facts {
		text += [2]string{": ", "; "}[min(i, 1)] + one.name
	}
	return text + "."
}

// A Shelf is what a clinic has.
type Shelf struct {
	name  string
	items []plan.Item
}

// stock reads what a clinic has from a file in the notebook's folder; without
// one, every mask of the catalogue is taken to be there.
//
// Source: the file
// Example: Stock("stock.toml")
func (p *place) stock(name string) Shelf {
	s, err := scenario.ParseStock(name, p.read(name))
	check(err)
	return Shelf{name, s.Masks}
}

// String lists the shelf.
func (s Shelf) String() string { return s.sheet().text() }

// Mimebundle shows the shelf as a table.
func (s Shelf) Mimebundle() map[string]any { return s.sheet().bundle() }

func (s Shelf) sheet() sheet {
	return sheet{tables: []table{{caption: "Stock, " + s.name, head: 1, rows: report.StockRows(s.items)}}}
}

// A PlanAnswer is what to try first, and next after each outcome. Its numbers
// can be read by name: Planned.Visits.Value, Trial.Unsolved.Value, Choices[0].Pull.
type PlanAnswer struct {
	plan.Answer
	stock string
	at    *place
}

// planFor finds which mask to try first, its size and straps, what to try after
// each outcome, and what to expect in visits against plain trial and error.
// Limit, line and pressures have no default; what else is not said counts as
// not known, and keeps out what could do harm.
//
// Range: pressures from 0 to 60 cmH2O
// Source: assumed spreads of faces, skin and straps; trial and error set to three to four visits (common practice, no source)
// Example: Plan(facts, Stock("stock.toml"))
func (p *place) planFor(facts ...any) PlanAnswer {
	usual := scenario.UsualStock()
	start := PlanAnswer{plan.Answer{Question: plan.Question{Seed: 1, Stock: usual.Masks}}, usual.File, p}
	return start.With(facts...)
}

func (p *place) planned(q plan.Question, stock string) PlanAnswer {
	if !q.Line.IsSet() {
		panic(errors.New("a plan wants your reference line for the skin, such as Line(70*MmHg): there is no usual one"))
	}
	a, err := plan.Plan(p.context(), q)
	check(err)
	return PlanAnswer{a, stock, p}
}

// With gives the plan with something said otherwise, or said besides.
//
// Example: first.With(Told("implants", "yes"))
func (a PlanAnswer) With(facts ...any) PlanAnswer {
	q, stock := a.Question, a.stock
	for _, f := range facts {
		if s, ok := f.(Shelf); ok {
			stock = s.name
		}
		a.at.fact(f).tell(&q)
	}
	return a.at.planned(q, stock)
}

// After gives the plan once the mask that it names came out so: what to try
// then. The plan learns from every outcome.
//
// Example: first.After("leaks at the bridge")
func (a PlanAnswer) After(outcome string) PlanAnswer {
	if a.Next == nil || a.Next.Setting.Type == "" {
		panic(errors.New("this plan has nothing to try, so nothing can come of it"))
	}
	what, anywhere := outcomeOf(outcome)
	q := a.Question
	s := a.Next.Setting
	q.Tried = append(q.Tried[:len(q.Tried):len(q.Tried)], plan.Visit{Type: s.Type, Size: s.Size, Pull: s.Pull, What: what, Anywhere: anywhere})
	return a.at.planned(q, a.stock)
}

// String is the plan as text.
func (a PlanAnswer) String() string { return report.PlanText(a.Answer, a.stock, report.Ink{}) }

// Mimebundle shows the sentences, the decision path, what to do and the tables.
func (a PlanAnswer) Mimebundle() map[string]any {
	b := a.sheet().bundle()
	b["text/plain"] = a.String()
	return b
}

func (a PlanAnswer) sheet() sheet {
	p := a.Answer
	s := sheet{caution: true, sentences: append(report.PlanGates(p), report.PlanSentence(p))}
	s.sentences = append(s.sentences, report.PlanWhy(p)...)
	s.after = []string{"What this cannot know: " + report.PlanUnknownLine(p), report.PlanAfterwards(p), report.PlanLimits + " " + report.Disclaimer}
	if p.Next == nil || p.Next.Setting.Type == "" {
		return s
	}
	s.pictures = []*picture.Picture{picture.Plan(p)}
	s.lists = []list{{"At this visit, in this order", report.PlanOrder(p)}}
	s.tables = []table{{caption: "What to expect from now on, in simulated persons", head: 2, rows: report.ForecastRows(p)}}
	if rows := report.ChoiceRows(p); len(rows) > 3 {
		s.tables = append(s.tables, table{caption: "What the stock has, fewest visits to expect first", head: 2, rows: rows})
	}
	return s
}
