package fit

import (
	"context"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats"

	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/skin"
	"tautline/model/unit"
)

// passes tries a pull over the therapy range in small steps, through whole
// points, which the search for a window never makes.
func (q Question) passes(t *testing.T, f *Fitting, pull unit.Force) (seals, underLine bool) {
	t.Helper()
	s := f.Case.Straps
	s.Pull = pull
	g, err := f.WithStraps(s)
	if err != nil {
		return false, true
	}
	seals, underLine = true, true
	for _, set := range floats.Span(make([]float64, 17), float64(q.Range[0]), float64(q.Range[1])) {
		mask, pose, err := g.arrive(unit.Pressure(set))
		if err != nil {
			return false, underLine
		}
		p := Point{Mask: mask}
		g.describe(&p, pose)
		seals = seals && p.Leak <= q.Limit
		underLine = underLine && topContact(p) <= q.Line.Level(q.Worn)
	}
	return seals, underLine
}

// checkWindow holds a window to brute force: just inside each end it passes,
// just outside it fails.
func checkWindow(t *testing.T, q Question, f *Fitting, w Window) {
	t.Helper()
	// Ends are sought to 0.01 N.
	const hair, beyond = 1e-6 * unit.N, 0.011 * unit.N
	good := func(pull unit.Force) bool { seals, under := q.passes(t, f, pull); return seals && under }
	if w.Exists {
		if !(w.Low <= w.High) || w.Low < q.Between[0]*(1-1e-9) || w.High > q.Between[1]*(1+1e-9) {
			t.Errorf("a window from %v to %v", w.Low, w.High)
		}
		if middle := (w.Low + w.High) / 2; !good(w.Low+hair) || !good(max(w.Low, w.High-hair)) || !good(middle) {
			t.Errorf("%s: inside the window %v to %v it does not pass", f.Case.Face.Name, w.Low, w.High)
		}
		if !w.OpenBelow && good(w.Low-beyond) || !w.OpenAbove && good(w.High+beyond) {
			t.Errorf("%s: outside the window %v to %v it passes", f.Case.Face.Name, w.Low, w.High)
		}
	}
	if w.Seals {
		if seals, _ := q.passes(t, f, w.SealsFrom+hair); !seals {
			t.Errorf("%s: said to seal from %v", f.Case.Face.Name, w.SealsFrom)
		}
		if seals, _ := q.passes(t, f, w.SealsFrom-beyond); seals && w.SealsFrom > q.Between[0]+beyond {
			t.Errorf("%s: seals already below %v", f.Case.Face.Name, w.SealsFrom)
		}
	}
	if w.UnderLine {
		if _, under := q.passes(t, f, w.LineUntil-hair); !under {
			t.Errorf("%s: said to be under the line until %v", f.Case.Face.Name, w.LineUntil)
		}
		if _, under := q.passes(t, f, w.LineUntil+beyond); under && w.LineUntil < q.Between[1]-beyond {
			t.Errorf("%s: still under the line above %v", f.Case.Face.Name, w.LineUntil)
		}
	}
}

// TestWindowByBruteForce tries every face of the catalogue with two masks and
// random limits and lines.
func TestWindowByBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	exist, total := 0, 0
	for _, fc := range face.Catalogue() {
		for _, kind := range []mask.Type{mask.Oronasal, mask.Nasal} {
			q := question(t)
			q.Limit = unit.Flow(2+30*r.Float64()) * unit.LPerMin
			q.Line, _ = skin.Chosen(unit.Pressure(40+60*r.Float64()) * unit.MmHg)
			f := medium(t, kind, 4, func(c *Case) { c.Face = fc })
			q.Case = f.Case
			w, err := q.window(context.Background(), f)
			if err != nil {
				t.Fatal(err)
			}
			checkWindow(t, q, f, w)
			total++
			if w.Exists {
				exist++
				continue
			}
			for pull := q.Between[0]; pull < q.Between[1]; pull += 0.25 * unit.N {
				if seals, under := q.passes(t, f, pull); seals && under {
					t.Errorf("%s, %s: %v passes, but no window is found", kind, fc.Name, pull)
				}
			}
		}
	}
	if exist < 5 || exist == total {
		t.Errorf("%d of %d windows exist: the draws do not try the search", exist, total)
	}
}

// TestVerdicts: below, inside and above a window; empty by shape and by line.
func TestVerdicts(t *testing.T) {
	w := ask(t, question(t)).Window
	if !w.Exists || w.OpenBelow || w.OpenAbove {
		t.Fatalf("the question's window: %+v", w)
	}
	for _, c := range []struct {
		name   string
		want   Verdict
		change func(*Question)
	}{
		{"inside", Holds, func(q *Question) { q.Case.Straps.Pull = (w.Low + w.High) / 2 }},
		{"its lower end", Holds, func(q *Question) { q.Case.Straps.Pull = w.Low }},
		{"its upper end", Holds, func(q *Question) { q.Case.Straps.Pull = w.High }},
		{"below", Opens, func(q *Question) { q.Case.Straps.Pull = w.Low - 0.1 }},
		{"above", TooTight, func(q *Question) { q.Case.Straps.Pull = w.High + 0.1 }},
		{"a low line", EmptyByLine, func(q *Question) { q.Line, _ = skin.Chosen(20 * unit.MmHg) }},
		{"a deep groove", EmptyByShape, func(q *Question) {
			q.Case.Face.Features = []face.Feature{{Site: face.CheekLeft, Width: 4 * unit.Mm, Depth: 15 * unit.Mm}}
			q.Limit = unit.LPerMin
		}},
	} {
		q := question(t)
		c.change(&q)
		a := ask(t, q)
		if a.Verdict != c.want {
			t.Errorf("%s: verdict %d, want %d; %+v", c.name, a.Verdict, c.want, a.Window)
		}
		if a.Doubt != nil {
			t.Errorf("%s: a measured pull is doubted", c.name)
		}
	}
	q := question(t)
	q.Case.Straps.Pull = w.Low + 0.2
	q.Guess = [2]unit.Force{w.Low - 1, w.High + 1}
	if a := ask(t, q); a.Verdict != Holds || len(a.Doubt) != 2 || a.Doubt[0] != Opens || a.Doubt[1] != TooTight {
		t.Errorf("guessed: %d, in doubt %v", a.Verdict, a.Doubt)
	}
}

// TestWindowNarrows: a stricter limit, a lower line or a wider therapy range
// never widens the window.
func TestWindowNarrows(t *testing.T) {
	wide := ask(t, question(t)).Window
	for name, change := range map[string]func(*Question){
		"limit": func(q *Question) { q.Limit /= 20 },
		"line":  func(q *Question) { q.Line, _ = skin.Chosen(80 * unit.MmHg) },
		"range": func(q *Question) { q.Range[1] = 20 * unit.CmH2O },
	} {
		q := question(t)
		change(&q)
		w := ask(t, q).Window
		if w.Exists && (w.Low < wide.Low-edge || w.High > wide.High+edge) {
			t.Errorf("%s: %v to %v, before %v to %v", name, w.Low, w.High, wide.Low, wide.High)
		}
		if w.Exists && w.Low == wide.Low && w.High == wide.High {
			t.Errorf("%s: changes nothing", name)
		}
	}
}
