package seal

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func drawConstants(t *rapid.T) Constants {
	return Constants{GapScale: rapid.Float64Range(5e-6, 400e-6).Draw(t, "u0"),
		Closing:     rapid.Float64Range(20, 3000).Draw(t, "p*"),
		FlapLifting: rapid.Float64Range(1e4, 1e7).Draw(t, "kf"), LossFactor: 1.5}
}

// TestGapLaw: closed above the closing stress, and otherwise opening without a
// step as the margin falls.
func TestGapLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawConstants(t)
		margin := rapid.Float64Range(-6000, 4000)
		a, b := margin.Draw(t, "a"), margin.Draw(t, "b")
		if a > b {
			a, b = b, a
		}
		if c.Gap(a) < c.Gap(b)*(1-1e-9) || c.Gap(b) < 0 || b >= c.Closing && c.Gap(b) != 0 {
			t.Errorf("%g m at %g Pa, %g m at %g Pa", c.Gap(a), a, c.Gap(b), b)
		}
		for _, s := range []float64{c.Closing, c.GapScale * c.FlapLifting} {
			const step = 1e-6
			// The law is nowhere steeper than the flap or the closing end.
			most := 2 * step * max(1/c.FlapLifting, c.GapScale/c.Closing) * 1.01
			if jump := c.Gap(s-step) - c.Gap(s+step); jump > most {
				t.Errorf("at %g Pa the gap jumps by %g m", s, jump)
			}
		}
	})
}

// TestGapJoin: where the flap begins to lift, both laws have one slope, -1/kf.
func TestGapJoin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawConstants(t)
		join, h := c.GapScale*c.FlapLifting, 1e-4*c.GapScale*c.FlapLifting
		if join+h >= c.Closing {
			return
		}
		below, above := (c.Gap(join-h)-c.Gap(join))/h, (c.Gap(join)-c.Gap(join+h))/h
		if want := 1 / c.FlapLifting; math.Abs(below/want-1) > 1e-6 || math.Abs(above/want-1) > 1e-3 {
			t.Errorf("slopes %g and %g, want %g m/Pa", below, above, want)
		}
	})
}

// TestSegmentGap: a receding skin never narrows the gap; hair keeps its own,
// and beyond the flap's reach the plain distance is part of it.
func TestSegmentGap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, pressure := drawSegment(t)
		c := drawConstants(t)
		gap := func(d float64) float64 { return s.gap(&c, d, s.contact(d, pressure)-pressure) }
		a, b := depth.Draw(t, "a"), depth.Draw(t, "b")
		if a > b {
			a, b = b, a
		}
		if gap(a) < gap(b)*(1-1e-9) || gap(b) < s.Hair {
			t.Errorf("%g m at %g m, %g m at %g m", gap(a), a, gap(b), b)
		}
		if beyond := -a - s.FlapReach; beyond > 0 && pressure > 0 && gap(a) < beyond {
			t.Errorf("the skin is %g m beyond the flap, the gap %g m", beyond, gap(a))
		}
	})
}

type slot struct{ h, w, b, pressure, loss float64 }

func (s slot) flow(g Gas) float64 { return Slot(s.h, s.w, s.b, s.pressure, s.loss, g) }

func drawSlot(t *rapid.T) (slot, Gas) {
	return slot{h: math.Pow(10, rapid.Float64Range(-8, -2).Draw(t, "height")), w: rapid.Float64Range(1e-4, 0.3).Draw(t, "width"),
			b: rapid.Float64Range(1e-3, 2e-2).Draw(t, "length"), pressure: rapid.Float64Range(0.1, 6000).Draw(t, "pressure"),
			loss: rapid.Float64Range(0, 3).Draw(t, "loss")},
		Gas{Density: rapid.Float64Range(0.8, 1.3).Draw(t, "density"), Viscosity: 1.86e-5}
}

// TestSlotObeysItsEquation: put back, the flow takes just the pressure.
func TestSlotObeysItsEquation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, g := drawSlot(t)
		q, v := s.flow(g), s.flow(g)/(s.h*s.w)
		takes := 12*g.Viscosity*s.b*q/(s.h*s.h*s.h*s.w) + s.loss*g.Density/2*v*v
		if math.Abs(takes/s.pressure-1) > 1e-9 {
			t.Errorf("%+v: %g m3/s takes %g Pa", s, q, takes)
		}
		wider, harder := s, s
		wider.h *= 1.1
		harder.pressure *= 1.1
		if wider.flow(g) <= q || harder.flow(g) <= q {
			t.Errorf("%+v: a wider slot or more pressure passes no more", s)
		}
	})
}

// TestSlotLimits: nothing through nothing; a hair's breadth is Poiseuille's, a
// wide slot an orifice's.
func TestSlotLimits(t *testing.T) {
	g := Gas{Density: 1.15, Viscosity: 1.86e-5}
	for _, s := range []slot{{0, 0.02, 5e-3, 1000, 1.5}, {-1e-4, 0.02, 5e-3, 1000, 1.5}, {1e-4, 0.02, 5e-3, 0, 1.5}, {1e-4, 0.02, 5e-3, -1, 1.5}} {
		if q := s.flow(g); q != 0 {
			t.Errorf("%+v passes %g", s, q)
		}
	}
	narrow := slot{1e-7, 0.02, 5e-3, 1000, 1.5}
	if want := 1000 * 1e-21 * 0.02 / (12 * g.Viscosity * 5e-3); math.Abs(narrow.flow(g)/want-1) > 1e-6 {
		t.Errorf("a narrow slot passes %g, want %g m3/s", narrow.flow(g), want)
	}
	wide := slot{0.1, 0.02, 5e-3, 1000, 1.5}
	if want := 0.1 * 0.02 * math.Sqrt(2*1000/(1.5*g.Density)); math.Abs(wide.flow(g)/want-1) > 1e-3 {
		t.Errorf("a wide slot passes %g, want %g m3/s", wide.flow(g), want)
	}
}
