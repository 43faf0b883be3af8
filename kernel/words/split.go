package words

import (
	"tautline/kernel/report"
	"tautline/model/fit"
)

// A Mismatch is what lies between rim and face before any pressure, parted into
// what straps can take up and what is shape. Its numbers can be read by name:
// fit.Split().Total, fit.Split().Straps, fit.Split().Shape.
type Mismatch struct {
	fit.Split

	name  string
	point fit.Point // says whether left and right are alike
}

// Split tells how much of the mismatch between rim and face the straps can take
// up by moving and tilting the frame, and how much is shape.
//
// Equation: the spread round the rim, largest minus smallest, before and after the plane that fits it best is taken away
// Unit: millimetres (mm)
// Example: fit.Split().Shape
func (f Fitting) Split() Mismatch {
	s, err := f.model().Split()
	check(err)
	p, err := f.on.At(compared[0])
	check(err)
	return Mismatch{s, f.name(), p}
}

// Sentence says what straps can and cannot take up.
func (m Mismatch) Sentence() string { return m.name + ": " + report.SplitSentence(m.Split, m.point) }

// String is the answer as text.
func (m Mismatch) String() string { return m.sheet().text() }

// Mimebundle shows the sentence and the table.
func (m Mismatch) Mimebundle() map[string]any { return m.sheet().bundle() }

// sheet lays the parts out as people speak of them: the whole, tilt, shape.
func (m Mismatch) sheet() sheet {
	rows := [][]string{{"part", "size", "what changes it"}}
	for _, r := range report.SplitRows(m.Split, m.point) {
		rows = append(rows, r[:])
	}
	return sheet{caution: true, sentences: []string{m.Sentence()}, after: []string{report.SplitAfter},
		tables: []table{{caption: "Between rim and face, before any pressure", head: 1, rows: rows}}}
}
