package words

import (
	"errors"
	"fmt"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/model/fit"
	"tautline/model/uncertainty"
	"tautline/model/unit"
)

// A Doubt is what becomes of an answer when every number that is not known
// exactly is drawn from where it may well lie.
type Doubt struct {
	// Draws is how often was asked, and Agree how many of these came to the
	// answer as asked.
	Draws, Agree int
	result       uncertainty.Result
	name         string
}

// Doubt asks a fitting many times at a set pressure with the uncertain numbers
// drawn, and says how many draws agree and what the answer hangs on. A limit and
// a line must be stated; Draws(100) and Seed(2) may be, and are 200 and 1 if left
// out. A bare number of draws is understood too.
//
// Example: fit.Doubt(12*CmH2O, Draws(100), Seed(2), Limit(24*LPerMin), Line(70*MmHg))
func (f Fitting) Doubt(at unit.Pressure, stated ...any) Doubt {
	q := fit.Question{Case: f.model().Case, Pressure: at, Range: [2]unit.Pressure{at, at}, Between: fit.UsualBetween()}
	p := uncertainty.Plan{Draws: int(uncertainty.DrawsRange.Value), Seed: 1}
	for _, one := range stated {
		switch s := one.(type) {
		case int:
			p.Draws = s
		case Statement:
			s.doubt(&q, &p)
		default:
			panic(fmt.Errorf("Doubt takes Limit(...), Line(...), Draws(...) and Seed(...) after its pressure, and %v is none of them", one))
		}
	}
	if !(q.Limit > 0) || !q.Line.IsSet() {
		panic(errors.New("Doubt wants to know what counts: state both, Limit(24*LPerMin) and Line(70*MmHg)"))
	}
	r, err := uncertainty.AskFit(f.at.context(), q, uncertainty.Nothing, p)
	check(err)
	return Doubt{Draws: r.Draws, Agree: r.Agree, result: r, name: f.name()}
}

// doubt takes over what a statement says to draws.
func (s Statement) doubt(q *fit.Question, p *uncertainty.Plan) {
	q.Limit = max(q.Limit, s.limit)
	if s.line.IsSet() {
		q.Line = s.line
	}
	if s.draws != 0 {
		p.Draws = s.draws
	}
	if s.seed != nil {
		p.Seed = *s.seed
	}
}

// draws states how often an answer is asked for with the uncertain numbers
// drawn; 200 if it is left out.
//
// Range: 1 to 10000 draws
// Example: fit.Doubt(12*CmH2O, Draws(100), Limit(24*LPerMin), Line(70*MmHg))
func draws(n int) Statement {
	check(uncertainty.DrawsRange.Check(float64(n)))
	return Statement{draws: n}
}

// String is the doubt as text.
func (d Doubt) String() string { return d.sheet().text() }

// Mimebundle shows the sentences, the bands and what the answer hangs on.
func (d Doubt) Mimebundle() map[string]any { return d.sheet().bundle() }

func (d Doubt) sheet() sheet {
	return sheet{caution: true, sentences: report.DrawsSentences(d.result, report.FitDraws),
		pictures: []*picture.Picture{picture.Draws(report.DrawsSheet(d.result, report.FitDraws), picture.Named(d.name))},
		tables:   []table{{caption: report.DrawsHeading, head: 2, rows: report.DrawsRows(d.result, report.FitDraws)}},
		after:    []string{"Afterwards: look at the skin when the mask comes off and again after 30 minutes."}}
}
