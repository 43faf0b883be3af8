package vent

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"

	"tautline/model/gas"
	"tautline/model/unit"
)

// A curve is a set of published points with what was derived from them once.
type curve struct {
	points   []Point // as given
	measured gas.State
	fit      Fit // of the points as given
	zero     bool
	// The cubic runs from first to last, the points above zero pressure.
	cubic       interp.FritschButland
	first, last Point
}

// A PointError says what is wrong with one point of a curve, counted from 0.
type PointError struct {
	Index  int
	Reason string
}

func (e *PointError) Error() string { return fmt.Sprintf("point %d: %s", e.Index+1, e.Reason) }

// A TooFewError says that a curve has too few points above zero pressure.
type TooFewError struct{ Points int }

func (e *TooFewError) Error() string {
	return fmt.Sprintf("a vent curve needs at least three points above zero pressure, and there %s",
		map[bool]string{true: "is 1", false: fmt.Sprintf("are %d", e.Points)}[e.Points == 1])
}

// FromPoints makes a vent from its published curve, measured in the given gas.
// Pressures must rise, flows must not fall. Between the points it follows a
// monotone cubic (Fritsch and Butland, SIAM J Sci Stat Comput 1984;5:300-304,
// as gonum has it); another monotone cubic would move the first interval by up
// to 0.7 %. Beyond the ends it follows the fitted exponent, hung onto the end
// point so that the curve does not jump. A first point at zero pressure and
// zero flow counts as measured: from there the exponent leads to the next one.
func FromPoints(points []Point, measured gas.State) (Vent, error) {
	if err := measured.Check(); err != nil {
		return Vent{}, err
	}
	if err := check(points); err != nil {
		return Vent{}, err
	}
	c := &curve{points: append([]Point(nil), points...), measured: measured}
	rest := c.points
	if rest[0].Pressure == 0 {
		c.zero, rest = true, rest[1:]
	}
	c.first, c.last = rest[0], rest[len(rest)-1]
	c.fit = fitPower(rest)
	var x, y []float64
	for _, p := range rest {
		x, y = append(x, float64(p.Pressure)), append(y, float64(p.Flow))
	}
	if err := c.cubic.Fit(x, y); err != nil {
		return Vent{}, err
	}
	return c.vent(measured, 1), nil
}

// check refuses what no vent does, naming the point.
func check(points []Point) error {
	above := 0
	for i, p := range points {
		if reason := wrong(points, i); reason != "" {
			return &PointError{i, reason}
		}
		if p.Pressure > 0 {
			above++
		}
	}
	if above < 3 {
		return &TooFewError{above}
	}
	return nil
}

// wrong says what is wrong with point i, or nothing.
func wrong(points []Point, i int) string {
	p := points[i]
	for _, x := range []float64{float64(p.Pressure), float64(p.Flow)} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return "is not a finite number"
		}
	}
	switch {
	case p.Pressure < 0:
		return fmt.Sprintf("the pressure %v is negative", p.Pressure)
	case p.Flow < 0:
		return fmt.Sprintf("the flow %v is negative", p.Flow)
	case p.Pressure == 0 && p.Flow > 0:
		return fmt.Sprintf("the flow is %v without pressure", p.Flow)
	case p.Pressure > 0 && p.Flow == 0:
		return fmt.Sprintf("no flow at %v: an open vent passes air at every pressure", p.Pressure)
	}
	if err := pressureRange.Check(float64(p.Pressure)); err != nil {
		return err.Error()
	}
	if err := flowRange.Check(float64(p.Flow)); err != nil {
		return err.Error()
	}
	if i == 0 {
		return ""
	}
	switch before := points[i-1]; {
	case p.Pressure == before.Pressure:
		return fmt.Sprintf("the pressure %v is there twice: keep one of the two", p.Pressure)
	case p.Pressure < before.Pressure:
		return fmt.Sprintf("the pressure falls from %v to %v: put the points in rising order",
			before.Pressure, p.Pressure)
	case p.Flow < before.Flow:
		return fmt.Sprintf("the flow falls from %v to %v while the pressure rises: a vent's never does",
			before.Flow, p.Flow)
	}
	return ""
}

// vent sets the curve in a gas, with a share of its area open.
func (c *curve) vent(g gas.State, open float64) Vent {
	s := open
	if g != c.measured {
		s *= Rescale(c.fit.Exponent, c.measured, g)
	}
	return Vent{curve: c, gas: g, scale: s, open: open, fit: c.fit.times(s)}
}

// flow is as published, for p >= 0.
func (c *curve) flow(p unit.Pressure) (unit.Flow, bool) {
	switch {
	case p < c.first.Pressure:
		return c.beyond(c.first, p), !c.zero
	case p > c.last.Pressure:
		return c.beyond(c.last, p), true
	}
	return unit.Flow(c.cubic.Predict(float64(p))), false
}

// beyond follows the fitted exponent from an end point.
func (c *curve) beyond(end Point, p unit.Pressure) unit.Flow {
	return end.Flow * unit.Flow(math.Pow(float64(p/end.Pressure), c.fit.Exponent))
}
