package gas

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/unit"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.6g, want %.6g +- %.1g", what, got, want, tol)
	}
}

// Published densities: Picard et al. 2008, 400 ppm CO2, 20 C, 101325 Pa.
func TestDensityOfRoomAir(t *testing.T) {
	for _, c := range []struct{ humidity, want float64 }{{0, 1.20456}, {0.5, 1.19931}, {1, 1.19409}} {
		s := State{unit.Celsius(20), unit.Fraction(c.humidity), SeaLevel, 0.0004}
		near(t, "density", float64(s.Density()), c.want, 5e-5)
	}
}

// The seams at 15 and 27 C and at 600 and 1100 hPa are no wider than promised.
func TestDensityMeetsIdealMixture(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := State{unit.Celsius(rapid.Float64Range(15, 27).Draw(t, "t")),
			unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "rh")), 101325, 0.0004}
		switch rapid.IntRange(0, 2).Draw(t, "seam") {
		case 0:
			s.Temperature = unit.Celsius(15)
		case 1:
			s.Temperature = unit.Celsius(27)
		case 2:
			s.Ambient = 600 * unit.HPa
		}
		ideal := s
		ideal.Temperature -= 1e-9
		if s.Temperature.Celsius() > 26.999 {
			ideal.Temperature += 2e-9
		}
		if s.Ambient == 600*unit.HPa {
			ideal.Ambient -= 1e-6
		}
		if a, b := float64(s.Density()), float64(ideal.Density()); math.Abs(a/b-1) > 1e-3 {
			t.Fatalf("%v: %g against %g", s, a, b)
		}
	})
}

// Warmer, damper and higher air is thinner; damper air flows more easily.
func TestGasIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := State{unit.Celsius(rapid.Float64Range(28, 44).Draw(t, "t")),
			unit.Fraction(rapid.Float64Range(0, 0.9).Draw(t, "rh")),
			unit.Pressure(rapid.Float64Range(61e3, 105e3).Draw(t, "p")), 0.0004}
		warm, damp, low := s, s, s
		warm.Temperature += 1
		damp.Humidity += 0.1
		low.Ambient += 1000
		if !(warm.Density() < s.Density() && damp.Density() < s.Density() && low.Density() > s.Density()) {
			t.Fatalf("density is not monotone at %v", s)
		}
		if !(damp.Viscosity() < s.Viscosity() && warm.Viscosity() > s.Viscosity()-1e-7) {
			t.Fatalf("viscosity is not monotone at %v", s)
		}
	})
}

func TestStateIsChecked(t *testing.T) {
	if err := AtMask().Check(); err != nil {
		t.Error(err)
	}
	if err := AtBench().Check(); err != nil {
		t.Error(err)
	}
	if (State{}).Check() == nil {
		t.Error("the zero value passes for a gas")
	}
	if _, err := AmbientAt(9000); err == nil {
		t.Error("9000 m passes for a bedroom")
	}
}

func TestParametersLieInTheirRange(t *testing.T) {
	for _, p := range Parameters() {
		if err := p.Check(p.SI()); err != nil {
			t.Error(err)
		}
	}
}
