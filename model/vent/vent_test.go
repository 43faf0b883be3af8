package vent

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/gas"
	"tautline/model/unit"
)

// power gives points on k P^n exactly.
func power(k, n float64, at ...float64) []Point {
	var out []Point
	for _, p := range at {
		out = append(out, Point{unit.Pressure(p) * unit.CmH2O, unit.Flow(k*math.Pow(p, n)) * unit.LPerMin})
	}
	return out
}

func must(t testing.TB, v Vent, err error) Vent {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func curveOf(t testing.TB, points []Point) Vent {
	v, err := FromPoints(points, gas.AtBench())
	return must(t, v, err)
}

func holesOf(t testing.TB) Vent {
	v, err := FromGeometry(Holes{20, 1.1 * unit.Mm, 2.2 * unit.Mm})
	return must(t, v, err)
}

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got/want-1) <= rel) {
		t.Errorf("%s: %.7g, want %.7g to %.1g", what, got, want, rel)
	}
}

// A power law is found again, with no scatter, and followed beyond the ends.
func TestFitFindsAPowerLaw(t *testing.T) {
	v := curveOf(t, power(11.2, 0.53, 4, 6, 10, 15, 20))
	f := v.Fit()
	near(t, "exponent", f.Exponent, 0.53, 1e-12)
	near(t, "K", f.K.LPerMin(), 11.2, 1e-12)
	if f.ExponentSE > 1e-12 || f.KSE.LPerMin() > 1e-11 {
		t.Errorf("standard errors of exact points: %+v", f)
	}
	for _, p := range []float64{1, 30} {
		q, beyond := v.Flow(unit.Pressure(p) * unit.CmH2O)
		near(t, "beyond the points", q.LPerMin(), 11.2*math.Pow(p, 0.53), 1e-12)
		if !beyond {
			t.Errorf("%g cmH2O is not said to be extrapolated", p)
		}
	}
}

// Standard errors by hand: three points at ln P = -1, 0, 1 with ln Q = 0, 0.6, 1
// give n = 0.5, residuals -1/30, 2/30, -1/30, s^2 = 6/900, Sxx = 2.
func TestFitStandardErrors(t *testing.T) {
	var points []Point
	for _, c := range [][2]float64{{-1, 0}, {0, 0.6}, {1, 1}} {
		points = append(points, Point{unit.Pressure(math.Exp(c[0])) * unit.CmH2O, unit.Flow(math.Exp(c[1])) * unit.LPerMin})
	}
	f := curveOf(t, points).Fit()
	s := math.Sqrt(6.0 / 900)
	near(t, "exponent", f.Exponent, 0.5, 1e-12)
	near(t, "its error", f.ExponentSE, s/math.Sqrt2, 1e-9)
	near(t, "error of K", float64(f.KSE/f.K), s/math.Sqrt(3), 1e-9)
}

func TestFromPointsRefuses(t *testing.T) {
	good := power(11, 0.5, 4, 8, 12, 16)
	with := func(i int, p Point) []Point {
		out := append([]Point(nil), good...)
		out[i] = p
		return out
	}
	for name, c := range map[string]struct {
		points []Point
		index  int
	}{
		"falls":             {with(2, Point{12 * unit.CmH2O, 20 * unit.LPerMin}), 2},
		"repeats":           {with(2, Point{8 * unit.CmH2O, 33 * unit.LPerMin}), 2},
		"goes back":         {with(2, Point{7 * unit.CmH2O, 33 * unit.LPerMin}), 2},
		"negative flow":     {with(1, Point{8 * unit.CmH2O, -1}), 1},
		"negative pressure": {with(0, Point{-1, 1}), 0},
		"NaN":               {with(1, Point{8 * unit.CmH2O, unit.Flow(math.NaN())}), 1},
		"infinite":          {with(3, Point{unit.Pressure(math.Inf(1)), 1}), 3},
		"no flow":           {with(0, Point{4 * unit.CmH2O, 0}), 0},
		"flow at rest":      {with(0, Point{0, 1 * unit.LPerMin}), 0},
		"far pressure":      {with(3, Point{1600 * unit.CmH2O, 50 * unit.LPerMin}), 3},
		"far flow":          {with(3, Point{16 * unit.CmH2O, 5000 * unit.LPerMin}), 3},
	} {
		_, err := FromPoints(c.points, gas.AtBench())
		if e := (*PointError)(nil); !errors.As(err, &e) || e.Index != c.index {
			t.Errorf("%s: %v", name, err)
		}
	}
	few := append([]Point{{0, 0}}, good[:2]...)
	if e := (*TooFewError)(nil); true {
		if _, err := FromPoints(few, gas.AtBench()); !errors.As(err, &e) || e.Points != 2 {
			t.Errorf("two points and zero: %v", err)
		}
	}
	if _, err := FromPoints(nil, gas.AtBench()); err == nil {
		t.Error("no points pass for a curve")
	}
	if _, err := FromPoints(good, gas.State{}); err == nil {
		t.Error("no gas passes for a gas")
	}
}

