package words

import (
	"errors"

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
// a line must be stated.
//
// Example: fit.Doubt(12*CmH2O, 100, Limit(24*LPerMin), Line(70*MmHg))
func (f Fitting) Doubt(at unit.Pressure, draws int, stated ...Statement) Doubt {
	q := fit.Question{Case: f.model().Case, Pressure: at, Range: [2]unit.Pressure{at, at}, Between: fit.UsualBetween()}
	for _, s := range stated {
		q.Limit = max(q.Limit, s.limit)
		if s.line.IsSet() {
			q.Line = s.line
		}
	}
	if !(q.Limit > 0) || !q.Line.IsSet() {
		panic(errors.New("Doubt wants to know what counts: state both, Limit(24*LPerMin) and Line(70*MmHg)"))
	}
	r, err := uncertainty.AskFit(f.at.context(), q, uncertainty.Nothing, uncertainty.Plan{Draws: draws, Seed: 1})
	check(err)
	return Doubt{Draws: r.Draws, Agree: r.Agree, result: r, name: f.name()}
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
