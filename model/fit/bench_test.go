package fit

import (
	"context"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"

	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/skin"
	"tautline/model/unit"
)

func benchCase(b *testing.B) *Fitting {
	b.Helper()
	m, err := mask.Find(mask.Oronasal, "medium")
	if err != nil {
		b.Fatal(err)
	}
	at, _ := FindPosition("on the back")
	f, err := PutOn(NewCase(m, face.Average(), 3.43, at))
	if err != nil {
		b.Fatal(err)
	}
	return f
}

// BenchmarkFit is one fit: straps set, frame balanced at zero pressure and at
// 12 cmH2O, leak summed over 96 segments.
func BenchmarkFit(b *testing.B) {
	p := benchCase(b).problem
	pressure := float64(12 * unit.CmH2O)
	b.ReportAllocs()
	for b.Loop() {
		set, err := p.Settle()
		if err != nil {
			b.Fatal(err)
		}
		q, err := p.Balance(set, set, pressure)
		if err != nil {
			b.Fatal(err)
		}
		sink = p.Leak(q, pressure)
	}
}

var sink float64

// BenchmarkFitWithCircuit adds machine, hose and vent.
func BenchmarkFitWithCircuit(b *testing.B) {
	f := benchCase(b)
	b.ReportAllocs()
	for b.Loop() {
		p, _, err := f.arrive(12 * unit.CmH2O)
		if err != nil {
			b.Fatal(err)
		}
		sink = float64(p)
	}
}

// BenchmarkStrapSweep is 30 strap forces at one mask pressure.
func BenchmarkStrapSweep(b *testing.B) {
	f := benchCase(b)
	p := *f.problem
	p.Straps = append([]seal.Strap(nil), p.Straps...)
	pressure := float64(12 * unit.CmH2O)
	b.ReportAllocs()
	for b.Loop() {
		for i := range 30 {
			for k := range p.Straps {
				p.Straps[k].Pull = f.problem.Straps[k].Pull * (0.3 + 0.1*float64(i))
			}
			set, err := p.Settle()
			if err != nil {
				b.Fatal(err)
			}
			q, err := p.Balance(set, set, pressure)
			if err != nil {
				b.Fatal(err)
			}
			sink = p.Leak(q, pressure)
		}
	}
}

// BenchmarkStrapSweepWithCircuit is the same through machine and hose.
func BenchmarkStrapSweepWithCircuit(b *testing.B) {
	f := benchCase(b)
	b.ReportAllocs()
	for b.Loop() {
		for i := range 30 {
			s := f.Case.Straps
			s.Pull *= unit.Force(0.3 + 0.1*float64(i))
			g, err := f.WithStraps(s)
			if err != nil {
				b.Fatal(err)
			}
			p, _, err := g.arrive(12 * unit.CmH2O)
			if err != nil {
				b.Fatal(err)
			}
			sink = float64(p)
		}
	}
}

// BenchmarkAsk is a whole answer: 29 rows, windows and options.
func BenchmarkAsk(b *testing.B) {
	f := benchCase(b)
	line, _ := skin.Chosen(80 * unit.MmHg)
	q := Question{Case: f.Case, Pressure: 12 * unit.CmH2O, Range: [2]unit.Pressure{4 * unit.CmH2O, 16 * unit.CmH2O},
		Limit: 24 * unit.LPerMin, Line: line, Between: UsualBetween()}
	a := Axis{Variable: ByStraps}
	for i := range 29 {
		a.Numbers = append(a.Numbers, 1+0.25*float64(i))
	}
	q.Axes = []Axis{a}
	for b.Loop() {
		if _, err := Ask(context.Background(), q); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFaces is 100,000 random faces behind one mask at one pressure, on
// all cores.
func BenchmarkFaces(b *testing.B) {
	f := benchCase(b)
	for b.Loop() {
		manyFaces(b, f, 100_000)
	}
}

func manyFaces(b *testing.B, f *Fitting, n int) {
	rim, err := f.Case.Mask.Rims[0].Outline(f.Case.Segments, f.Case.Mask.Width)
	if err != nil {
		b.Fatal(err)
	}
	at := rim.Shares()
	joint, err := face.NewJoint(rim.Landmarks, at)
	if err != nil {
		b.Fatal(err)
	}
	var all sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		all.Go(func() {
			r := rand.New(rand.NewPCG(7, uint64(w)))
			p := *f.problem
			p.Segments = append([]seal.Segment(nil), p.Segments...)
			marks, mismatch := make([]float64, len(rim.Sites)), make([]float64, len(at))
			pressure := float64(12 * unit.CmH2O)
			for range n / workers {
				for k, s := range rim.Sites {
					marks[k] = float64(f.Case.Mask.Profile[s]) + 2e-3*r.NormFloat64()
				}
				joint.Join(marks, mismatch)
				for i := range p.Segments {
					p.Segments[i].Mismatch = mismatch[i]
				}
				set, err := p.Settle()
				if err != nil {
					continue
				}
				if q, err := p.Balance(set, set, pressure); err == nil {
					p.Leak(q, pressure)
				}
			}
		})
	}
	all.Wait()
}
