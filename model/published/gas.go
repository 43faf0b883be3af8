package published

import (
	"tautline/model/gas"
	"tautline/model/unit"
)

// gasLaws are the laws that the checks of section 1 hold; a test puts wrong
// ones in their place to see the checks fail.
type gasLaws struct {
	density    func(gas.State) unit.Density
	saturation func(unit.Temperature) unit.Pressure
	ambient    func(unit.Length) (unit.Pressure, error)
	dry        func(unit.Temperature) unit.Viscosity
	damp       func(gas.State) unit.Viscosity
}

var gasActual = gasLaws{
	density:    gas.State.Density,
	saturation: gas.Saturation,
	ambient:    gas.AmbientAt,
	dry:        gas.DryViscosity,
	damp:       gas.State.Viscosity,
}

const picard = "Picard et al., Metrologia 2008;45:149-155 (CIPM-2007), computed from its equations"

func gasChecks(l gasLaws) []Check {
	density := func(id string, humidity unit.Fraction, want float64) Check {
		s := gas.State{Temperature: unit.Celsius(20), Humidity: humidity, Ambient: gas.SeaLevel, CO2: 0.0004}
		return Check{ID: id, Section: 1, Source: picard, Unit: "kg/m3",
			What: "density of air, 20 C, 101325 Pa, " + humidity.String() + " humidity, 400 ppm CO2",
			Want: About(want, 5e-5),
			Run:  func() (float64, error) { return float64(l.density(s)), nil }}
	}
	ambient := func(id string, altitude unit.Length, want float64) Check {
		return Check{ID: id, Section: 1, Unit: "Pa",
			Source: "ICAO Doc 7488, Manual of the ICAO Standard Atmosphere, 1993, tables",
			What:   "ambient pressure at " + unit.Round(altitude.M()) + " m", Want: Within(want, 0.0002),
			Run: func() (float64, error) { p, err := l.ambient(altitude); return float64(p), err }}
	}
	dry := func(id string, celsius, want float64) Check {
		return Check{ID: id, Section: 1, Unit: "uPa s", Predicted: true,
			Source: "tables of dry air at one atmosphere (from memory)",
			What:   "viscosity of dry air at " + unit.Round(celsius) + " C", Want: Within(want, 0.005),
			Run: func() (float64, error) { return 1e6 * float64(l.dry(unit.Celsius(celsius))), nil }}
	}
	return []Check{
		density("gas-density-dry", 0, 1.20456),
		density("gas-density-half", 0.5, 1.19931),
		density("gas-density-damp", 1, 1.19409),
		{ID: "gas-saturation", Section: 1, Unit: "Pa", Predicted: true,
			Source: "steam tables: 6282 Pa at body temperature (from memory)",
			What:   "vapour pressure of water at 37 C", Want: Within(6282, 0.001),
			Run: func() (float64, error) { return float64(l.saturation(unit.Celsius(37))), nil }},
		ambient("gas-ambient-1500", 1500, 84556),
		ambient("gas-ambient-2500", 2500, 74683),
		dry("gas-viscosity-20", 20, 18.13),
		dry("gas-viscosity-37", 37, 18.94),
		dampAir(l),
	}
}

// dampAir holds the mixing rule: saturated air at body temperature flows a
// little more easily than dry air, and by no more than its vapour could.
func dampAir(l gasLaws) Check {
	s := gas.State{Temperature: unit.Celsius(37), Humidity: 1, Ambient: gas.SeaLevel, CO2: 0.0004}
	return Check{ID: "gas-viscosity-damp", Section: 1, Predicted: true,
		Source: "arithmetic: 6.2 % of vapour with half the viscosity of air, mixed by share, lowers it by 2.9 %; 1 to 4 % accepted",
		What:   "viscosity of saturated over dry air, 37 C", Want: Between(0.96, 0.99),
		Run: func() (float64, error) { return float64(l.damp(s) / gas.DryViscosity(s.Temperature)), nil }}
}
