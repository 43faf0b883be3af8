package words

import (
	"fmt"
	"strings"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/model/fit"
	"tautline/model/unit"
)

// A Comparison is two fittings side by side. First and Second hold the numbers,
// from 4 to 20 cmH2O.
type Comparison struct {
	First, Second []Point

	show  sheet
	rows  [2][]fit.Row
	names [2]string
}

// drawn is the comparison with its pictures, each against its baseline if
// there is one.
func (c Comparison) drawn(old [2][]fit.Row, name string) Comparison {
	c.show.pictures = nil
	for i, rows := range c.rows {
		o := []picture.Option{picture.Named(c.names[i])}
		if old[i] != nil {
			o = append(o, picture.BaselineRows(old[i], name))
		}
		c.show.pictures = append(c.show.pictures, picture.AcrossPressures(rows, o...))
	}
	return c
}

// String is the comparison as text.
func (c Comparison) String() string { return c.show.text() }

// Mimebundle shows the comparison as a table and two pictures.
func (c Comparison) Mimebundle() map[string]any { return c.show.bundle() }

// compared are the set pressures at which two fittings are set side by side.
var compared = []unit.Pressure{4 * unit.CmH2O, 8 * unit.CmH2O, 12 * unit.CmH2O, 16 * unit.CmH2O, 20 * unit.CmH2O}

// compare sets two fittings side by side over the pressures of therapy.
//
// Example: Compare(fit, fit.With(Straps(5*N)))
func compare(a, b Fitting) Comparison {
	rows := [][]string{{"", "1", "2"},
		{"straps", report.Pull(a.model().Case.Total()), report.Pull(b.model().Case.Total())}}
	pa, pb := a.At(compared[0]), b.At(compared[0])
	rows = append(rows, []string{"opens first", pa.OpensFirst.String(), pb.OpensFirst.String()},
		[]string{"lift-off, in the mask", liftOff(pa), liftOff(pb)})
	var first, second []Point
	for _, p := range compared {
		x, y := a.At(p), b.At(p)
		first, second = append(first, x), append(second, y)
		rows = append(rows, []string{"leak at " + report.Airway(p), report.Flow(x.Leak), report.Flow(y.Leak)},
			[]string{"largest contact at " + report.Airway(p), contact(x), contact(y)})
	}
	low, high := compared[0], compared[len(compared)-1]
	names := setApart(a, b)
	return Comparison{First: first, Second: second, show: sheet{
		caution: true,
		sentences: []string{"1 is " + names[0] + ". " + report.OpeningSentence(pa.Point),
			"2 is " + names[1] + ". " + report.OpeningSentence(pb.Point)},
		tables: []table{{caption: "Side by side", head: 1, rows: rows}},
	}, rows: [2][]fit.Row{a.rows(low, high), b.rows(low, high)},
		names: [2]string{"1: " + names[0], "2: " + names[1]}}.drawn([2][]fit.Row{}, "")
}

// setApart names two fittings so that the names tell them apart.
func setApart(a, b Fitting) (names [2]string) {
	of := report.Apart(a.model().Case, b.model().Case)
	for i, f := range []Fitting{a, b} {
		names[i] = strings.Join(append([]string{f.name()}, of[i]...), ", ")
	}
	return names
}

func liftOff(p Point) string {
	if !p.HasLiftOff {
		return "none found"
	}
	return report.Airway(p.LiftOff)
}

func contact(p Point) string {
	site, c := report.Worst(p.Point)
	return fmt.Sprintf("%s, %s", report.Contact(c), site)
}
