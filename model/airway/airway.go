// Package airway is the person behind the mask: a lung that breathes, a nose
// whose resistance rises when air leaks from the mouth, lips that part when the
// pressure behind them exceeds what holds them shut, and a jaw that drops.
//
// MouthLeak answers at one steady pressure in a few nanoseconds; Run follows
// machine, hose, vent, seal and person through whole breaths.
package airway

import "tautline/model/unit"

// Parameters lists the adjustable numbers of this package.
func Parameters() []unit.Parameter {
	all := []unit.Parameter{MinuteVolume, REMMinuteVolume, BreathRate, InspiringShare,
		ComplianceRecord, AirwayRecord}
	all = append(all, noseRecords...)
	all = append(all, mouthRecords...)
	return append(all, sourceRecords...)
}

// quadratic gives the q >= 0 with a q + b q^2 = p, for p >= 0, a > 0 and b >= 0,
// in the form that loses no digits when b is small.
func quadratic(a, b, p float64) float64 {
	return 2 * p / (a + sqrt(a*a+4*b*p))
}
