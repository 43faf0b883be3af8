package gas

import (
	"math"

	"tautline/model/unit"
)

// SeaLevel is the standard atmosphere.
const SeaLevel unit.Pressure = 101325

// AmbientAt gives the pressure of the standard atmosphere at an altitude.
//
// Formula: p = 101325 Pa (1 - 0.0065 h/288.15)^5.25588, h in metres.
// Source: ICAO Doc 7488, Manual of the ICAO Standard Atmosphere, 1993 (ISO
// 2533:1975), the layer below 11 km. Example: 1500 m: 84556 Pa.
// An altitude where nobody sleeps is refused.
func AmbientAt(altitude unit.Length) (unit.Pressure, error) {
	if err := altitudeRange.Check(float64(altitude)); err != nil {
		return 0, err
	}
	return SeaLevel * unit.Pressure(math.Pow(float64(TemperatureAt(altitude))/288.15, 5.25588)), nil
}

// TemperatureAt is the standard atmosphere's own air, 15 C at sea level and
// 6.5 C colder per kilometre (source: as AmbientAt).
func TemperatureAt(altitude unit.Length) unit.Temperature {
	return unit.Temperature(288.15 - 0.0065*float64(altitude))
}
