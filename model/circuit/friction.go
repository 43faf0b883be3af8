package circuit

import "math"

// Friction gives the Darcy friction factor of a smooth round tube.
//
// Formula: 64/Re below Re 2000, Blasius' 0.3164 Re^-0.25 above 3000, and
// between the two a smooth blend of both (3t^2 - 2t^3). The switch must end
// before Re 3700 or so, where measured tubes follow Blasius. Input: Reynolds
// number [1]. Valid to Re 1e5. Source: Blasius, Forschungsheft 131, VDI 1913;
// the blend is assumed. Example: Re 3840: 0.0402.
func Friction(re float64) float64 { return frictionRe(re) / re }

// frictionRe is the factor times Re, which stays finite at rest.
func frictionRe(re float64) float64 {
	low, high := switchStart.Value, switchEnd.Value
	if re <= low {
		return 64
	}
	// Re^0.75 by two square roots: this is the inner loop of every balance.
	root := math.Sqrt(re)
	blasius := 0.3164 * root * math.Sqrt(root)
	if re >= high {
		return blasius
	}
	t := (re - low) / (high - low)
	w := t * t * (3 - 2*t)
	return (1-w)*64 + w*blasius
}
