package picture

import (
	"strings"
	"testing"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/population"
	"tautline/model/unit"
)

// crowd is an invented answer: two bins of one type, one of them empty beside.
func crowd() population.Answer {
	a := population.Answer{Question: population.Usual(fit.Question{Range: [2]unit.Pressure{6 * unit.CmH2O, 16 * unit.CmH2O}, Limit: 10 * unit.LPerMin})}
	a.Some = population.Share{Faces: 300, Fits: 299}
	a.Types = []population.TypeAnswer{{Type: mask.Nasal, Chosen: population.Share{Faces: 300, Fits: 299, ByLine: 1},
		Bins: []population.Bin{{Length: 110, Width: 130, Share: population.Share{Faces: 290, Fits: 289, ByLine: 1}},
			{Length: 120, Width: 140, Share: population.Share{Faces: 10, Fits: 10}}}}}
	return a
}

// TestPopulationMap: bins carry share and count, nearly all is not all, units
// stand on both axes, and the text alternative has the numbers.
func TestPopulationMap(t *testing.T) {
	p := Population(crowd())
	svg := string(p.SVG())
	for _, wanted := range []string{">99<", ">290<", ">100<", "face width, mm", "face length, mm", "Nasal: 99.7 %", "A cross: no face drawn there",
		"soldiers, not of sleep patients"} {
		if !strings.Contains(svg, wanted) {
			t.Errorf("the map does not show %q", wanted)
		}
	}
	if !strings.Contains(p.Alt, "300 drawn faces") || !strings.Contains(p.Alt, "from 99 % where faces are 110 mm long") {
		t.Errorf("the text alternative says %q", p.Alt)
	}
	Population(population.Answer{}).SVG() // nothing to draw is drawn as such
}

// TestShareColours rise in lightness all the way, so that they can be ordered
// without seeing colours.
func TestShareColours(t *testing.T) {
	light := func(share float64) float64 {
		c := shareColor(share)
		return 0.2126*float64(c.R) + 0.7152*float64(c.G) + 0.0722*float64(c.B)
	}
	for i := range 100 {
		if a, b := light(float64(i)/100), light(float64(i+1)/100); b <= a {
			t.Errorf("the colour of %d %% is not lighter than that of %d %%", i+1, i)
		}
	}
}
