package words

import (
	"fmt"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/population"
	"tautline/model/unit"
)

// populationWord is the word's name in its own errors.
const populationWord = "Population"

// mostFaces is how many faces a cell may draw at once: some seconds of work.
const mostFaces = 20000

// A FacesAnswer is what many faces come to: the share on which a mask has a fit
// window, by size and sex, and what other size tables would do.
type FacesAnswer struct {
	population.Answer
	show sheet
}

// String is the answer as text.
func (f FacesAnswer) String() string { return f.show.text() }

// Mimebundle shows the sentences, the map over face length and width, and the
// tables.
func (f FacesAnswer) Mimebundle() map[string]any { return f.show.bundle() }

// population draws faces from published statistics of soldiers, not of sleep
// patients, and counts on how many some strap force holds a range of set
// pressures under a limit and a line, in the size chosen for each face. Limit
// and line have no default; a position and a cushion's age may be stated too.
//
// Equation: share = faces with a fit window / faces drawn
// Unit: faces without a unit, pressures such as 6*CmH2O
// Range: 1 to 20000 faces
// Source: ANSUR II public data, 2012 (length, width); Z. Zhuang, B. Bradtmiller, J Occup Environ Hyg 2005;2:567-76, from memory (nose, lips); depth along the rim assumed
// Example: Population("oronasal", 500, 6*CmH2O, 16*CmH2O, Limit(10*LPerMin), Line(55*MmHg), Position("on the back"))
func (p *place) population(kind string, faces int, low, high unit.Pressure, stated ...any) FacesAnswer {
	if faces < 1 || faces > mostFaces {
		panic(fmt.Errorf("%s draws 1 to %d faces in a cell, not %d; tautline population draws more", populationWord, mostFaces, faces))
	}
	if !(low < high) {
		panic(fmt.Errorf("%s goes from a lower to a higher pressure, not from %s to %s", populationWord, low, high))
	}
	m := findMask(kind, "medium").Mask
	c := fit.NewCase(m, face.Average(), 1*unit.N, fit.Position{})
	q := population.Usual(fit.Question{Pressure: high, Range: [2]unit.Pressure{low, high}, Between: fit.UsualBetween()})
	for _, one := range stated {
		state(&q, &c, one)
	}
	if !(q.Limit > 0) || !q.Line.IsSet() {
		panic(fmt.Errorf("%s wants a limit and a line stated, such as Limit(10*LPerMin), Line(55*MmHg): neither has a default", populationWord))
	}
	q.Case, q.Faces, q.Types = c, faces, []mask.Type{m.Type}
	a, err := population.Ask(p.context(), q)
	check(err)
	return facesAnswer(a)
}

// state takes over what was stated, a setting or a statement.
func state(q *population.Question, c *fit.Case, one any) {
	switch s := one.(type) {
	case Setting:
		if s.set != nil {
			s.set(c)
		}
	case Statement:
		if s.limit > 0 {
			q.Limit = s.limit
		}
		if s.line.IsSet() {
			q.Line = s.line
		}
	default:
		panic(fmt.Errorf("%s takes Limit(...), Line(...), Position(...) and CushionAge(...) after its pressures, and %s", populationWord, describe(one)))
	}
}

func facesAnswer(a population.Answer) FacesAnswer {
	why := append(report.PopulationWhy(a), report.PopulationAfterwards(a), report.PopulationLimits)
	return FacesAnswer{a, sheet{caution: true,
		sentences: append([]string{report.PopulationSentence(a), report.ServedSentence(a)}, why...),
		pictures:  []*picture.Picture{picture.Population(a)},
		tables: []table{{caption: "By size and sex, in % of faces", head: 1, rows: report.PopulationRows(a)},
			{caption: "Size tables. " + report.ReadingWords, head: 2, rows: report.TableRows(a)}}}}
}
