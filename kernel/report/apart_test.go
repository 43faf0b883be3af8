package report

import (
	"strings"
	"testing"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

func TestApartTellsWhatDiffers(t *testing.T) {
	on := func(kind mask.Type) fit.Case {
		m, err := mask.Find(kind, "medium")
		if err != nil {
			t.Fatal(err)
		}
		f, _ := face.Find("average")
		return fit.NewCase(m, f, 3*unit.N, fit.Positions()[0])
	}
	for want, change := range map[string]func(*fit.Case){
		"":                                         func(*fit.Case) {},
		"straps 5 N":                               func(c *fit.Case) { c.Straps.Pull = 5 * unit.N },
		"80 % of the pull in the upper pair":       func(c *fit.Case) { c.Straps.Upper = 0.8 },
		"70 % of the pull on the left":             func(c *fit.Case) { c.Straps.Left = 0.7 },
		"cushion 180 days in use":                  func(c *fit.Case) { c.Cushion.Days = 180 * unit.Day },
		"hose pulls with 0.5 N":                    func(c *fit.Case) { c.Hose.Pull = 0.5 * unit.N },
		"hose 15 mm wide":                          func(c *fit.Case) { c.Circuit.Hose.Diameter = 15 * unit.Mm },
		"hose 3.66 m long":                         func(c *fit.Case) { c.Circuit.Hose.Length = 3.66 * unit.M },
		"machine gives up to 90 L/min":             func(c *fit.Case) { c.Circuit.MaxFlow = 90 * unit.LPerMin },
		"40 % of the vent open":                    func(c *fit.Case) { c.Mask.Vent = c.Mask.Vent.Blocked(0.6) },
		"straps 5 N; 70 % of the pull on the left": func(c *fit.Case) { c.Straps.Pull, c.Straps.Left = 5*unit.N, 0.7 },
	} {
		a, b := on(mask.Nasal), on(mask.Nasal)
		change(&b)
		if of := Apart(a, b); strings.Join(of[1], "; ") != want || len(of[0]) != len(of[1]) {
			t.Errorf("%q against %q, wanted %q", of[0], of[1], want)
		}
	}
	// Pillows have one pair of straps, so no share of an upper one.
	if of := Apart(on(mask.Oronasal), on(mask.Pillows)); strings.Contains(strings.Join(of[0], " "), "upper") {
		t.Errorf("%q", of)
	}
}
