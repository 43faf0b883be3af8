package words

import (
	"strings"
	"testing"
)

// Nights and care answer in a cell, and every number is there by name.
func TestNightsInACell(t *testing.T) {
	const put = `fit := PutOn(Mask("oronasal", "medium"), Face("average"), Straps(4*N), HosePull(0.3*N), Position("on the back"))`
	const ask = `Limit(24*LPerMin), Line(70*MmHg), Statistic("median"), Nights(3), Seed(2), Hours(6*Hour)`
	for _, c := range []struct{ cell, says string }{
		{`fit.Night(12*CmH2O, ` + ask + `)`, "of 3 simulated nights the median leak"},
		{`fit.Night(12*CmH2O, ` + ask + `, CutOut(), SleepsOn("on the left side", 1)).Positions[0].Share`, "100 %"},
		{`fit.Night(12*CmH2O, ` + ask + `, LipsResting()).Mouth`, "0 L/min"},
		{`fit.Care(12*CmH2O, Limit(24*LPerMin))`, "none of this is evidence"},
	} {
		if got := strings.Join(strings.Fields(said(t, put, c.cell)), " "); !strings.Contains(got, c.says) {
			t.Errorf("%s: %s", c.cell, got)
		}
	}
}
