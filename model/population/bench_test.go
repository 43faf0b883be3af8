package population

import (
	"context"
	"runtime"
	"sync"
	"testing"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/skin"
	"tautline/model/unit"
)

// asked is an invented question: an oronasal mask on the back, 6 to 14 cmH2O.
func asked(t testing.TB, faces int) Question {
	t.Helper()
	m, err := mask.Find(mask.Oronasal, "medium")
	if err != nil {
		t.Fatal(err)
	}
	line, err := skin.Chosen(90 * unit.MmHg)
	if err != nil {
		t.Fatal(err)
	}
	at, _ := fit.FindPosition("on the back")
	q := Usual(fit.Question{Case: fit.NewCase(m, face.Average(), 5, at), Pressure: 12 * unit.CmH2O,
		Range: [2]unit.Pressure{6 * unit.CmH2O, 14 * unit.CmH2O}, Limit: 20 * unit.LPerMin, Line: line,
		Worn: 7 * unit.Hour, Between: fit.UsualBetween()})
	q.Faces = faces
	return q
}

// BenchmarkSizes draws 100,000 faces, chooses every type's size for each, and
// balances the oronasal mask of that size on it at one strap force and the
// highest pressure, on all cores.
func BenchmarkSizes(b *testing.B) {
	q := asked(b, 100_000)
	kits, err := q.kits()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		var all sync.WaitGroup
		workers := runtime.GOMAXPROCS(0)
		for w := range workers {
			all.Go(func() {
				c := newCounter(&q, kits)
				for i := w; i < q.Faces; i += workers {
					p := q.PersonAt(i)
					for k := range kits {
						size := kits[k].table.Choose(Read(&p, kits[k].kind))
						if kits[k].kind == mask.Oronasal {
							hand := &c.hands[k][size]
							hand.t.Put(&p.Face, hand.p)
							hand.seals(5)
						}
					}
				}
			})
		}
		all.Wait()
	}
}

// BenchmarkDraw is one face alone.
func BenchmarkDraw(b *testing.B) {
	q := asked(b, 1)
	i := 0
	for b.Loop() {
		q.PersonAt(i)
		i++
	}
}

// BenchmarkWindows asks for all windows of 1,000 faces: three types, three
// sizes each, on all cores.
func BenchmarkWindows(b *testing.B) {
	q := asked(b, 1000)
	for b.Loop() {
		if _, err := CountFaces(context.Background(), q, 0, q.Faces, nil); err != nil {
			b.Fatal(err)
		}
	}
}
