package population

import (
	"context"
	"math/rand/v2"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/skin"
	"tautline/model/unit"
)

// lined is the invented question with another line and limit.
func lined(t testing.TB, faces int, mmHg, lPerMin float64) Question {
	t.Helper()
	q := asked(t, faces)
	var err error
	if q.Line, err = skin.Chosen(unit.Pressure(mmHg) * unit.MmHg); err != nil {
		t.Fatal(err)
	}
	q.Limit = unit.Flow(lPerMin) * unit.LPerMin
	return q
}

func tallied(t testing.TB, q Question, from, to int) Tally {
	t.Helper()
	tally, err := CountFaces(context.Background(), q, from, to, nil)
	if err != nil {
		t.Fatal(err)
	}
	return tally
}

// TestWindowsAgainstFit holds the quick test of a window to the slow search,
// on random faces in every type and size, where all three outcomes occur.
func TestWindowsAgainstFit(t *testing.T) {
	q := lined(t, 1, 45, 1)
	q.Range[1] = 25 * unit.CmH2O
	kits, err := q.kits()
	if err != nil {
		t.Fatal(err)
	}
	c := newCounter(&q, kits)
	var met [outcomeCount]int
	for i := range 14 {
		p := q.PersonAt(i)
		for s := range face.SiteCount { // rougher faces than are drawn, so that some never seal
			p.Face.Deviation[s] *= unit.Length(1 + i%3)
		}
		for k, kit := range kits {
			masks, err := q.masks(kit.kind)
			if err != nil {
				t.Fatal(err)
			}
			for s, m := range masks {
				slow := q.Question
				slow.Case = fit.NewCase(m, p.Face, 3, q.Case.Position)
				w, err := fit.FindWindow(context.Background(), slow)
				if err != nil {
					t.Fatal(err)
				}
				got := c.hands[k][s].try(&p.Face)
				if want := outcomeOf(w); got != want {
					t.Errorf("face %d, %s: outcome %d, fit's own search %d: %+v", i, m.Name, got, want, w)
				}
				met[got]++
			}
		}
	}
	for o, n := range met {
		if n == 0 {
			t.Errorf("outcome %d was never met", o)
		}
	}
}

func outcomeOf(w fit.Window) Outcome {
	switch {
	case w.Exists:
		return Fits
	case w.Seals:
		return ByLine
	}
	return ByShape
}

// TestParts: however the row of faces is divided, the parts add up to the
// whole, in any order.
func TestParts(t *testing.T) {
	const faces = 60
	q := lined(t, faces, 50, 5)
	whole := tallied(t, q, 0, faces)
	if whole.Faces() != faces {
		t.Fatalf("%d faces counted, want %d", whole.Faces(), faces)
	}
	single := make([]Tally, faces)
	for i := range single {
		single[i] = tallied(t, q, i, i+1)
	}
	rapid.Check(t, func(t *rapid.T) {
		var parts []Tally
		for i := 0; i < faces; {
			n := rapid.IntRange(1, faces-i).Draw(t, "part")
			parts = append(parts, Merge(single[i:i+n]...))
			i += n
		}
		rand.New(rand.NewPCG(1, uint64(len(parts)))).Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
		got := Merge(parts...)
		got = TallyOf(got.Shapes(), got.Places(), got.Served()) // through a file
		if !reflect.DeepEqual(got, whole) {
			t.Error("the parts do not add up to the whole")
		}
	})
}

// TestTolerance: a higher limit or a higher line never loses a face.
func TestTolerance(t *testing.T) {
	const faces = 60
	before := -1
	for _, step := range [][2]float64{{40, 2}, {50, 2}, {50, 8}, {60, 8}, {60, 30}} {
		a, err := Conclude(lined(t, faces, step[0], step[1]), tallied(t, lined(t, faces, step[0], step[1]), 0, faces))
		if err != nil {
			t.Fatal(err)
		}
		fits := 0
		for _, one := range a.Types {
			fits += one.Chosen.Fits
		}
		if fits < before {
			t.Errorf("line %g mmHg, limit %g L/min: %d windows, fewer than the %d of stricter ones", step[0], step[1], fits, before)
		}
		before = fits
	}
}

