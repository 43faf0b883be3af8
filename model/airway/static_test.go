package airway

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/mask"
	"tautline/model/unit"
)

// near wants two numbers within a tolerance of each other.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.8g, wanted %.8g within %g", what, got, want, tolerance)
	}
}

// The examples of the comments, worked by hand.
func TestExamples(t *testing.T) {
	n := RestedNose()
	near(t, "drop of a rested nose at 0.5 L/s", n.Drop(NoseFlow).CmH2O(), 1.1, 1e-12)
	risen := n.After(10*unit.Minute, 1)
	near(t, "resistance after ten minutes", risen.Resistance().CmH2OPerLPerSec(), 7.5, 1e-9)
	near(t, "and ten more without leak", risen.After(10*unit.Minute, 0).Resistance().CmH2OPerLPerSec(), 2.46, 0.01)
	// 1.1 q + 2.2 q^2 + 8 q = 12 - 6.25, q in L/s, without breathing.
	k1, k2 := n.rohrer()
	still := steadyLeak(5.75*float64(unit.CmH2O), 0, k1, k2, float64(ClosedMouth().Parted))
	near(t, "mouth leak at 12 cmH2O, no breath", unit.Flow(still).LPerSec(), 0.556892, 1e-6)
	near(t, "mouth leak at 12 cmH2O", MouthLeak(12*unit.CmH2O, ClosedMouth(), n).LPerMin(), 33, 0.5)
	near(t, "share of sleep", MouthLeakTime(5.83*unit.CmH2O, ClosedMouth()).Percent(), 42.9, 0.1)
}

// Nothing leaks where nothing can.
func TestNoMouthLeak(t *testing.T) {
	shut := ClosedMouth()
	shut.Palate = false
	for name, m := range map[string]Mouth{"palate shut": shut, "oronasal": OpenMouth().Behind(mask.Oronasal)} {
		if q := MouthLeak(30*unit.CmH2O, m, RestedNose()); q != 0 {
			t.Errorf("%s: %v leaves the mouth", name, q)
		}
		if s := MouthLeakTime(30*unit.CmH2O, m); s != 0 {
			t.Errorf("%s: the mouth leaks %v of the time", name, s)
		}
	}
}

// A mouth leak never falls with pressure, never rises with a chin strap, with
// stronger lips or with a swollen nose, and solves its own equation.
func TestMouthLeakLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, n := drawMouth(t), drawNose(t)
		p := unit.Pressure(rapid.Float64Range(0, 40).Draw(t, "cmH2O")) * unit.CmH2O
		q := MouthLeak(p, m, n)
		if more := MouthLeak(p+unit.CmH2O, m, n); more < q {
			t.Fatalf("%v falls to %v with pressure", q, more)
		}
		if less := MouthLeak(p, m.WithChinStrap(), n); less > q && m.ChinStrap == 0 {
			t.Fatalf("%v rises to %v with a chin strap", q, less)
		}
		// A swollen nose takes more of the leak, but where breathing alone
		// parts the lips it also lets expiration press harder on them.
		far := p > m.Closing()+4*unit.CmH2O
		if less := MouthLeak(p, m, n.After(unit.Minute, 1)); far && less > q*(1+1e-12) {
			t.Fatalf("%v rises to %v with mouth leak", q, less)
		}
		solves(t, p, m, n)
	})
}

// solves holds each piece of a breath to the equation that it stands for.
func solves(t *rapid.T, p unit.Pressure, m Mouth, n Nose) {
	k1, k2 := n.rohrer()
	for _, piece := range quietBreath {
		q := steadyLeak(float64(p-m.Closing()), piece.flow, k1, k2, float64(m.Parted))
		sum := float64(n.Drop(unit.Flow(q+piece.flow))) + q*float64(m.Parted) + float64(m.Closing())
		if q > 0 && math.Abs(sum-float64(p)) > 1e-9*(1+float64(p)) {
			t.Fatalf("%g through nose and lips takes %g of %v", q, sum, p)
		}
	}
}

func drawMouth(t *rapid.T) Mouth {
	m := ClosedMouth()
	m.Open = rapid.Bool().Draw(t, "open")
	m.Lips = unit.Pressure(rapid.Float64Range(0, 15).Draw(t, "lips")) * unit.CmH2O
	m.Parted = unit.Resistance(rapid.Float64Range(0.5, 40).Draw(t, "parted")) * unit.CmH2OPerLPerSec
	return m
}

func drawNose(t *rapid.T) Nose {
	n := RestedNose()
	n.Risen = unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "risen"))
	n.Curved = unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "curved"))
	return n
}

// A chin strap lessens the drop of the jaw, and only an oronasal mask feels it.
func TestJaw(t *testing.T) {
	m := OpenMouth().Behind(mask.Oronasal)
	near(t, "chin back", m.JawBack().Mm(), 4, 1e-12)
	near(t, "with a chin strap", m.WithChinStrap().JawBack().Mm(), 2.2, 1e-12)
	near(t, "closed", float64(ClosedMouth().Behind(mask.Oronasal).JawBack()), 0, 0)
	near(t, "behind a nasal mask", float64(OpenMouth().Behind(mask.Nasal).JawBack()), 0, 0)
}

func TestDefaultsAreInRange(t *testing.T) {
	for what, err := range map[string]error{"nose": RestedNose().Check(), "mouth": OpenMouth().WithChinStrap().Check(),
		"sleep": Sleeping().Check(), "REM": SleepingREM().Check(), "levels": TwoLevels(4*unit.CmH2O, 14*unit.CmH2O).Check()} {
		if err != nil {
			t.Errorf("%s: %v", what, err)
		}
	}
	if Constant(80*unit.CmH2O).Check() == nil || TwoLevels(9*unit.CmH2O, 8*unit.CmH2O).Check() == nil {
		t.Error("a pressure that no machine sets, or levels upside down, are let pass")
	}
	for _, p := range Parameters() {
		if p.Source == "" || p.Meaning == "" || p.Origin == "" || p.Check(p.SI()) != nil {
			t.Errorf("the record of %s is not whole", p.Name)
		}
	}
}

var sink unit.Flow

// BenchmarkMouthLeak is one answer at one pressure.
func BenchmarkMouthLeak(b *testing.B) {
	m, n := ClosedMouth(), RestedNose()
	for b.Loop() {
		sink = MouthLeak(12*unit.CmH2O, m, n)
	}
}
