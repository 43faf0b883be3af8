package vent

import (
	"fmt"
	"math"

	"tautline/model/gas"
	"tautline/model/unit"
)

// Holes are a vent's geometry: so many equal round holes, drilled through a
// wall of the given thickness.
type Holes struct {
	Count    int
	Diameter unit.Length
	Length   unit.Length // of the bore, along the flow
}

// FromGeometry makes a vent from its holes, with the gas of a mask in it.
func FromGeometry(h Holes) (Vent, error) {
	if err := h.check(); err != nil {
		return Vent{}, err
	}
	return h.vent(gas.AtMask(), 1), nil
}

func (h Holes) check() error {
	if err := countRange.Check(float64(h.Count)); err != nil {
		return err
	}
	if err := diameterRange.Check(float64(h.Diameter)); err != nil {
		return err
	}
	if err := lengthRange.Check(float64(h.Length)); err != nil {
		return err
	}
	if h.ratio() > longest {
		return fmt.Errorf("holes %v long and %v wide are more than %v diameters long: that is a tube, "+
			"and the law for holes does not hold", h.Length, h.Diameter, longest)
	}
	return nil
}

func (h Holes) ratio() float64 { return float64(h.Length / h.Diameter) }

func (h Holes) area() float64 {
	return float64(h.Count) * math.Pi / 4 * float64(h.Diameter) * float64(h.Diameter)
}

// The range in which Lichtarowicz et al. tested their law, and the limit of a
// sharp edge.
const (
	shortest  = 2.0  // length over diameter
	longest   = 10.0 // likewise
	slowest   = 10.0 // Reynolds number
	fastest   = 2e4  // likewise
	sharpEdge = 0.61 // ISO 5167-2:2003 has 0.60 to 0.62 for an orifice plate
)

// Discharge gives the discharge coefficient of a drilled hole.
//
// Formula: 1/Cd = 1/Cdu + (20/Re)(1 + 2.25 l/d), Cdu = 0.827 - 0.0085 l/d.
// Inputs: Reynolds number of the flow in the bore [1], length over diameter
// [1]. Valid Re 10 to 20000, l/d 2 to 10; below 2 Cdu is led in a straight line
// to the sharp edge's 0.61 (assumed). Source: Lichtarowicz, Duggins, Markland,
// J Mech Eng Sci 1965;7:210-219, doi 10.1243/JMES_JOUR_1965_007_029_02.
// Example: l/d 2, Re 3000: 0.787.
func Discharge(re, ratio float64) float64 {
	return 1 / (1/ultimate(ratio) + viscous(ratio)/re)
}

// ultimate is Cdu, the coefficient at high Reynolds numbers.
func ultimate(ratio float64) float64 {
	if ratio >= shortest {
		return 0.827 - 0.0085*ratio
	}
	return sharpEdge + (ultimate(shortest)-sharpEdge)*ratio/shortest
}

// viscous is what 1/Cd gains, times Re.
func viscous(ratio float64) float64 { return 20 * (1 + 2.25*ratio) }

// A holeLaw is Discharge solved for the flow. With v the speed in the bore and
// w = sqrt(2 P/rho) that without losses, v = Cd w and Re = v d/nu, so the law
// reads w = v/Cdu + viscous nu/d: a straight line in v, and no iteration.
type holeLaw struct {
	area    float64 // open, all holes
	cdu     float64
	offset  float64 // viscous nu/d [m/s]
	perRho  float64 // 2/rho
	slow    float64 // speed at Re = slowest
	slowP   float64 // and the pressure that drives it
	fastP   float64 // pressure at Re = fastest
	outside bool    // l/d was not tested
}

func (h Holes) law(g gas.State, open float64) holeLaw {
	rho, d := float64(g.Density()), float64(h.Diameter)
	nu := float64(g.Viscosity()) / rho
	l := holeLaw{area: open * h.area(), cdu: ultimate(h.ratio()),
		offset: viscous(h.ratio()) * nu / d, perRho: 2 / rho,
		slow: slowest * nu / d, outside: h.ratio() < shortest}
	l.slowP = l.pressure(l.slow)
	l.fastP = l.pressure(fastest * nu / d)
	return l
}

func (l *holeLaw) pressure(speed float64) float64 {
	w := speed/l.cdu + l.offset
	return w * w / l.perRho
}

// flow for p >= 0. Below Re 10 the flow is taken as laminar, in proportion to
// the pressure, from nothing to what the law gives at Re 10; in a mask vent
// that is below 0.1 cmH2O.
func (l *holeLaw) flow(p unit.Pressure) (unit.Flow, bool) {
	x := float64(p)
	if x < l.slowP {
		return unit.Flow(l.area * l.slow * x / l.slowP), true
	}
	v := (math.Sqrt(x*l.perRho) - l.offset) * l.cdu
	return unit.Flow(l.area * v), l.outside || x > l.fastP
}

func (h Holes) vent(g gas.State, open float64) Vent {
	v := Vent{holes: h, law: h.law(g, open), gas: g, scale: 1, open: open}
	v.fit = h.fit(g).times(open)
	return v
}

// fit lays the power law through the hole's own curve over the pressures of
// therapy; its standard errors tell how far that curve is from a power law.
func (h Holes) fit(g gas.State) Fit {
	law := h.law(g, 1)
	var points []Point
	for p := 4; p <= 20; p++ {
		at := unit.Pressure(p) * unit.CmH2O
		q, _ := law.flow(at)
		points = append(points, Point{at, q})
	}
	return fitPower(points)
}
