package report

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/gas"
	"tautline/model/unit"
	"tautline/model/vent"
)

// bent makes a vent of any exponent and size.
func bent(t *rapid.T) vent.Vent {
	k := rapid.Float64Range(0.5, 15).Draw(t, "K")
	n := rapid.Float64Range(0, 1.2).Draw(t, "n")
	var points []vent.Point
	for _, p := range []float64{4, 7, 10, 20} {
		q := math.Min(k*math.Pow(p, n), 249)
		points = append(points, vent.Point{Pressure: unit.Pressure(p) * unit.CmH2O, Flow: unit.Flow(q) * unit.LPerMin})
	}
	v, err := vent.FromPoints(points, gas.AtBench())
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Whatever the vent, the text keeps to its width, warns exactly when JSON does,
// and never promises anything.
func TestVentText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := bent(t)
		a := VentAnswer{Name: "any.csv", Published: v, At: []unit.Pressure{4 * unit.CmH2O, 30 * unit.CmH2O},
			Vent: v.Blocked(unit.Fraction(rapid.Float64Range(0, 0.9).Draw(t, "blocked")))}
		text := a.Text(Ink{})
		for _, line := range strings.Split(text, "\n") {
			if columns(line) > Width {
				t.Fatalf("%q is too wide", line)
			}
		}
		if a.JSON().Washout.Warning != strings.Contains(text, "Look at the vent now") {
			t.Fatalf("text and JSON disagree on the warning:\n%s", text)
		}
		for _, never := range []string{"safe", "good", "NaN", "Inf", "%!"} {
			if strings.Contains(text, never) {
				t.Fatalf("%q in\n%s", never, text)
			}
		}
	})
}

// The warning floor: never for an ordinary vent at 4 cmH2O (28 L/min at 14
// cmH2O is the least that bench masks pass), always for one that is nearly shut.
func TestVentWarning(t *testing.T) {
	var points []vent.Point
	for _, p := range []float64{4, 9, 14, 20} {
		points = append(points, vent.Point{Pressure: unit.Pressure(p) * unit.CmH2O, Flow: unit.Flow(28*math.Sqrt(p/14)) * unit.LPerMin})
	}
	v, err := vent.FromPoints(points, gas.AtMask())
	if err != nil {
		t.Fatal(err)
	}
	if (VentAnswer{Published: v, Vent: v}).low() {
		t.Error("an ordinary vent gives alarm")
	}
	if !(VentAnswer{Published: v, Vent: v.Blocked(0.5)}).low() {
		t.Error("half an ordinary vent gives no alarm")
	}
}

func TestMeaningFollowsTheExponent(t *testing.T) {
	for n, want := range map[float64]string{0.3: "below that of any fixed hole", 0.5: "is that of an orifice",
		0.65: "lies between", 0.98: "close to that of a laminar slot", 1.3: "above that of any fixed opening"} {
		if got := Meaning(vent.Fit{Exponent: n}); !strings.Contains(got, want) {
			t.Errorf("%g: %s", n, got)
		}
	}
}
