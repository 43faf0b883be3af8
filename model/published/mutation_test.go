package published

import (
	"testing"

	"tautline/model/circuit"
	"tautline/model/gas"
	"tautline/model/unit"
	"tautline/model/vent"
)

// mutations are what is done to a law to see a check notice.
var mutations = map[string]float64{"halved": 0.5, "doubled": 2, "flipped": -1}

// noticed runs checks with a wrong law and wants the named one to fail.
func noticed(t *testing.T, law string, named string, mutated func(factor float64) []Check) {
	t.Helper()
	for how, factor := range mutations {
		status := Status("missing")
		for _, c := range mutated(factor) {
			if c.ID == named {
				status = c.Evaluate().Status
			}
		}
		if status != Fail {
			t.Errorf("%s %s: %s is %s", law, how, named, status)
		}
	}
}

func TestGasChecksNoticeWrongLaws(t *testing.T) {
	with := func(change func(*gasLaws, float64)) func(float64) []Check {
		return func(f float64) []Check { l := gasActual; change(&l, f); return gasChecks(l) }
	}
	noticed(t, "density", "gas-density-half", with(func(l *gasLaws, f float64) {
		l.density = func(s gas.State) unit.Density { return s.Density() * unit.Density(f) }
	}))
	noticed(t, "saturation", "gas-saturation", with(func(l *gasLaws, f float64) {
		l.saturation = func(k unit.Temperature) unit.Pressure { return gas.Saturation(k) * unit.Pressure(f) }
	}))
	noticed(t, "standard atmosphere", "gas-ambient-2500", with(func(l *gasLaws, f float64) {
		l.ambient = func(h unit.Length) (unit.Pressure, error) { return gas.AmbientAt(h * unit.Length(f)) }
	}))
	noticed(t, "Sutherland", "gas-viscosity-37", with(func(l *gasLaws, f float64) {
		l.dry = func(k unit.Temperature) unit.Viscosity { return gas.DryViscosity(k) * unit.Viscosity(f) }
	}))
	noticed(t, "mixture", "gas-viscosity-damp", with(func(l *gasLaws, f float64) {
		l.damp = func(s gas.State) unit.Viscosity { return s.Viscosity() * unit.Viscosity(f) }
	}))
	// Humidity itself: damp air must be the lighter by the right amount.
	noticed(t, "humidity", "gas-density-damp", with(func(l *gasLaws, f float64) {
		l.density = func(s gas.State) unit.Density { s.Humidity *= unit.Fraction(f); return s.Density() }
	}))
}

func TestVentChecksNoticeWrongLaws(t *testing.T) {
	with := func(change func(*ventLaws, float64)) func(float64) []Check {
		return func(f float64) []Check { l := ventActual; change(&l, f); return ventChecks(l) }
	}
	discharge := with(func(l *ventLaws, f float64) {
		l.discharge = func(re, ratio float64) float64 { return f * vent.Discharge(re, ratio) }
	})
	noticed(t, "discharge", "vent-discharge-2-3000", discharge)
	noticed(t, "discharge", "vent-sharp-edge", discharge)
	noticed(t, "Reynolds term", "vent-discharge-5-1000", with(func(l *ventLaws, f float64) {
		l.discharge = func(re, ratio float64) float64 { return vent.Discharge(re*f, ratio) }
	}))
	noticed(t, "density", "vent-altitude-2500", with(func(l *ventLaws, f float64) {
		l.rescale = func(n float64, a, b gas.State) float64 { return 1 + f*(vent.Rescale(n, a, b)-1) }
	}))
	noticed(t, "exponent", "vent-altitude-slot", with(func(l *ventLaws, f float64) {
		l.rescale = func(n float64, a, b gas.State) float64 { return f * vent.Rescale(n, a, b) }
	}))
	// A flow law with half, double or the negative exponent.
	noticed(t, "power of pressure", "vent-mean-of-sine", with(func(l *ventLaws, f float64) {
		l.flow = func(v vent.Vent, p unit.Pressure) unit.Flow { return bent(v, p, f) }
	}))
	noticed(t, "power of pressure", "vent-curve-ratio", with(func(l *ventLaws, f float64) {
		l.flow = func(v vent.Vent, p unit.Pressure) unit.Flow { return bent(v, p, f) }
	}))
	noticed(t, "size of flow", "vent-demo-most", with(func(l *ventLaws, f float64) {
		l.flow = func(v vent.Vent, p unit.Pressure) unit.Flow { return unit.Flow(f) * ventActual.flow(v, p) }
	}))
	noticed(t, "washout floor", "vent-floor", with(func(l *ventLaws, f float64) {
		l.floor = func(q unit.Flow, s unit.Fraction) unit.Flow { return unit.Flow(f) * vent.WashoutFloor(q, s) }
	}))
	noticed(t, "what is left", "vent-left-below", with(func(l *ventLaws, f float64) {
		l.left = func(b vent.Breath, q unit.Flow) unit.Fraction { return b.Left(unit.Flow(f) * q) }
	}))
}

// bent gives the flow of a vent whose exponent is f times what it should be,
// unchanged at 10 cmH2O.
func bent(v vent.Vent, p unit.Pressure, f float64) unit.Flow {
	at10 := ventActual.flow(v, 10*unit.CmH2O)
	return vent.Fit{K: at10, Exponent: f * v.Fit().Exponent}.Flow(p / 10)
}

func TestCircuitChecksNoticeWrongLaws(t *testing.T) {
	with := func(change func(*circuitLaws, float64)) func(float64) []Check {
		return func(f float64) []Check { l := circuitActual; change(&l, f); return circuitChecks(l) }
	}
	loss := with(func(l *circuitLaws, f float64) {
		l.loss = func(c circuit.Circuit, q unit.Flow, g gas.State) unit.Pressure {
			return unit.Pressure(f) * c.Loss(q, g)
		}
	})
	noticed(t, "hose", "circuit-hose-15", loss)
	noticed(t, "hose", "circuit-hose-laminar", loss)
	noticed(t, "hose", "circuit-conserved", loss)
	noticed(t, "bore", "circuit-hose-ratio", with(func(l *circuitLaws, f float64) {
		l.loss = func(c circuit.Circuit, q unit.Flow, g gas.State) unit.Pressure {
			d := float64(c.Hose.Diameter / (22 * unit.Mm))
			c.Hose.Diameter = 22 * unit.Mm * unit.Length(1+f*(d-1))
			return c.Loss(q, g)
		}
	}))
	friction := with(func(l *circuitLaws, f float64) {
		l.friction = func(re float64) float64 { return f * circuit.Friction(re) }
	})
	noticed(t, "friction", "circuit-switch", friction)
	noticed(t, "friction", "circuit-laminar", friction)
	noticed(t, "machine's limit", "circuit-droop", with(func(l *circuitLaws, f float64) {
		l.mask = func(c circuit.Circuit, set unit.Pressure, demand func(unit.Pressure) unit.Flow) (unit.Pressure, error) {
			c.Droop *= unit.Pressure(f)
			return c.MaskPressure(set, gas.AtMask(), demand)
		}
	}))
	noticed(t, "compensation", "circuit-compensated", with(func(l *circuitLaws, f float64) {
		l.mask = func(c circuit.Circuit, set unit.Pressure, demand func(unit.Pressure) unit.Flow) (unit.Pressure, error) {
			p, err := c.MaskPressure(set, gas.AtMask(), demand)
			lost := c.Loss(demand(p), gas.AtMask())
			return p + unit.Pressure(f-1)*lost, err
		}
	}))
}
