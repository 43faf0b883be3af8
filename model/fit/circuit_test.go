package fit

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"tautline/model/root"
	"tautline/model/seal"
	"tautline/model/unit"
)

// hoseFlow gives the flow at which the case's circuit delivers a pressure: the
// hose seen from the machine, without the mask.
func hoseFlow(t *testing.T, c *Case, set, mask unit.Pressure) unit.Flow {
	t.Helper()
	q, _, err := root.Find(func(q float64) float64 {
		flow := unit.Flow(q)
		droop := c.Circuit.Droop * unit.Pressure(max(0, (flow-c.Circuit.MaxFlow).LPerMin()))
		return float64(set - droop - c.Circuit.Loss(flow, c.Gas) - mask)
	}, 0, float64(2000*unit.LPerMin), 0)
	if err != nil {
		t.Fatalf("no flow takes the pressure from %v to %v: %v", set, mask, err)
	}
	return unit.Flow(q)
}

// TestNothingIsLost: what flows through the hose leaves by vent and seal, and
// the point adds up within itself.
func TestNothingIsLost(t *testing.T) {
	eachRandom(t, 200, func(r *rand.Rand, f *Fitting, _ float64) {
		set := unit.Pressure(3+20*r.Float64()) * unit.CmH2O
		p, err := f.At(set)
		if errors.Is(err, seal.ErrTips) {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		hose, out := hoseFlow(t, &f.Case, set, p.Mask), p.Vent+p.Leak
		if off := math.Abs(float64(hose/out) - 1); off > 1e-9 {
			t.Errorf("%v set: %v through the hose, %v out, off by %g", set, hose, out, off)
		}
		leak, push := unit.Flow(0), unit.Force(0)
		for _, s := range p.Sites {
			leak += s.Leak
		}
		for _, s := range p.Segments {
			push += unit.Force(float64(s.Contact) * float64(s.Length) * float64(s.Width))
		}
		if math.Abs(float64(leak-p.Leak)) > 1e-9*float64(p.Leak) || math.Abs(float64(push-p.Push)) > 1e-9*float64(p.Push) {
			t.Errorf("sites leak %v of %v, segments push %v of %v", leak, p.Leak, push, p.Push)
		}
	})
}

// TestMorePressure: more at the machine never brings less to the mask, never
// less vent flow and never less leak, whatever the hose takes on the way.
func TestMorePressure(t *testing.T) {
	eachRandom(t, 150, func(r *rand.Rand, f *Fitting, _ float64) {
		if r.IntN(2) == 0 {
			f.Case.Circuit.Compensates = true
		}
		if r.IntN(3) == 0 {
			f.Case.Circuit.Hose.Diameter = 15 * unit.Mm
			f.Case.Circuit.MaxFlow = 60 * unit.LPerMin
		}
		var last Point
		for set := 2 * unit.CmH2O; set < 25*unit.CmH2O; set += 1.5 * unit.CmH2O {
			mask, q, err := f.arrive(set)
			if errors.Is(err, seal.ErrTips) {
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			p := Point{Set: set, Mask: mask}
			f.describe(&p, q)
			const rounding = 1 - 1e-9
			if p.Mask > set*(2-rounding) || p.Mask < last.Mask*rounding || p.Vent < last.Vent*rounding || p.Leak < last.Leak*rounding-1e-15 {
				t.Errorf("%s: %v set brings %v, %v, %v; %v set brings %v, %v, %v", f.Case.Mask.Name,
					last.Set, last.Mask, last.Vent, last.Leak, p.Set, p.Mask, p.Vent, p.Leak)
			}
			last = p
		}
	})
}

// TestWhatArrivesCanBeDescribed: where a balance is found at the set pressure,
// nothing that is sought at other pressures spoils the answer.
func TestWhatArrivesCanBeDescribed(t *testing.T) {
	eachRandom(t, 2000, func(r *rand.Rand, f *Fitting, _ float64) {
		set := unit.Pressure(3+10*r.Float64()) * unit.CmH2O
		if _, _, err := f.arrive(set); err != nil {
			return
		}
		if _, err := f.At(set); err != nil {
			t.Errorf("%s, %v of pull: %v is reached, yet %v", f.Case.Mask.Name, f.Case.Total(), set, err)
		}
	})
}
