package gas

import (
	"math"

	"tautline/model/unit"
)

// Viscosity gives the dynamic viscosity of moist air: dry air and water vapour
// mixed by Wilke's rule. Water vapour is the thinner of the two, so damp air
// flows a little more easily.
//
// Formula: mu = sum_i x_i mu_i / sum_j x_j phi_ij,
// phi_ij = (1 + sqrt(mu_i/mu_j) (M_j/M_i)^(1/4))^2 / sqrt(8 (1 + M_i/M_j)).
// Source: Wilke, J Chem Phys 1950;18:517-519, doi 10.1063/1.1747673.
// Valid 0 to 60 C. Example: 30 C, 80 %: 18.3 uPa s.
func (s State) Viscosity() unit.Viscosity {
	x := s.VapourShare()
	air, water := float64(DryViscosity(s.Temperature)), vapourViscosity(s.Temperature)
	mix := func(mine, other, m, n float64) float64 {
		r := 1 + math.Sqrt(mine/other)*math.Sqrt(math.Sqrt(n/m))
		return r * r / math.Sqrt(8*(1+m/n))
	}
	phiA := mix(air, water, molarDry, molarWater)
	phiW := mix(water, air, molarWater, molarDry)
	return unit.Viscosity((1-x)*air/((1-x)+x*phiA) + x*water/(x+(1-x)*phiW))
}

// DryViscosity is Sutherland's law for dry air.
//
// Formula: mu = 1.458e-6 T^(3/2) / (T + 110.4 K) [Pa s]. Source: Sutherland,
// Phil Mag 1893;36:507-531; the two constants from the U.S. Standard Atmosphere
// 1976, equation 51 (from memory). Valid 0 to 60 C here, to 0.5 %.
func DryViscosity(t unit.Temperature) unit.Viscosity {
	k := float64(t)
	return unit.Viscosity(1.458e-6 * k * math.Sqrt(k) / (k + 110.4))
}

// vapourViscosity is that of thin water vapour (IAPWS R12-08, 2008, equation 11
// and table 1, from memory; doi 10.1063/1.3088050), in Pa s.
func vapourViscosity(t unit.Temperature) float64 {
	r := float64(t) / 647.096
	return 1e-4 * math.Sqrt(r) / (1.67752 + (2.20462+(0.6366564-0.241605/r)/r)/r)
}