// A measured zero is the start of the curve, and nothing there is extrapolated.
func TestZeroPointIsMeasured(t *testing.T) {
	v := curveOf(t, append([]Point{{0, 0}}, power(11, 0.5, 4, 8, 12)...))
	q, beyond := v.Flow(1 * unit.CmH2O)
	near(t, "below the first point", q.LPerMin(), 11, 1e-9)
	if beyond {
		t.Error("between a measured zero and the first point is said to be extrapolated")
	}
}

// drawVent gives any curve that is not refused, or any holes.
func drawVent(t *rapid.T) Vent {
	if rapid.Bool().Draw(t, "holes") {
		d := rapid.Float64Range(0.3, 3).Draw(t, "d")
		h := Holes{rapid.IntRange(1, 60).Draw(t, "n"), unit.Length(d) * unit.Mm,
			unit.Length(d*rapid.Float64Range(0.2, 9.9).Draw(t, "l/d")) * unit.Mm}
		v, err := FromGeometry(h)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	var points []Point
	p, q := 0.0, 0.0
	for range rapid.IntRange(3, 12).Draw(t, "points") {
		p += rapid.Float64Range(0.5, 5).Draw(t, "dp")
		q += rapid.Float64Range(0, 15).Draw(t, "dq") + 1e-3
		points = append(points, Point{unit.Pressure(p) * unit.CmH2O, unit.Flow(q) * unit.LPerMin})
	}
	v, err := FromPoints(points, gas.AtBench())
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Flow rises with pressure, is continuous, starts at zero and turns round.
func TestFlowLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := drawVent(t)
		if q, _ := v.Flow(0); q != 0 {
			t.Fatalf("%v at rest", q)
		}
		a := unit.Pressure(rapid.Float64Range(0, 60).Draw(t, "p")) * unit.CmH2O
		b := a + unit.Pressure(rapid.Float64Range(0, 10).Draw(t, "more"))*unit.CmH2O
		qa, _ := v.Flow(a)
		qb, _ := v.Flow(b)
		if qb < qa*(1-1e-12) {
			t.Fatalf("%v at %v, %v at %v", qa, a, qb, b)
		}
		if back, _ := v.Flow(-a); back != -qa {
			t.Fatalf("%v at %v but %v at %v", qa, a, back, -a)
		}
	})
}

// No jump anywhere: at the ends of the points, at the nodes, at a hole's Re 10.
func TestFlowIsContinuous(t *testing.T) {
	for name, v := range map[string]Vent{"curve": curveOf(t, power(11, 0.55, 4, 7, 9, 20)), "holes": holesOf(t)} {
		last := 0.0
		for p := 0.0; p < 40; p += 1e-3 {
			q, _ := v.Flow(unit.Pressure(p) * unit.CmH2O)
			if q.LPerMin()-last > 0.5 {
				t.Fatalf("%s jumps from %g to %v at %g cmH2O", name, last, q, p)
			}
			last = q.LPerMin()
		}
	}
}

// Blocking takes its share, twice blocked counts twice, and another gas does
// not open what was blocked.
func TestBlockedTakesItsShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := drawVent(t)
		s := rapid.Float64Range(0, 1).Draw(t, "share")
		p := unit.Pressure(rapid.Float64Range(1, 30).Draw(t, "p")) * unit.CmH2O
		full, _ := v.Flow(p)
		part, _ := v.Blocked(unit.Fraction(s)).Flow(p)
		if d := float64(part - full*unit.Flow(1-s)); math.Abs(d) > 1e-12*float64(full) {
			t.Fatalf("%v open, %v with %g blocked", full, part, s)
		}
		high, _ := gas.AtMask().AtAltitude(2000)
		a, _ := v.Blocked(0.5).In(high).Flow(p)
		b, _ := v.In(high).Blocked(0.5).Flow(p)
		if math.Abs(float64(a/b-1)) > 1e-12 {
			t.Fatalf("order of blocking and gas matters: %v, %v", a, b)
		}
	})
}

