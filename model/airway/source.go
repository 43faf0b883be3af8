package airway

import (
	"errors"
	"fmt"

	"tautline/model/fit"
	"tautline/model/unit"
)

// The records of a source with two levels, and of a breath run.
var (
	RiseTimeRecord = unit.Parameter{Name: "rise time", Unit: "s", Value: 0.2, Low: 0.02, High: 2, Likely: [2]float64{0.1, 0.6},
		Origin: unit.Assumed, Source: "0.1 to 0.6 s; common practice, no source",
		Meaning: "time that the set pressure takes from one level to the other, in a straight line"}
	ExpirationRecord = unit.Parameter{Name: "expiration pressure", Unit: "cmH2O", Value: 4, Low: 0, High: 60, Fixed: "set at the machine",
		Origin: unit.Assumed, Source: "as the set pressure unless a lower level is stated",
		Meaning: "set pressure while breathing out"}
	BreathsRecord = unit.Parameter{Name: "breaths", Value: 3, Low: 1, High: 60, Fixed: "chosen",
		Origin: unit.Assumed, Source: "enough to see that they repeat", Meaning: "whole breaths that are recorded"}
)

var sourceRecords = []unit.Parameter{RiseTimeRecord, ExpirationRecord, BreathsRecord, TestLeakRecord, releaseRecord}

// A Source is the pressure set at the machine: one level, or two.
type Source struct {
	Inspiration unit.Pressure // the upper level
	Expiration  unit.Pressure // the lower level; the same for a constant pressure
	Rise        unit.Time     // from one level to the other, straight
}

// Constant is a source of one level.
func Constant(p unit.Pressure) Source { return Source{Inspiration: p, Expiration: p} }

// TwoLevels is a source of two levels with the ordinary rise time. It follows
// the person's effort without delay.
func TwoLevels(lower, upper unit.Pressure) Source {
	return Source{Inspiration: upper, Expiration: lower, Rise: unit.Time(RiseTimeRecord.SI())}
}

// TwoLevel tells whether the levels differ.
func (s Source) TwoLevel() bool { return s.Inspiration != s.Expiration }

// Check refuses levels that no machine sets.
func (s Source) Check() error {
	if s.Inspiration < s.Expiration {
		return fmt.Errorf("the level of inspiration, %s, lies below that of expiration, %s: swap them", s.Inspiration, s.Expiration)
	}
	err := errors.Join(fit.SetPressureRange.Check(float64(s.Inspiration)), fit.SetPressureRange.Check(float64(s.Expiration)))
	if s.TwoLevel() {
		err = errors.Join(err, RiseTimeRecord.Check(float64(s.Rise)))
	}
	return err
}

// at gives the set pressure at a time within the cycle, which begins with the
// breath in.
func (s *Source) at(t, inspiring float64) float64 {
	low, high, rise := float64(s.Expiration), float64(s.Inspiration), float64(s.Rise)
	switch {
	case low == high:
		return low
	case t < rise:
		return low + (high-low)*t/rise
	case t < inspiring:
		return high
	case t < inspiring+rise:
		return high - (high-low)*(t-inspiring)/rise
	}
	return low
}
