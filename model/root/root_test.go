package root

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Roots known in closed form, or to 15 digits by W. Kahan's and Brent's own
// examples (the Dottie number is A003957 of the OEIS).
func TestFindKnownRoots(t *testing.T) {
	cases := []struct {
		name   string
		f      func(float64) float64
		lo, hi float64
		want   float64
	}{
		{"line", func(x float64) float64 { return x - 3 }, 0, 10, 3},
		{"square root of two", func(x float64) float64 { return x*x - 2 }, 0, 2, math.Sqrt2},
		{"Dottie number", func(x float64) float64 { return math.Cos(x) - x }, 0, 1, 0.7390851332151607},
		{"ends the wrong way round", func(x float64) float64 { return x - 3 }, 10, 0, 3},
		{"root at an end", func(x float64) float64 { return x }, 0, 1, 0},
		{"flat cubic", func(x float64) float64 { return (x - 1) * (x - 1) * (x - 1) }, -3, 9, 1},
		{"steep wall", func(x float64) float64 { return math.Expm1(40 * (x - 0.9)) }, 0, 1, 0.9},
		{"kink", func(x float64) float64 { return math.Max(x-0.5, 100*(x-0.5)) }, 0, 1, 0.5},
	}
	for _, c := range cases {
		x, n, err := Find(c.f, c.lo, c.hi, 1e-13)
		if err != nil || math.Abs(x-c.want) > 2e-5 && c.name == "flat cubic" ||
			math.Abs(x-c.want) > 1e-12 && c.name != "flat cubic" {
			t.Errorf("%s: %.16g after %d steps, %v; want %.16g", c.name, x, n, err, c.want)
		}
	}
}

func TestFindRefuses(t *testing.T) {
	if _, _, err := Find(func(x float64) float64 { return 1 + x*x }, -1, 1, 0); !errors.Is(err, ErrNotBracketed) {
		t.Errorf("no sign change: %v", err)
	}
	if _, _, err := Find(math.Log, -1, 2, 0); !errors.Is(err, ErrNotFinite) {
		t.Errorf("NaN at an end: %v", err)
	}
	hole := func(x float64) float64 {
		if math.Abs(x) < 0.9 {
			return math.NaN()
		}
		return x
	}
	if _, _, err := Find(hole, -1, 1, 0); !errors.Is(err, ErrNotFinite) {
		t.Errorf("NaN inside: %v", err)
	}
}

// Every rising power curve is solved to the tolerance, from any bracket.
func TestFindAnyPower(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.Float64Range(0.01, 1e4).Draw(t, "root")
		n := rapid.Float64Range(0.3, 3).Draw(t, "exponent")
		hi := want * rapid.Float64Range(1, 100).Draw(t, "above")
		f := func(x float64) float64 { return math.Pow(x, n) - math.Pow(want, n) }
		x, steps, err := Find(f, 0, hi, 1e-12*want)
		if err != nil || math.Abs(x-want) > 1e-11*want {
			t.Fatalf("%g after %d steps, %v; want %g", x, steps, err, want)
		}
	})
}

func TestFindAllocatesNothing(t *testing.T) {
	k := 2.0
	if n := testing.AllocsPerRun(100, func() {
		_, _, _ = Find(func(x float64) float64 { return x*x - k }, 0, 2, 0)
	}); n != 0 {
		t.Errorf("%g allocations", n)
	}
}