// The gas can be changed and changed back.
func TestInIsReversible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := drawVent(t)
		high, _ := gas.AtMask().AtAltitude(2500)
		p := unit.Pressure(rapid.Float64Range(1, 30).Draw(t, "p")) * unit.CmH2O
		a, _ := v.Flow(p)
		b, _ := v.In(high).In(v.Gas()).Flow(p)
		if a != b {
			t.Fatalf("%v became %v", a, b)
		}
		if n := v.Fit().Exponent; Rescale(n, gas.AtMask(), high) < 0.99 {
			t.Fatalf("thin air passes less at the exponent %g", n)
		}
	})
}

// The closed form of a hole's flow against plain iteration on Discharge.
func TestHolesAgainstIteration(t *testing.T) {
	v := holesOf(t)
	rho, mu := float64(v.Gas().Density()), float64(v.Gas().Viscosity())
	for _, p := range []float64{0.2, 1, 4, 10, 20, 40} {
		ideal := math.Sqrt(2 * p * float64(unit.CmH2O) / rho)
		cd := 0.8
		for range 200 {
			cd = Discharge(rho*cd*ideal*1.1e-3/mu, 2)
		}
		q, _ := v.Flow(unit.Pressure(p) * unit.CmH2O)
		near(t, "flow", float64(q), cd*ideal*20*math.Pi/4*1.1e-3*1.1e-3, 1e-9)
	}
}

func TestFromGeometryRefuses(t *testing.T) {
	for _, h := range []Holes{{}, {20, 0, 2e-3}, {20, 1e-3, 0}, {-1, 1e-3, 2e-3}, {20, 1e-3, 11e-3},
		{20, unit.Length(math.NaN()), 2e-3}, {20, 1, 1}} {
		if _, err := FromGeometry(h); err == nil {
			t.Errorf("%+v passes for a vent", h)
		}
	}
}

// At the floor and above, the vent takes the whole breath before the next one;
// less flow never leaves less behind.
func TestLeftIsMonotone(t *testing.T) {
	b := Sleeping()
	last := unit.Fraction(1)
	for q := 0.0; q < 60; q++ {
		left := b.Left(unit.Flow(q) * unit.LPerMin)
		if left > last+1e-9 || left < 0 {
			t.Fatalf("%v left at %g L/min, %v before", left, q, last)
		}
		last = left
	}
	if b.Left(b.Floor()/2) < 0.25 {
		t.Error("half the floor leaves too little behind")
	}
	if last > 0.01 {
		t.Errorf("%v left at a large flow", last)
	}
}

func TestFlowAllocatesNothing(t *testing.T) {
	for name, v := range map[string]Vent{"curve": curveOf(t, power(11, 0.55, 4, 7, 9, 20)), "holes": holesOf(t)} {
		if n := testing.AllocsPerRun(100, func() { v.Flow(1000) }); n != 0 {
			t.Errorf("%s: %g allocations", name, n)
		}
	}
}

func TestParametersLieInTheirRange(t *testing.T) {
	for _, p := range Parameters() {
		if err := p.Check(p.SI()); err != nil {
			t.Error(err)
		}
	}
}

func BenchmarkCurveFlow(b *testing.B) {
	v := curveOf(b, power(11, 0.55, 4, 7, 9, 12, 16, 20))
	for b.Loop() {
		v.Flow(1234)
	}
}

func BenchmarkHolesFlow(b *testing.B) {
	v := holesOf(b)
	for b.Loop() {
		v.Flow(1234)
	}
}

func TestPressureForTurnsFlowRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := drawVent(t)
		want := unit.Pressure(rapid.Float64Range(0.5, 60).Draw(t, "p")) * unit.CmH2O
		q, _ := v.Flow(want)
		p, ok := v.PressureFor(q)
		if back, _ := v.Flow(p); !ok || math.Abs(float64(back-q)) > 1e-9*float64(q) {
			t.Fatalf("%v at %v, %v at %v", q, want, back, p)
		}
	})
	if _, ok := holesOf(t).PressureFor(500 * unit.LPerMin); ok {
		t.Error("20 small holes are said to pass 500 L/min")
	}
}