// TestMirroredFace: a mirrored face has the same outcomes.
func TestMirroredFace(t *testing.T) {
	q := lined(t, 1, 50, 5)
	kits, err := q.kits()
	if err != nil {
		t.Fatal(err)
	}
	c := newCounter(&q, kits)
	for i := range 40 {
		p := q.PersonAt(i)
		mirrored := p.Face
		for s := range face.SiteCount {
			mirrored.Deviation[s.Mirror()] = p.Face.Deviation[s]
		}
		for k := range kits {
			for s := range sizeCount {
				if a, b := c.hands[k][s].try(&p.Face), c.hands[k][s].try(&mirrored); a != b {
					t.Errorf("face %d, %s %d: outcome %d, mirrored %d", i, kits[k].kind, s, a, b)
				}
			}
		}
	}
}

// TestBest: the searched table is the best by a slow count of all tables.
func TestBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		two := rapid.Bool().Draw(t, "two readings")
		var counts []Count[Shape]
		for range rapid.IntRange(1, 12).Draw(t, "shapes") {
			s := Shape{Reading: Reading{First: Millimetres(rapid.IntRange(100, 105).Draw(t, "first"))}}
			if two {
				s.Reading.Second = Millimetres(rapid.IntRange(130, 134).Draw(t, "second"))
			}
			for i := range s.Outcomes {
				s.Outcomes[i] = Outcome(rapid.IntRange(0, 1).Draw(t, "outcome"))
			}
			counts = append(counts, Count[Shape]{s, rapid.IntRange(1, 9).Draw(t, "faces")})
		}
		start := Table{First: Cuts{102, 104}, Second: Cuts{Never, Never}}
		got, most := Best(counts, start).serves(counts).Fits, slowly(counts, two)
		if got != most {
			t.Errorf("the table found serves %d, the best %d", got, most)
		}
	})
}

// slowly counts every table.
func slowly(counts []Count[Shape], two bool) (most int) {
	each := func(low, high Millimetres, do func(Cuts)) {
		for m := low; m <= high; m++ {
			for l := m; l <= high; l++ {
				do(Cuts{m, l})
			}
		}
	}
	each(100, 106, func(first Cuts) {
		if !two {
			most = max(most, Table{first, Cuts{Never, Never}}.serves(counts).Fits)
			return
		}
		each(130, 135, func(second Cuts) { most = max(most, Table{first, second}.serves(counts).Fits) })
	})
	return most
}

// TestCatalogueTables: the faces that the sizes are drawn for get those sizes.
func TestCatalogueTables(t *testing.T) {
	for _, kind := range mask.Types() {
		table, err := CatalogueTable(kind)
		if err != nil {
			t.Fatal(err)
		}
		for i, size := range mask.Sizes() {
			m, err := mask.Find(kind, size)
			if err != nil {
				t.Fatal(err)
			}
			p := Person{}
			p.Size[FaceLength], p.Size[FaceWidth], p.Size[NoseBreadth] = m.FitsLength, m.FitsWidth, m.FitsNose
			if got := table.Choose(Read(&p, kind)); got != Size(i) {
				t.Errorf("%s: the face of the %s size is given size %d", kind, size, got)
			}
		}
	}
}

// TestRefuses: what cannot be answered is refused by name.
func TestRefuses(t *testing.T) {
	for name, change := range map[string]func(*Question){
		"no faces":  func(q *Question) { q.Faces = 0 },
		"too many":  func(q *Question) { q.Faces = Most + 1 },
		"women":     func(q *Question) { q.Women = 1.2 },
		"no limit":  func(q *Question) { q.Limit = 0 },
		"mismatch":  func(q *Question) { q.Case.Mismatch = make([]unit.Length, 96) },
		"own rim":   func(q *Question) { q.Case.Mask.Rims = []mask.Rim{{Width: 0.08, Height: 0.1}} },
		"no helmet": func(q *Question) { q.Types = []mask.Type{"helmet"} },
	} {
		q := asked(t, 2)
		change(&q)
		if _, err := Ask(context.Background(), q); err == nil {
			t.Errorf("%s: a question that makes no sense is answered", name)
		}
	}
	ended, end := context.WithCancel(context.Background())
	end()
	if _, err := Ask(ended, asked(t, 2)); err == nil {
		t.Error("an interrupted question is answered")
	}
}
