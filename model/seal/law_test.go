package seal

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawSegment draws a law, and a depth and pressure to ask it at.
func drawSegment(t *rapid.T) (s Segment, pressure float64) {
	soft := rapid.Float64Range(2e4, 1e6).Draw(t, "soft")
	s = Segment{Soft: soft, Hard: soft * rapid.Float64Range(1, 5).Draw(t, "stiffening"),
		Bottom:    rapid.Float64Range(0.5e-3, 10e-3).Draw(t, "bottom"),
		FlapShare: rapid.Float64Range(0, 0.95).Draw(t, "share"),
		FlapReach: rapid.Float64Range(0.2e-3, 5e-3).Draw(t, "reach"),
		Hair:      rapid.SampledFrom([]float64{0, 30e-6}).Draw(t, "hair")}
	return s, rapid.Float64Range(0, 6000).Draw(t, "pressure")
}

var depth = rapid.Float64Range(-10e-3, 20e-3)

// TestLawIsMonotone: pressing deeper never presses less, without a step, and
// no slope is steeper than the crushed cushion or the flap.
func TestLawIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, pressure := drawSegment(t)
		a, b := depth.Draw(t, "a"), depth.Draw(t, "b")
		a, b = min(a, b), max(a, b)
		pa, pb := s.contact(a, pressure), s.contact(b, pressure)
		steepest := max(s.Hard, s.FlapShare*pressure/s.FlapReach)
		if pa < 0 || pb < pa*(1-1e-12) || pb-pa > steepest*(b-a)*(1+1e-9)+1e-9 {
			t.Errorf("%g Pa at %g m, %g Pa at %g m", pa, a, pb, b)
		}
	})
}

// TestLawEnergy: the energy is the area under the contact pressure, summed here
// by trapezoids from kink to kink, hence convex; the slope is its second
// derivative.
func TestLawEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, pressure := drawSegment(t)
		d := depth.Draw(t, "depth")
		at := []float64{-s.FlapReach - 1e-3, -s.FlapReach, 0, s.Bottom}
		at = append(slices.DeleteFunc(at, func(x float64) bool { return x >= d }), d)
		want := 0.0
		for i := 1; i < len(at); i++ {
			want += (at[i] - at[i-1]) * (s.contact(at[i-1], pressure) + s.contact(at[i], pressure)) / 2
		}
		_, slope, got := s.law(d, pressure)
		if math.Abs(got-want) > 1e-9*(1+want) {
			t.Errorf("at %g m the energy is %g Pa m, want %g", d, got, want)
		}
		const h = 1e-8
		for _, kink := range []float64{-s.FlapReach, 0, s.Bottom} {
			if math.Abs(d-kink) < 2*h {
				return
			}
		}
		if rise := (s.contact(d+h, pressure) - s.contact(d-h, pressure)) / (2 * h); math.Abs(rise-slope) > 1e-3*s.Hard {
			t.Errorf("at %g m the slope is %g Pa/m, want %g", d, slope, rise)
		}
	})
}

// TestInSeries: two equal springs give half, a rigid one changes nothing.
func TestInSeries(t *testing.T) {
	if k := InSeries(4e5, 4e5); k != 2e5 {
		t.Errorf("two of 4e5 Pa/m give %g", k)
	}
	if k := InSeries(4e5, 1e15); math.Abs(k/4e5-1) > 1e-8 {
		t.Errorf("on rigid ground 4e5 Pa/m give %g", k)
	}
}
