package published

import (
	"fmt"
	"math"

	"tautline/model/gas"
	"tautline/model/mask"
	"tautline/model/unit"
	"tautline/model/vent"
)

// ventLaws are the laws that the checks of section 2 hold.
type ventLaws struct {
	discharge func(re, ratio float64) float64
	rescale   func(n float64, from, to gas.State) float64
	// flow is the model's vent at a pressure.
	flow  func(vent.Vent, unit.Pressure) unit.Flow
	floor func(minute unit.Flow, inspiring unit.Fraction) unit.Flow
	left  func(vent.Breath, unit.Flow) unit.Fraction
}

var ventActual = ventLaws{
	discharge: vent.Discharge,
	rescale:   vent.Rescale,
	flow:      func(v vent.Vent, p unit.Pressure) unit.Flow { q, _ := v.Flow(p); return q },
	floor:     vent.WashoutFloor,
	left:      vent.Breath.Left,
}

func ventChecks(l ventLaws) []Check {
	var all []Check
	all = append(all, dischargeChecks(l)...)
	all = append(all, altitudeChecks(l)...)
	all = append(all, curveChecks(l)...)
	all = append(all, washoutChecks(l)...)
	return append(all, demoVentChecks(l)...)
}

func dischargeChecks(l ventLaws) []Check {
	var out []Check
	for _, c := range []struct{ ratio, re, want float64 }{
		{2, 1000, 0.744}, {2, 3000, 0.787}, {2, 10000, 0.803},
		{5, 1000, 0.658}, {5, 3000, 0.737}, {5, 10000, 0.770},
	} {
		out = append(out, Check{ID: fmt.Sprintf("vent-discharge-%g-%g", c.ratio, c.re), Section: 2,
			Source: "Lichtarowicz et al., J Mech Eng Sci 1965;7:210-219, computed from its formula",
			What:   fmt.Sprintf("discharge coefficient of a hole %g diameters long at Re %g", c.ratio, c.re),
			Want:   Within(c.want, 0.005),
			Run:    func() (float64, error) { return l.discharge(c.re, c.ratio), nil }})
	}
	return append(out, Check{ID: "vent-sharp-edge", Section: 2,
		Source: "ISO 5167-2:2003, orifice plates: 0.60 to 0.62",
		What:   "discharge coefficient of a hole without length at Re 1e6", Want: Between(0.60, 0.62),
		Run: func() (float64, error) { return l.discharge(1e6, 0), nil }})
}

// altitudeChecks: what thin air does to a volume flow at one mask pressure, the
// mask's air being as warm and damp as at sea level.
func altitudeChecks(l ventLaws) []Check {
	factor := func(id, what string, n, altitude float64, want Want) Check {
		return Check{ID: id, Section: 2, Source: "arithmetic from the standard atmosphere, ICAO Doc 7488, 1993", Predicted: true,
			What: fmt.Sprintf("flow at %g m over flow at sea level, %s", altitude, what), Want: want,
			Run: func() (float64, error) {
				high, err := gas.AtMask().AtAltitude(unit.Length(altitude))
				return l.rescale(n, gas.AtMask(), high), err
			}}
	}
	return []Check{
		factor("vent-altitude-1500", "square-root vent", 0.5, 1500, About(1.0961, 0.003)),
		factor("vent-altitude-2500", "square-root vent", 0.5, 2500, About(1.1675, 0.003)),
		factor("vent-altitude-055", "n = 0.55", 0.55, 2500, About(1.1503, 0.003)),
		factor("vent-altitude-slot", "laminar slot", 1, 2500, Between(1, 1.01)),
		{ID: "vent-altitude-cold", Section: 2, Source: "arithmetic from the standard atmosphere, ICAO Doc 7488, 1993", Predicted: true,
			What: "flow at 2500 m over sea level, square-root vent, dry air at the atmosphere's own temperature", Want: About(1.1315, 0.003),
			Run: func() (float64, error) {
				low := gas.State{Temperature: gas.TemperatureAt(0), Ambient: gas.SeaLevel, CO2: 0.0004}
				high := gas.State{Temperature: gas.TemperatureAt(2500), CO2: 0.0004}
				var err error
				high.Ambient, err = gas.AmbientAt(2500)
				return l.rescale(0.5, low, high), err
			}},
	}
}

// squareRoot is a curve of an ideal orifice, 36 L/min at 14 cmH2O.
func squareRoot() (vent.Vent, error) {
	var points []vent.Point
	for _, p := range []float64{4, 6, 8, 10, 12, 14, 16, 20} {
		points = append(points, vent.Point{Pressure: unit.Pressure(p) * unit.CmH2O,
			Flow: unit.Flow(36*math.Sqrt(p/14)) * unit.LPerMin})
	}
	return vent.FromPoints(points, gas.AtMask())
}

func curveChecks(l ventLaws) []Check {
	return []Check{
		{ID: "vent-mean-of-sine", Section: 2, Unit: "%", Predicted: true,
			Source: "arithmetic: the mean of a square root lies below the square root of the mean, by 1/8 of the relative variance, (0.2^2/2)/8",
			What:   "mean flow overstated by taking the mean of 10 +- 2 cmH2O, square-root vent", Want: About(0.25, 0.02),
			Run: func() (float64, error) { return meanOfSine(l) }},
		{ID: "vent-holes-ratio", Section: 2, Predicted: true,
			Source: "Borel et al., Chest 2009;135:669-677: exponents of seven bench masks",
			What:   "Q(20)/Q(5) of 20 holes, 1.1 mm wide and 2.2 mm long", Want: Between(1.94, 2.18),
			Run: func() (float64, error) {
				v, err := vent.FromGeometry(vent.Holes{Count: 20, Diameter: 1.1 * unit.Mm, Length: 2.2 * unit.Mm})
				return ratio(l, v), err
			}},
		{ID: "vent-curve-ratio", Section: 2, Predicted: true, Source: "arithmetic: a square-root vent doubles its flow at four times the pressure",
			What: "Q(20)/Q(5) of a square-root curve read from 4 cmH2O up", Want: About(2, 0.01),
			Run: func() (float64, error) { v, err := squareRoot(); return ratio(l, v), err }},
	}
}

