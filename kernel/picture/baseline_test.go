package picture

import (
	"strings"
	"testing"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

// A starting position is named in grey, in the picture and in its words, and
// the scales hold it.
func TestBaselineStays(t *testing.T) {
	was := nasal()
	was.contact = map[face.Site]unit.Pressure{face.Bridge: 200 * unit.MmHg, face.NoseSideLeft: 20 * unit.MmHg,
		face.CheekLeft: 20 * unit.MmHg, face.Lip: 20 * unit.MmHg}
	old := strapRows(1, 2, 30)
	rows := strapRows(1, 2, 3)
	for name, p := range map[string]*Picture{
		"rim":      Rim(nasal().point(), BaselinePoint(was.point(), "the start")),
		"sweep":    Sweep(rows, []fit.Variable{fit.ByStraps}, BaselineRows(old, "the start")),
		"pressure": AcrossPressures(rows, BaselineRows(old, "the start")),
		"tradeoff": TradeOff(rows, nil, 10*unit.LPerMin, Line{}, BaselineRows(old, "the start")),
	} {
		svg := string(p.SVG())
		if !strings.Contains(svg, ">grey: the start") || !strings.Contains(svg, hexColor(greyInk)) {
			t.Errorf("%s does not show its start", name)
		}
		if !strings.Contains(p.Alt, "In grey: the start") {
			t.Errorf("%s does not tell its start: %s", name, p.Alt)
		}
	}
	with, without := newRim(nasal().point(), BaselinePoint(was.point(), "")), newRim(nasal().point())
	if with.band >= without.band || with.old.band != with.band || with.old.frame.perMetre != with.frame.perMetre {
		t.Error("the start is not drawn on the same scales")
	}
}

// Without a baseline nothing of it is drawn.
func TestNoBaseline(t *testing.T) {
	for name, p := range map[string]*Picture{"rim": Rim(nasal().point()), "sweep": Sweep(strapRows(1, 2), nil)} {
		if strings.Contains(string(p.SVG()), "grey") || strings.Contains(p.Alt, "grey") {
			t.Errorf("%s shows a start that it has not", name)
		}
	}
}
