package airway

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/root"
	"tautline/model/unit"
)

// worn puts an invented mask on an average face.
func worn(t testing.TB, kind mask.Type, pull unit.Force) *fit.Fitting {
	t.Helper()
	m, err := mask.Find(kind, "medium")
	if err != nil {
		t.Fatal(err)
	}
	at, _ := fit.FindPosition("on the back")
	f, err := fit.PutOn(fit.NewCase(m, face.Average(), pull, at))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// kinds with straps of which the first leak at the seal in therapy.
var kinds = []struct {
	kind mask.Type
	pull unit.Force
}{{mask.Nasal, 1.5}, {mask.Nasal, 3.43}, {mask.Oronasal, 4}, {mask.Pillows, 2}}

func drawSetup(t *rapid.T, kind mask.Type) Setup {
	low := unit.Pressure(rapid.Float64Range(3, 16).Draw(t, "low")) * unit.CmH2O
	s := NewSetup(Constant(low))
	if rapid.Bool().Draw(t, "two levels") {
		s.Source = TwoLevels(low, low+unit.Pressure(rapid.Float64Range(1, 8).Draw(t, "support"))*unit.CmH2O)
	}
	if rapid.Bool().Draw(t, "REM") {
		s.Breathing = SleepingREM()
	}
	s.Mouth, s.Nose = drawMouth(t).Behind(kind), drawNose(t)
	if rapid.Bool().Draw(t, "chin strap") {
		s.Mouth = s.Mouth.WithChinStrap()
	}
	s.TestLeak = TestLeak{At10: unit.Flow(rapid.Float64Range(0, 30).Draw(t, "test leak")) * unit.LPerMin,
		When: rapid.SampledFrom(Whens()).Draw(t, "when")}
	s.Breaths = 1
	return s
}

// What comes goes, to a millionth, over whole breaths of any kind; and the
// estimator by whole breaths reads the true leak, whenever it happens.
func TestNothingIsLostOverWholeBreaths(t *testing.T) {
	for _, k := range kinds {
		f := worn(t, k.kind, k.pull)
		rapid.Check(t, func(t *rapid.T) {
			s := drawSetup(t, k.kind)
			r, err := Run(f, s)
			if err != nil {
				t.Fatal(err)
			}
			if !(r.Imbalance < 1e-6) {
				t.Fatalf("%g of the flow is lost", r.Imbalance)
			}
			if off := r.Estimates[0].Off.LPerMin(); math.Abs(off) > 0.01 {
				t.Fatalf("the whole breath is off by %g L/min", off)
			}
			instants(t, f, &r)
		})
	}
}

// instants holds every sample to laws of its own: the hose's loss at the total
// flow, the nose's at what passes it, and the lung's at what is left.
func instants(t *rapid.T, f *fit.Fitting, r *Result) {
	c := &f.Case
	for _, s := range r.Samples {
		sum := s.Vent + s.Leak + s.Mouth + s.Lung
		if math.Abs(float64(sum-s.Total)) > 1e-12 {
			t.Fatalf("at %v %v come and %v go", s.Time, s.Total, sum)
		}
		lost := c.Circuit.Loss(s.Total, c.Gas)
		if s.Total < c.Circuit.MaxFlow && math.Abs(float64(s.Set-lost-s.Mask)) > 1e-6 {
			t.Fatalf("at %v the hose takes %v of %v and leaves %v", s.Time, lost, s.Set, s.Mask)
		}
		drop := r.Setup.Nose.Drop(s.Mouth + s.Lung)
		if open := r.Setup.Mouth.Inside && r.Setup.Mouth.Open; open {
			drop = parallel(&r.Setup, s.Lung)
		}
		if math.Abs(float64(s.Mask-drop-s.Pharynx)) > 1e-6 {
			t.Fatalf("at %v the way in takes %v of %v and leaves %v", s.Time, drop, s.Mask, s.Pharynx)
		}
	}
}

// parallel is the loss of a nose beside an open mouth, by search.
func parallel(s *Setup, q unit.Flow) unit.Pressure {
	by, _, err := root.Find(func(x float64) float64 {
		return x/float64(s.Mouth.Parted) + float64(noseFlow(s.Nose, x)) - float64(q)
	}, -1e6, 1e6, 1e-9)
	if err != nil {
		return unit.Pressure(math.NaN())
	}
	return unit.Pressure(by)
}

func noseFlow(n Nose, drop float64) float64 {
	q, _, err := root.Find(func(q float64) float64 { return float64(n.Drop(unit.Flow(q))) - drop }, -1, 1, 1e-15)
	if err != nil {
		return math.NaN()
	}
	return q
}

// A hundred times the exactness moves no figure by a thousandth of a tidal
// volume a minute, and no pressure by a hundredth of a cmH2O.
func TestStepAgainstAFinerOne(t *testing.T) {
	for _, k := range kinds {
		f := worn(t, k.kind, k.pull)
		for _, source := range []Source{Constant(7 * unit.CmH2O), TwoLevels(4*unit.CmH2O, 14*unit.CmH2O)} {
			s := NewSetup(source)
			s.Mouth = s.Mouth.Behind(k.kind)
			coarse, err := run(f, s, usual)
			fine, err2 := run(f, s, precision{usual.tolerance / 1000, usual.longest / 8})
			if err := errors.Join(err, err2); err != nil {
				t.Fatal(err)
			}
			near(t, "mouth leak", coarse.Mouth.LPerMin(), fine.Mouth.LPerMin(), 0.005)
			near(t, "seal leak", coarse.Leak.LPerMin(), fine.Leak.LPerMin(), 0.005)
			near(t, "minute volume", coarse.Minute.LPerMin(), fine.Minute.LPerMin(), 0.005)
			near(t, "mean pressure", coarse.MaskMean.CmH2O(), fine.MaskMean.CmH2O(), 0.002)
			near(t, "swing", coarse.Swing.CmH2O(), fine.Swing.CmH2O(), 0.01)
			near(t, "mouth-leak time", coarse.MouthTime.Percent(), fine.MouthTime.Percent(), 0.5)
			if fine.Steps < 3*coarse.Steps {
				t.Errorf("%d steps against %d: the finer one is none", fine.Steps, coarse.Steps)
			}
		}
	}
}

// The leak at one pressure is that of whole breaths: to 5 % and 1.3 L/min, the
// most where breathing alone parts the lips.
func TestMouthLeakAgainstBreaths(t *testing.T) {
	f := worn(t, mask.Nasal, 3.43)
	for p := 4.0; p <= 20; p += 1 {
		for _, m := range []Mouth{ClosedMouth(), ClosedMouth().WithChinStrap(), OpenMouth()} {
			for _, n := range []Nose{RestedNose(), RestedNose().After(10*unit.Minute, 1)} {
				s := NewSetup(Constant(unit.Pressure(p) * unit.CmH2O))
				s.Mouth, s.Nose, s.Breaths = m, n, 1
				r, err := Run(f, s)
				if err != nil {
					t.Fatal(err)
				}
				quick := MouthLeak(r.MaskMean, m, n).LPerMin()
				if off := math.Abs(quick - r.Mouth.LPerMin()); off > 1.3+0.05*r.Mouth.LPerMin() {
					t.Errorf("%g cmH2O, %+v, nose %v: %.3g L/min at once, %.3g over breaths", p, m, n.Resistance(), quick, r.Mouth.LPerMin())
				}
			}
		}
	}
}

// The table's leak is the frame's own.
func TestSealTableAgainstTheFrame(t *testing.T) {
	for _, k := range kinds {
		f := worn(t, k.kind, k.pull)
		table, err := NewSealTable(f, 20*unit.CmH2O)
		if err != nil {
			t.Fatal(err)
		}
		before := unit.Flow(0)
		for p := 0.13; p < 20; p += 0.37 {
			at := unit.Pressure(p) * unit.CmH2O
			q, err := f.Problem().Balance(f.Settled(), f.Settled(), float64(at))
			if err != nil {
				t.Fatal(err)
			}
			want, got := unit.Flow(f.Problem().Leak(q, float64(at))), table.At(at)
			if got < before {
				t.Errorf("%s: the table falls at %v", k.kind, at)
			}
			near(t, string(k.kind)+" leak at "+at.String(), got.LPerMin(), want.LPerMin(), 0.03+0.01*want.LPerMin())
			before = got
		}
	}
}

// A chin strap never adds mouth leak, a swollen nose neither; a dropped jaw
// behind an oronasal mask adds seal leak and no mouth leak.
func TestDirections(t *testing.T) {
	nasal, oronasal := worn(t, mask.Nasal, 3.43), worn(t, mask.Oronasal, 6)
	at := func(f *fit.Fitting, p float64, m Mouth) Result {
		s := NewSetup(Constant(unit.Pressure(p) * unit.CmH2O))
		s.Mouth = m.Behind(f.Case.Mask.Type)
		r, err := Run(f, s)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	for _, p := range []float64{5, 8, 12, 16} {
		plain, strapped := at(nasal, p, ClosedMouth()), at(nasal, p, ClosedMouth().WithChinStrap())
		if strapped.Mouth > plain.Mouth || strapped.MouthTime > plain.MouthTime {
			t.Errorf("at %g a chin strap adds mouth leak", p)
		}
	}
	shut, dropped := at(oronasal, 12, ClosedMouth()), at(oronasal, 12, OpenMouth())
	held := at(oronasal, 12, OpenMouth().WithChinStrap())
	if !(shut.Leak < held.Leak && held.Leak < dropped.Leak) || dropped.Mouth != 0 {
		t.Errorf("chin seal: %v shut, %v held, %v dropped", shut.Leak, held.Leak, dropped.Leak)
	}
}

func TestRefusals(t *testing.T) {
	f := worn(t, mask.Nasal, 3.43)
	for name, change := range map[string]func(*Setup){
		"levels upside down": func(s *Setup) { s.Source.Inspiration = 3 * unit.CmH2O },
		"rise too slow": func(s *Setup) {
			s.Source = TwoLevels(4*unit.CmH2O, 8*unit.CmH2O)
			s.Source.Rise = 1.9
		},
		"no breath":       func(s *Setup) { s.Breathing = Breathing{} },
		"no nose":         func(s *Setup) { s.Nose = Nose{} },
		"no mouth":        func(s *Setup) { s.Mouth = Mouth{} },
		"pressure beyond": func(s *Setup) { s.Source = Constant(70 * unit.CmH2O) },
		"not a number":    func(s *Setup) { s.Breathing.Minute = unit.Flow(math.NaN()) },
		"no breaths":      func(s *Setup) { s.Breaths = 0 },
	} {
		s := NewSetup(Constant(8 * unit.CmH2O))
		if change(&s); s.Check() == nil {
			t.Errorf("%s is let pass", name)
		}
		if _, err := Run(f, s); err == nil {
			t.Errorf("%s is answered", name)
		}
	}
}

// The pair of third and second order against a decay with a known end.
func TestStepper(t *testing.T) {
	for _, tolerance := range []float64{1e-4, 1e-6, 1e-8} {
		s := stepper{tolerance: tolerance, longest: 1, step: 0.1,
			f: func(t float64, y *vector) (d vector, err error) { d[0] = -3 * y[0]; d[1] = math.Cos(t); return }}
		s.scale[0], s.scale[1] = 1, 1
		y, err := s.advance(0, 2, vector{1}, func(float64, *vector) {})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "decay", y[0], math.Exp(-6), 5*tolerance)
		near(t, "sine", y[1], math.Sin(2), 5*tolerance)
	}
	s := stepper{tolerance: 1e-6, longest: 1, step: 0.1, f: func(t float64, y *vector) (vector, error) {
		return vector{math.NaN()}, ErrStep
	}}
	if _, err := s.advance(0, 1, vector{1}, func(float64, *vector) {}); err == nil {
		t.Error("a rate that fails is answered")
	}
}

// BenchmarkRun is one answer: three breaths behind a nasal mask with a mouth
// leak, settled and recorded, with the seal's table.
func BenchmarkRun(b *testing.B) {
	f := worn(b, mask.Nasal, 3.43)
	s := NewSetup(Constant(8 * unit.CmH2O))
	b.ReportAllocs()
	for b.Loop() {
		r, err := Run(f, s)
		if err != nil {
			b.Fatal(err)
		}
		sink = r.Mouth
	}
}

// BenchmarkRunTwoLevels is the same at two levels.
func BenchmarkRunTwoLevels(b *testing.B) {
	f := worn(b, mask.Nasal, 3.43)
	s := NewSetup(TwoLevels(4*unit.CmH2O, 14*unit.CmH2O))
	for b.Loop() {
		r, err := Run(f, s)
		if err != nil {
			b.Fatal(err)
		}
		sink = r.Mouth
	}
}