func ratio(l ventLaws, v vent.Vent) float64 {
	return float64(l.flow(v, 20*unit.CmH2O) / l.flow(v, 5*unit.CmH2O))
}

func meanOfSine(l ventLaws) (float64, error) {
	v, err := squareRoot()
	if err != nil {
		return 0, err
	}
	const n = 720
	var sum unit.Flow
	for i := range n {
		sum += l.flow(v, unit.Pressure(10+2*math.Sin(2*math.Pi*float64(i)/n))*unit.CmH2O)
	}
	return 100 * (float64(l.flow(v, 10*unit.CmH2O))/float64(sum/n) - 1), nil
}

func washoutChecks(l ventLaws) []Check {
	douglas := "Douglas et al., Thorax 1982;37:840-844, non-REM minute volume, and arithmetic"
	return []Check{
		{ID: "vent-floor", Section: 2, Unit: "L/min", Source: douglas,
			What: "washout floor at 7.2 L/min, 40 % of the cycle breathing in", Want: About(12, 0.1),
			Run: func() (float64, error) { return l.floor(7.2*unit.LPerMin, 0.4).LPerMin(), nil }},
		{ID: "vent-left-above", Section: 2, Unit: "%", Predicted: true,
			Source: "arithmetic: at twice the floor the vent clears the mask before the breath ends",
			What:   "share of a breath left in the mask at twice the floor", Want: AtMost(5),
			Run: func() (float64, error) {
				b := vent.Sleeping()
				return l.left(b, 2*b.Floor()).Percent(), nil
			}},
		{ID: "vent-left-below", Section: 2, Unit: "%", Predicted: true,
			Source: "arithmetic: at half the floor at least half the breath stays, and at most the mask's own air (100 mL of 479) more",
			What:   "share of a breath left in mask and hose at half the floor", Want: Between(50, 71),
			Run: func() (float64, error) {
				b := vent.Sleeping()
				return l.left(b, b.Floor()/2).Percent(), nil
			}},
		{ID: "vent-no-alarm", Section: 2, Unit: "L/min", Predicted: true,
			Source: "Monaldi Arch Chest Dis 2008, doi 10.4081/monaldi.2008.388: no rebreathing in a vented nasal mask at 4 cmH2O",
			What:   "flow at 4 cmH2O less the washout floor, square-root vent of 28 L/min at 14 cmH2O", Want: AtLeast(0),
			Run: func() (float64, error) {
				v, err := squareRoot()
				v = v.Blocked(1 - 28.0/36)
				return (l.flow(v, 4*unit.CmH2O) - l.floor(7.18*unit.LPerMin, 0.4)).LPerMin(), err
			}},
	}
}

// demoVentChecks hold the invented masks to what real ones pass.
func demoVentChecks(l ventLaws) []Check {
	borel := "Borel et al., Chest 2009;135:669-677: seven bench masks passed 30 to 45 L/min"
	over := func(f func(vent.Vent) float64, worst func(a, b float64) float64) func() (float64, error) {
		return func() (float64, error) {
			got := math.NaN()
			for _, kind := range mask.Types() {
				for _, size := range mask.Sizes() {
					m, err := mask.Find(kind, size)
					if err != nil {
						return 0, err
					}
					if x := f(m.Vent.In(gas.AtMask())); math.IsNaN(got) || worst(x, got) == x {
						got = x
					}
				}
			}
			return got, nil
		}
	}
	at14 := func(v vent.Vent) float64 { return l.flow(v, 14*unit.CmH2O).LPerMin() }
	quarters := func(v vent.Vent) float64 { return ratio(l, v) }
	area := func(v vent.Vent) float64 {
		speed := math.Sqrt(2 * 14 * float64(unit.CmH2O) / float64(gas.AtMask().Density()))
		return float64(l.flow(v, 14*unit.CmH2O)) / speed * 1e6
	}
	check := func(id, what, units string, want Want, run func() (float64, error)) Check {
		return Check{ID: id, Section: 2, Source: borel, What: what, Unit: units, Want: want, Run: run}
	}
	return []Check{
		check("vent-demo-least", "flow of the least demo mask at 14 cmH2O", "L/min", Between(28, 47), over(at14, math.Min)),
		check("vent-demo-most", "flow of the most open demo mask at 14 cmH2O", "L/min", Between(28, 47), over(at14, math.Max)),
		check("vent-demo-area-least", "smallest Cd*A of the demo masks", "mm2", Between(9.6, 16.2), over(area, math.Min)),
		check("vent-demo-area-most", "largest Cd*A of the demo masks", "mm2", Between(9.6, 16.2), over(area, math.Max)),
		check("vent-demo-ratio-least", "smallest Q(20)/Q(5) of the demo masks", "", Between(1.94, 2.18), over(quarters, math.Min)),
		check("vent-demo-ratio-most", "largest Q(20)/Q(5) of the demo masks", "", Between(1.94, 2.18), over(quarters, math.Max)),
	}
}
