package mask

import (
	"math"

	"tautline/model/unit"
)

// Modulus gives the elastic modulus of a rubber from its Shore A hardness.
//
//	E [MPa] = 0.0981 (56 + 7.62336 S) / (0.137505 (254 - 2.54 S))
//
// input: S, Shore A, 20 to 80; result: modulus; source: A. N. Gent, Rubber Chem
// Technol 1958;31:896. Outside the range the result is NaN. Example: Shore 40
// gives 1.69 MPa.
func Modulus(shoreA float64) unit.Pressure {
	if !(shoreA >= 20 && shoreA <= 80) {
		return unit.Pressure(math.NaN())
	}
	return unit.Pressure(1e6 * 0.0981 * (56 + 7.62336*shoreA) / (0.137505 * (254 - 2.54*shoreA)))
}
