package words

import (
	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/model/vent"
)

// sheet is a mask vent as a cell shows it: what it means for a sleeper, the
// curve, and the numbers behind them.
func (v MaskVent) sheet() sheet {
	a := v.answer()
	why, warning := a.Washout()
	s := sheet{sentences: []string{a.Headline(), why}}
	if warning != "" {
		s.sentences = append(s.sentences, warning)
	}
	s.pictures = []*picture.Picture{picture.Vent(v.Vent, compared, picture.Named(v.name), picture.WashoutFloor(vent.Floor()))}
	s.tables = []table{{caption: "What the vent passes", head: 1, rows: a.AtRows()}, {caption: "The power law behind the curve", rows: a.FitRows()}}
	s.after = []string{report.Meaning(v.Fit()), a.GasLine()}
	return s
}
