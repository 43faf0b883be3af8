// Package circuit is what lies between machine and mask: a source with a set
// pressure and a limit, a hose, and fittings. It finds the pressure that
// arrives at the mask when vent, leaks and wearer take their flow.
package circuit

import (
	"errors"
	"fmt"
	"math"

	"tautline/model/gas"
	"tautline/model/root"
	"tautline/model/unit"
)

// A Circuit is a machine with its hose. Take Default and change what differs.
type Circuit struct {
	Hose     Hose
	Fittings float64 // sum of loss coefficients at the speed in the hose

	MaxFlow unit.Flow     // what the machine gives before its pressure droops
	Droop   unit.Pressure // lost for every L/min beyond MaxFlow

	// Compensates says that the machine knows its hose and adds what it takes,
	// so that the set pressure arrives at the mask up to MaxFlow.
	Compensates bool
}

// A Hose is a round tube. Corrugation multiplies the friction of a smooth one.
type Hose struct {
	Length, Diameter unit.Length
	Corrugation      float64
}

// Default is an ordinary hose on an ordinary machine that does not compensate.
func Default() Circuit {
	return Circuit{
		Hose:     Hose{unit.Length(hoseLength.SI()), unit.Length(hoseDiameter.SI()), corrugation.SI()},
		Fittings: fittings.SI(),
		MaxFlow:  unit.Flow(maxFlow.SI()),
		Droop:    unit.Pressure(droop.SI()),
	}
}

// Check refuses a circuit that no bedside has.
func (c Circuit) Check() error {
	return errors.Join(
		hoseLength.Check(float64(c.Hose.Length)),
		hoseDiameter.Check(float64(c.Hose.Diameter)),
		corrugation.Check(c.Hose.Corrugation),
		fittings.Check(c.Fittings),
		maxFlow.Check(float64(c.MaxFlow)),
		droop.Check(float64(c.Droop)))
}

// Loss gives what hose and fittings take of the pressure at a flow, counted as
// a volume of this gas. It has the flow's sign.
//
// Formula: dP = (C f L/d + K) rho v^2/2, v = 4 q/(pi d^2), f from Friction.
// Source: Darcy-Weisbach, any text on pipe flow. Valid at steady flow, slow
// against sound. Example: 1.83 m of smooth 22 mm hose, 60 L/min, 20 C: 0.141
// cmH2O.
func (c Circuit) Loss(q unit.Flow, g gas.State) unit.Pressure {
	l := c.line(g)
	return unit.Pressure(l.loss(float64(q)))
}

// Limited says whether the machine cannot hold its pressure at this flow.
func (c Circuit) Limited(q unit.Flow) bool { return q > c.MaxFlow }

// ErrNoBalance is wrapped when no mask pressure balances machine and demand.
var ErrNoBalance = errors.New("no mask pressure balances what the machine gives and what is taken")

// widenings bounds the search for a bracket; one is the rule, two the
// exception.
const widenings = 60

// MaskPressure gives the pressure that arrives at the mask: set pressure minus
// losses at the flow that vent, leaks and wearer take there together. demand
// must not fall with pressure and is asked about half a dozen times.
func (c Circuit) MaskPressure(set unit.Pressure, g gas.State, demand func(unit.Pressure) unit.Flow) (unit.Pressure, error) {
	return c.Filled(g).MaskPressure(set, demand)
}

// A Filled circuit has its gas in it: for whoever asks many times.
type Filled struct{ line line }

// Filled works out once what does not hang on the flow.
func (c Circuit) Filled(g gas.State) Filled { return Filled{c.line(g)} }

// MaskPressure is that of the circuit.
func (c Filled) MaskPressure(set unit.Pressure, demand func(unit.Pressure) unit.Flow) (unit.Pressure, error) {
	l := &c.line
	f := func(p float64) float64 {
		return p - l.delivered(float64(set), float64(demand(unit.Pressure(p))))
	}
	at := f(float64(set))
	if at == 0 {
		return set, nil
	}
	// What would arrive if the flow stayed as it is at the set pressure lies
	// on the other side of the root: less pressure takes less flow. A demand
	// that does not hang on pressure has its root just there, and rounding may
	// put it on either side, so the step grows until the bracket holds.
	step, other, there := -at, 0.0, 0.0
	for i := range widenings {
		other = float64(set) + step
		if i == 0 && other < 0 && at > 0 {
			other = 0 // the mask is under suction only when somebody draws
		}
		if there = f(other); there == 0 || (there > 0) != (at > 0) {
			break
		}
		step *= 1 + 1e-9 + math.Abs(there/at)
	}
	p, _, err := root.FindBetween(f, float64(set), at, other, there, 0)
	if err != nil {
		return 0, fmt.Errorf("%w: at a set pressure of %v (%v)", ErrNoBalance, set, err)
	}
	return unit.Pressure(p), nil
}

// A line is a circuit filled with a gas: everything that does not hang on the
// flow, worked out once.
type line struct {
	speed       float64 // per flow
	re          float64 // per speed
	friction    float64 // loss per (f Re) and speed
	kinetic     float64 // loss per speed^2
	max         float64
	droop       float64 // per flow
	compensates bool
}

func (c Circuit) line(g gas.State) line {
	rho, mu, d := float64(g.Density()), float64(g.Viscosity()), float64(c.Hose.Diameter)
	return line{
		speed:       4 / (math.Pi * d * d),
		re:          rho * d / mu,
		friction:    c.Hose.Corrugation * float64(c.Hose.Length) * mu / (2 * d * d),
		kinetic:     c.Fittings * rho / 2,
		max:         float64(c.MaxFlow),
		droop:       float64(c.Droop) / float64(unit.LPerMin),
		compensates: c.Compensates,
	}
}

func (l *line) loss(q float64) float64 {
	v := math.Abs(q) * l.speed
	return math.Copysign(l.friction*frictionRe(v*l.re)*v+l.kinetic*v*v, q)
}

// delivered gives the pressure at the mask end of the hose at a flow.
func (l *line) delivered(set, q float64) float64 {
	p := set - l.droop*math.Max(0, q-l.max)
	if !l.compensates {
		return p - l.loss(q)
	}
	if within := math.Min(math.Max(q, -l.max), l.max); within != q {
		p -= l.loss(q) - l.loss(within)
	}
	return p
}
