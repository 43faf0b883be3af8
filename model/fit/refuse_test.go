package fit

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/skin"
	"tautline/model/unit"
)

// question asks about a medium oronasal mask, which an answer exists for.
func question(t testing.TB) Question {
	t.Helper()
	m, err := mask.Find(mask.Oronasal, "medium")
	if err != nil {
		t.Fatal(err)
	}
	line, err := skin.Chosen(100 * unit.MmHg)
	if err != nil {
		t.Fatal(err)
	}
	return Question{Case: NewCase(m, face.Average(), 6, Position{}), Pressure: 10 * unit.CmH2O,
		Range: [2]unit.Pressure{4 * unit.CmH2O, 14 * unit.CmH2O}, Limit: 24 * unit.LPerMin, Line: line, Between: UsualBetween()}
}

func ask(t testing.TB, q Question) Answer {
	t.Helper()
	a, err := Ask(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestAskRefuses: each question that cannot be answered is refused by a
// sentence that says why, and nothing panics.
func TestAskRefuses(t *testing.T) {
	nan := math.NaN()
	muscle, _ := skin.FindLine("muscle")
	sweep := func(v Variable, numbers ...float64) func(*Question) {
		return func(q *Question) { q.Axes = []Axis{{Variable: v, Numbers: numbers}} }
	}
	named := func(v Variable, names ...string) func(*Question) {
		return func(q *Question) { q.Axes = []Axis{{Variable: v, Names: names}} }
	}
	two := func(a, b Variable) func(*Question) {
		return func(q *Question) {
			q.Axes = []Axis{{Variable: a, Numbers: []float64{3}}, {Variable: b, Numbers: []float64{3}}}
		}
	}
	for _, c := range []struct {
		says   string
		change func(*Question)
	}{
		{"set pressure is 61 cmH2O, outside the range 0 cmH2O to 60 cmH2O", func(q *Question) { q.Pressure = 61 * unit.CmH2O }},
		{"set pressure is NaN cmH2O", func(q *Question) { q.Pressure = unit.Pressure(nan) }},
		{"therapy range: set pressure is -1 cmH2O", func(q *Question) { q.Range[0] = -unit.CmH2O }},
		{"from a lower to a higher pressure above zero, not from 0 cmH2O", func(q *Question) { q.Range[0] = 0 }},
		{"not from 14 cmH2O to 4 cmH2O", func(q *Question) { q.Range[0], q.Range[1] = q.Range[1], q.Range[0] }},
		{"state a leak limit above zero", func(q *Question) { q.Limit = 0 }},
		{"state a leak limit above zero", func(q *Question) { q.Limit = unit.Flow(nan) }},
		{"state a reference line for the skin", func(q *Question) { q.Line = skin.Line{} }},
		{`the line "muscle" falls with the time worn: state that time`, func(q *Question) { q.Line = muscle }},
		{"sweep one or two things", func(q *Question) { q.Axes = make([]Axis, 3) }},
		{"straps is swept twice", two(ByStraps, ByStraps)},
		{"from a lower to a higher strap force, not from 5 N to 5 N", func(q *Question) { q.Between = [2]unit.Force{5, 5} }},
		{"not from NaN N", func(q *Question) { q.Between[0] = unit.Force(nan) }},
		{"strap force is 70 N", func(q *Question) { q.Between[1] = 70 }},
		{"the sweep of straps has no values", sweep(ByStraps)},
		{"the sweep of size has no values", sweep(BySize, 3)},
		{"the sweep of straps: strap force is 0 N", sweep(ByStraps, 3, 0)},
		{"the sweep of straps: strap force is NaN N", sweep(ByStraps, nan)},
		{"the sweep of pressure: set pressure is 80 cmH2O", sweep(ByPressure, 80*98.0665)},
		{"the sweep of balance: a share lies between 0 and 100 %, not at 120 %", sweep(ByBalance, 1.2)},
		{"the sweep of cushion_days: cushion age is -1 days", sweep(ByCushion, -86400)},
		{`there is no mask of the size "huge" in the catalogue`, named(BySize, "medium", "huge")},
		{`no position "upside down"`, named(ByPosition, "upside down")},
		{`"colour" cannot be swept`, sweep("colour", 1)},
		{"one pair of straps has no upper share", func(q *Question) {
			q.Case.Mask, _ = mask.Find(mask.Pillows, "medium")
			sweep(ByBalance, 0.5)(q)
		}},
		{"given strap by strap", func(q *Question) {
			for i := range q.Case.Mask.Straps {
				q.Case.Mask.Straps[i].Pull = 1
			}
			sweep(ByBalance, 0.5)(q)
		}},
		{"for this very rim", func(q *Question) {
			q.Case.Mismatch = make([]unit.Length, 96)
			named(BySize, "small")(q)
		}},
		{"the mismatch has 3 values, the rim 96 segments", func(q *Question) { q.Case.Mismatch = make([]unit.Length, 3) }},
		{"strap force is 0 N, outside the range 0.05 N to 60 N", func(q *Question) { q.Case.Straps.Pull = 0 }},
		{"a strap share lies between 0 and 100 %", func(q *Question) { q.Case.Straps.Upper = 1.2 }},
		{"a strap share lies between 0 and 100 %", func(q *Question) { q.Case.Straps.Left = unit.Fraction(nan) }},
		{"the case has no mask", func(q *Question) { q.Case.Mask = mask.Mask{} }},
		{"a rim is cut into 8 to 2048 pieces, not 4", func(q *Question) { q.Case.Segments = 4 }},
		{"leaves no room inside the rim", func(q *Question) { q.Case.Mask.Width = 90 * unit.Mm }},
		{"tips off the face", func(q *Question) {
			q.Case.Straps.Upper = 1
			q.Case.Mask.Straps[0].Y = 80 * unit.Mm
			q.Case.Straps.Left = 1
		}},
	} {
		q := question(t)
		c.change(&q)
		_, err := Ask(context.Background(), q)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("want an error that says %q, got %v", c.says, err)
			continue
		}
		if text := err.Error(); strings.ContainsAny(text, "\n") || len(text) > 250 {
			t.Errorf("%q is not a sentence", text)
		}
	}
}

// stopsAfter is a context that is cancelled once it has been asked some times.
type stopsAfter struct {
	context.Context
	left *int
}

func (c stopsAfter) Err() error {
	if *c.left--; *c.left < 0 {
		return context.Canceled
	}
	return nil
}

// TestAskStops: cancelled at any moment, Ask ends with that error.
func TestAskStops(t *testing.T) {
	q := question(t)
	q.Case.Cushion.Days = 60 * unit.Day
	q.Axes = []Axis{{Variable: ByPosition, Names: []string{"sitting", "on the back"}}, {Variable: ByStraps, Numbers: []float64{5, 6}}}
	const plenty = 1 << 20
	left := plenty
	if _, err := Ask(stopsAfter{context.Background(), &left}, q); err != nil {
		t.Fatal(err)
	}
	asked := plenty - left
	if asked < 100 {
		t.Errorf("the context is asked %d times only in the whole answer", asked)
	}
	for _, after := range []int{0, 1, 3, 10, asked / 3, asked / 2, asked * 3 / 4, asked - 1} {
		left = after
		if _, err := Ask(stopsAfter{context.Background(), &left}, q); !errors.Is(err, context.Canceled) {
			t.Errorf("cancelled after %d of %d looks: %v", after, asked, err)
		}
		if left < -1 {
			t.Errorf("cancelled after %d of %d looks, it went on for %d more", after, asked, -1-left)
		}
	}
}

// TestArriveRefuses: a set pressure that no machine gives is refused by name.
func TestArriveRefuses(t *testing.T) {
	f := medium(t, mask.Nasal, 3, nil)
	for _, set := range []unit.Pressure{-1, 61 * unit.CmH2O, unit.Pressure(math.NaN())} {
		var r *unit.RangeError
		if _, err := f.At(set); !errors.As(err, &r) || r.Parameter.Name != SetPressureRange.Name {
			t.Errorf("%v: %v", set, err)
		}
	}
	if p, err := f.At(0); err != nil || p.Mask != 0 || p.Leak != 0 || p.Vent != 0 {
		t.Errorf("switched off: %v in the mask, %v leak, %v vent (%v)", p.Mask, p.Leak, p.Vent, err)
	}
	if _, err := f.WithStraps(Straps{Pull: 100}); err == nil || errors.Is(err, seal.ErrTips) {
		t.Errorf("100 N of pull: %v", err)
	}
}
