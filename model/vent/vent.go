// Package vent is the mask vent: the hole that is meant to leak, so that the
// air breathed out leaves the mask. A vent is known by its published curve or
// by its holes; both answer the same questions.
package vent

import (
	"math"

	"tautline/model/gas"
	"tautline/model/root"
	"tautline/model/unit"
)

// A Vent gives the flow through a mask vent at a mask pressure. It never
// changes: In and Blocked give a new one. Copying is cheap, and many goroutines
// may read one. The zero value passes nothing; FromPoints and FromGeometry make
// vents.
type Vent struct {
	curve *curve    // the published points, or nil
	holes Holes     // set when curve is nil
	law   holeLaw   // holes in the gas at hand
	gas   gas.State // in which flows are given
	scale float64   // flow in this gas over flow as published, open share included
	open  float64   // share of the area left open
	fit   Fit       // of the flows as given
}

// A Point is one published pair: at a mask pressure, the flow.
type Point struct {
	Pressure unit.Pressure
	Flow     unit.Flow
}

// Gas is the state of the gas in which Flow counts volumes.
func (v Vent) Gas() gas.State { return v.gas }

// Open is the share of the vent's area that is not blocked.
func (v Vent) Open() unit.Fraction { return unit.Fraction(v.open) }

// Fit is the power law through the points, or through a hole's own curve, in
// the gas at hand.
func (v Vent) Fit() Fit { return v.fit }

// Geometry gives the holes of a vent that was made from holes.
func (v Vent) Geometry() (h Holes, ok bool) { return v.holes, v.curve == nil && v.holes.Count > 0 }

// Points gives the published points as they would read in the gas at hand; nil
// for a vent made from holes.
func (v Vent) Points() []Point {
	if v.curve == nil {
		return nil
	}
	out := make([]Point, len(v.curve.points))
	for i, p := range v.curve.points {
		out[i] = Point{p.Pressure, p.Flow * unit.Flow(v.scale)}
	}
	return out
}

// In gives the same vent with another gas in it. Thin air passes more easily
// through an orifice, and just as it did through a laminar slot; which of the
// two a curve resembles is read from its exponent (Rescale). A vent made from
// holes is computed anew.
func (v Vent) In(g gas.State) Vent {
	if v.curve == nil {
		return v.holes.vent(g, v.open)
	}
	return v.curve.vent(g, v.open)
}

// Blocked gives the same vent with a share of its area covered or dirty; the
// flow falls by the same share. Shares outside 0 to 1 count as 0 or 1.
func (v Vent) Blocked(share unit.Fraction) Vent {
	left := v.open * (1 - math.Min(math.Max(float64(share), 0), 1))
	if v.curve == nil {
		return v.holes.vent(v.gas, left)
	}
	return v.curve.vent(v.gas, left)
}

// Times gives a vent that passes so many times as much at every pressure, in
// this gas and in any other: one that came out larger or smaller than its curve
// says. Open counts that in, and may then exceed 1.
func (v Vent) Times(factor float64) Vent {
	if v.curve == nil {
		return v.holes.vent(v.gas, v.open*factor)
	}
	return v.curve.vent(v.gas, v.open*factor)
}

// Flow gives the flow out of the mask at a mask pressure, and whether that
// pressure lies outside what was measured (or outside the range in which the
// law of a hole was tested). Below ambient the flow turns round. It allocates
// nothing.
func (v Vent) Flow(p unit.Pressure) (q unit.Flow, extrapolated bool) {
	if p < 0 {
		q, _ = v.Flow(-p)
		return -q, true
	}
	if v.curve == nil {
		return v.law.flow(p)
	}
	q, extrapolated = v.curve.flow(p)
	return q * unit.Flow(v.scale), extrapolated
}

// Rescale gives the factor on a volume flow at one pressure when another gas
// takes the place of the first in a vent with Q = k P^n.
//
// Formula: (rho2/rho1)^(n-1) (mu2/mu1)^(1-2n), which is what the dimensions
// leave once the exponent is known: an orifice, n = 0.5, feels the density
// alone, a laminar slot, n = 1, the viscosity alone. A fitted n beyond these
// two counts as the nearer one.
// Inputs: n [1], two gases. Valid while flow is slow against sound, P < 5 kPa.
// Source: arithmetic (Buckingham, Phys Rev 1914;4:345-376).
// Example: n = 0.5, air thinner by a fifth: 1.118.
func Rescale(n float64, from, to gas.State) float64 {
	n = math.Min(math.Max(n, 0.5), 1)
	rho := float64(to.Density() / from.Density())
	mu := float64(to.Viscosity() / from.Viscosity())
	return math.Pow(rho, n-1) * math.Pow(mu, 1-2*n)
}

// PressureFor gives the mask pressure at which the vent passes a flow, and
// whether there is one up to the highest pressure that a curve may hold.
func (v Vent) PressureFor(q unit.Flow) (p unit.Pressure, ok bool) {
	miss := func(p float64) float64 {
		at, _ := v.Flow(unit.Pressure(p))
		return float64(at - q)
	}
	x, _, err := root.Find(miss, 0, pressureRange.High*float64(unit.CmH2O), 0)
	return unit.Pressure(x), err == nil
}

// CheckPressure refuses a pressure at which no mask vent is asked about.
func CheckPressure(p unit.Pressure) error {
	asked := pressureRange
	asked.Name = "the pressure"
	return asked.Check(float64(p))
}
