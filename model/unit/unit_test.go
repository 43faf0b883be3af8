package unit

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestRound(t *testing.T) {
	for _, c := range []struct {
		x    float64
		want string
	}{
		{0, "0"}, {math.Copysign(0, -1), "0"}, {1, "1"}, {-1.5, "-1.5"}, {12.345, "12.3"}, {0.99951, "1"},
		{1234, "1230"}, {99950, "100000"}, {0.012345, "0.0123"}, {0.0001, "0.0001"}, {9.99e-5, "9.99e-05"},
		{0.000099996, "0.0001"}, // rounded first, then looked at
		{9994999, "9990000"}, {1.5e7, "1.5e+07"}, {-1e-9, "-1e-09"},
	} {
		if got := Round(c.x); got != c.want {
			t.Errorf("%v prints as %q, want %q", c.x, got, c.want)
		}
	}
}

// TestPrintRoundTrip: what is printed reads back as the same quantity, to the
// three digits that are shown.
func TestPrintRoundTrip(t *testing.T) {
	celsius := func(k float64) fmt.Stringer { return Celsius(k) }
	for _, c := range []struct {
		kind  *Kind
		print func(float64) fmt.Stringer
	}{
		{PressureKind, func(v float64) fmt.Stringer { return Pressure(v) }},
		{FlowKind, func(v float64) fmt.Stringer { return Flow(v) }},
		{ForceKind, func(v float64) fmt.Stringer { return Force(v) }},
		{LengthKind, func(v float64) fmt.Stringer { return Length(v) }},
		{AreaKind, func(v float64) fmt.Stringer { return Area(v) }},
		{VolumeKind, func(v float64) fmt.Stringer { return Volume(v) }},
		{TimeKind, func(v float64) fmt.Stringer { return Time(v) }},
		{StiffnessKind, func(v float64) fmt.Stringer { return Stiffness(v) }},
		{FoundationKind, func(v float64) fmt.Stringer { return Foundation(v) }},
		{AngleKind, func(v float64) fmt.Stringer { return Angle(v) }},
		{FractionKind, func(v float64) fmt.Stringer { return Fraction(v) }},
		{DensityKind, func(v float64) fmt.Stringer { return Density(v) }},
		{ViscosityKind, func(v float64) fmt.Stringer { return Viscosity(v) }},
		{TemperatureKind, celsius},
	} {
		rapid.Check(t, func(t *rapid.T) {
			v := rapid.Float64Range(-7, 7).Draw(t, "decade")
			v = math.Copysign(math.Pow(10, v), rapid.Float64Range(-1, 1).Draw(t, "sign"))
			text := c.print(v).String()
			got, err := c.kind.Parse(text)
			if c.kind == TemperatureKind { // its zero is not that of the scale printed
				got -= zeroCelsius
			}
			if err != nil || math.Abs(got-v) > 0.005*math.Abs(v)+1e-12 {
				t.Errorf("%v prints as %q and reads back as %v (%v)", v, text, got, err)
			}
		})
	}
}

// TestTimeChoosesItsUnit: the unit that a person would choose.
func TestTimeChoosesItsUnit(t *testing.T) {
	for want, v := range map[string]Time{"0 s": 0, "45 s": 45, "1.5 min": 90, "7 h": 7 * Hour, "90 days": 90 * Day, "-2 h": -2 * Hour} {
		if got := v.String(); got != want {
			t.Errorf("%g s prints as %q, want %q", float64(v), got, want)
		}
	}
}
