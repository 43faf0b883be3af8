package circuit

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/gas"
	"tautline/model/root"
	"tautline/model/unit"
)

// orifice takes a square-root flow: so many L/min at 10 cmH2O.
func orifice(at10 float64) func(unit.Pressure) unit.Flow {
	return func(p unit.Pressure) unit.Flow {
		q := at10 * math.Sqrt(math.Abs(p.CmH2O())/10)
		return unit.Flow(math.Copysign(q, float64(p))) * unit.LPerMin
	}
}

// Friction against Blasius and Poiseuille, and where the switch ends.
func TestFrictionLimits(t *testing.T) {
	for _, c := range []struct{ re, want float64 }{
		{100, 0.64}, {1000, 0.064}, {2000, 0.032}, {3000, 0.042752}, {3700, 0.040568}, {1e4, 0.03164},
	} {
		if got := Friction(c.re); math.Abs(got/c.want-1) > 1e-4 {
			t.Errorf("Re %g: %.6g, want %.6g", c.re, got, c.want)
		}
	}
}

// The loss turns round with the flow, rises with it, and does not jump.
func TestLossLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircuit(t)
		g := gas.AtMask()
		q := rapid.Float64Range(0, 250).Draw(t, "q")
		a := c.Loss(unit.Flow(q)*unit.LPerMin, g)
		if back := c.Loss(-unit.Flow(q)*unit.LPerMin, g); back != -a {
			t.Fatalf("%v forwards, %v back", a, back)
		}
		b := c.Loss(unit.Flow(q*(1+1e-6)+1e-9)*unit.LPerMin, g)
		if !(b > a) || float64(b-a) > 4e-6*float64(a)+1e-6 {
			t.Fatalf("%v, then %v a little further", a, b)
		}
	})
}

func drawCircuit(t *rapid.T) Circuit {
	c := Default()
	c.Hose.Length = unit.Length(rapid.Float64Range(0.5, 4).Draw(t, "length"))
	c.Hose.Diameter = unit.Length(rapid.Float64Range(10, 25).Draw(t, "bore")) * unit.Mm
	c.Hose.Corrugation = rapid.Float64Range(1, 4).Draw(t, "corrugation")
	c.Fittings = rapid.Float64Range(0, 5).Draw(t, "fittings")
	c.MaxFlow = unit.Flow(rapid.Float64Range(30, 200).Draw(t, "max")) * unit.LPerMin
	c.Compensates = rapid.Bool().Draw(t, "compensates")
	return c
}

// What goes through the hose is what is taken at the mask, to 1e-9: the hose's
// flow is found from the pressure drop alone and set beside the demand.
func TestFlowIsConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircuit(t)
		g := gas.AtMask()
		set := unit.Pressure(rapid.Float64Range(3, 30).Draw(t, "set")) * unit.CmH2O
		demand := orifice(rapid.Float64Range(5, 150).Draw(t, "demand"))
		p, err := c.MaskPressure(set, g, demand)
		if err != nil {
			t.Fatal(err)
		}
		l := c.line(g)
		drop := func(q float64) float64 { return float64(p) - l.delivered(float64(set), q) }
		taken := float64(demand(p))
		if c.Compensates && taken < l.max {
			if p != set {
				t.Fatalf("%v arrives of %v although the hose is made up for", p, set)
			}
			return
		}
		through, _, err := root.Find(drop, 0, 0.1, 0)
		if err != nil || math.Abs(through/taken-1) > 1e-9 {
			t.Fatalf("%.15g through the hose, %.15g taken, %v", through, taken, err)
		}
	})
}

// More demand never raises the mask pressure, a wearer breathing out does.
func TestMaskPressureFallsWithDemand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircuit(t)
		set := unit.Pressure(rapid.Float64Range(3, 30).Draw(t, "set")) * unit.CmH2O
		q := rapid.Float64Range(0, 120).Draw(t, "q")
		at := func(q float64) unit.Pressure {
			p, err := c.MaskPressure(set, gas.AtMask(), orifice(q))
			if err != nil {
				t.Fatal(err)
			}
			return p
		}
		if a, b := at(q), at(q+10); b > a || a > set {
			t.Fatalf("set %v: %v at %g, %v at %g", set, a, q, b, q+10)
		}
		p, err := c.MaskPressure(set, gas.AtMask(), func(unit.Pressure) unit.Flow { return -20 * unit.LPerMin })
		if err != nil || p < set {
			t.Fatalf("breathing out gives %v, %v", p, err)
		}
	})
}

// A machine at its limit sags even when it makes up for its hose.
func TestMachineDroops(t *testing.T) {
	c := Default()
	c.Compensates = true
	c.MaxFlow = 40 * unit.LPerMin
	p, err := c.MaskPressure(20*unit.CmH2O, gas.AtMask(), orifice(60))
	if err != nil || p > 15*unit.CmH2O || !c.Limited(orifice(60)(p)) {
		t.Errorf("%v, %v", p, err)
	}
}

// A demand that does not hang on pressure has its answer where the search
// starts, on either side by rounding.
func TestMaskPressureWithSteadyDemand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircuit(t)
		set := unit.Pressure(rapid.Float64Range(3, 30).Draw(t, "set")) * unit.CmH2O
		q := unit.Flow(rapid.Float64Range(-60, 250).Draw(t, "q")) * unit.LPerMin
		p, err := c.MaskPressure(set, gas.AtMask(), func(unit.Pressure) unit.Flow { return q })
		l := c.line(gas.AtMask())
		if want := l.delivered(float64(set), float64(q)); err != nil || math.Abs(float64(p)-want) > 1e-9*float64(set) {
			t.Fatalf("%v arrives, want %g Pa, %v", p, want, err)
		}
	})
}

func TestMaskPressureRefusesNaN(t *testing.T) {
	_, err := Default().MaskPressure(1000, gas.AtMask(), func(unit.Pressure) unit.Flow { return unit.Flow(math.NaN()) })
	if !errors.Is(err, ErrNoBalance) {
		t.Error(err)
	}
}

func TestMaskPressureIsThrifty(t *testing.T) {
	calls := 0
	demand := orifice(60)
	_, err := Default().MaskPressure(12*unit.CmH2O, gas.AtMask(), func(p unit.Pressure) unit.Flow { calls++; return demand(p) })
	if err != nil || calls > 8 {
		t.Errorf("%d calls, %v", calls, err)
	}
	t.Logf("%d calls", calls)
	if n := testing.AllocsPerRun(100, func() { _, _ = Default().MaskPressure(1000, gas.AtMask(), demand) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

func TestCheck(t *testing.T) {
	if err := Default().Check(); err != nil {
		t.Error(err)
	}
	if (Circuit{}).Check() == nil {
		t.Error("the zero value passes for a circuit")
	}
	for _, p := range Parameters() {
		if err := p.Check(p.SI()); err != nil {
			t.Error(err)
		}
	}
}
