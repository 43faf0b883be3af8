package fit

import (
	"math"
	"reflect"
	"testing"

	"tautline/model/mask"
	"tautline/model/unit"
)

// TestRowsAreTheirOwnFittings: each row of a sweep is what the mask does when
// put on anew with that row's settings.
func TestRowsAreTheirOwnFittings(t *testing.T) {
	for _, axes := range [][]Axis{
		{{Variable: ByStraps, Numbers: []float64{4, 6, 9}}, {Variable: ByPressure, Numbers: []float64{500, 1000, 1500}}},
		{{Variable: BySize, Names: []string{"small", "medium", "large"}}, {Variable: ByBalance, Numbers: []float64{0.5, 0.65}}},
		{{Variable: ByCushion, Numbers: []float64{0, 90 * 86400}}, {Variable: ByPosition, Names: []string{"sitting", "on the left side"}}},
	} {
		q := question(t)
		q.Axes = axes
		a := ask(t, q)
		if want := axes[0].len() * axes[1].len(); len(a.Rows)+len(a.Tipped) != want {
			t.Errorf("%d rows and %d tipped, want %d", len(a.Rows), len(a.Tipped), want)
		}
		for _, row := range a.Rows {
			c, err := q.caseFor(row.Settings)
			if err != nil {
				t.Fatal(err)
			}
			f, err := PutOn(c)
			if err != nil {
				t.Fatal(err)
			}
			p := pointAt(t, f, row.Settings.Pressure)
			if !near(float64(p.Leak), float64(row.Leak), 1e-12) || !near(float64(p.Mask), float64(row.Mask), 1e-6) ||
				p.StrapSet != row.Settings.Straps || !near(float64(topContact(p)), float64(topContact(row.Point)), 1e-6) {
				t.Errorf("%+v: leak %v, anew %v; %v in the mask, anew %v", row.Settings, row.Leak, p.Leak, row.Mask, p.Mask)
			}
		}
	}
}

// near compares with a share of 1e-9 and some absolute slack.
func near(a, b, slack float64) bool { return math.Abs(a-b) <= 1e-9*math.Abs(b)+slack }

// TestAskAddsUp: what an answer says of the case agrees with the case.
func TestAskAddsUp(t *testing.T) {
	q := question(t)
	a := ask(t, q)
	f, err := PutOn(q.Case)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a.Now, pointAt(t, f, q.Pressure)) || !reflect.DeepEqual(a.Top, pointAt(t, f, q.Range[1])) {
		t.Error("now or top is not the case's")
	}
	if len(a.Rows) != 0 || len(a.Windows) != 1 || !reflect.DeepEqual(a.Windows[0], a.Window) {
		t.Errorf("nothing swept: %d rows, %d windows", len(a.Rows), len(a.Windows))
	}
	if s := a.Split; s.Total < s.Shape || s.Straps < 0 || math.Abs(float64(s.Straps+s.Shape-s.Total)) > 1e-12 {
		t.Errorf("split: %+v", s)
	}
}

// TestWindowsOfASweep: one window for each setting besides straps and pressure,
// each the one that its own question would get.
func TestWindowsOfASweep(t *testing.T) {
	q := question(t)
	q.Axes = []Axis{{Variable: BySize, Names: mask.Sizes()}, {Variable: ByStraps, Numbers: []float64{4, 6}}}
	a := ask(t, q)
	if len(a.Windows) != 3 {
		t.Fatalf("%d windows, want 3", len(a.Windows))
	}
	for _, w := range a.Windows {
		c, err := q.caseFor(Settings{Straps: 6, Balance: w.Holds.Balance, Size: w.Holds.Size, Position: w.Holds.Position})
		if err != nil {
			t.Fatal(err)
		}
		alone := question(t)
		alone.Case = c
		if own := ask(t, alone).Window; own.Exists != w.Exists || math.Abs(float64(own.Low-w.Low)) > 2e-2 || math.Abs(float64(own.High-w.High)) > 2e-2 {
			t.Errorf("%s: %v to %v, asked alone %v to %v", w.Holds.Size, w.Low, w.High, own.Low, own.High)
		}
	}
}

// TestOptions: the steps come in bedside order, and what is predicted of one is
// what happens when its settings are asked for.
func TestOptions(t *testing.T) {
	for _, pull := range []unit.Force{2.5, 6, 12} {
		q := question(t)
		q.Case.Straps.Pull = pull
		q.Case.Cushion.Days = 200 * unit.Day
		a := ask(t, q)
		last, predicted := LookAtVent, 0
		for _, o := range a.Options {
			if o.Kind < last {
				t.Errorf("step %d comes after step %d", o.Kind, last)
			}
			last = o.Kind
			if !o.Predicted {
				continue
			}
			predicted++
			if o.Kind == OtherType {
				continue // another mask altogether, not a setting of this one
			}
			c, err := q.caseFor(o.Settings)
			if err != nil {
				t.Fatal(err)
			}
			f, err := PutOn(c)
			if err != nil {
				t.Fatal(err)
			}
			p := pointAt(t, f, q.Range[1])
			if !near(float64(p.Leak), float64(o.Leak), 1e-12) || !near(float64(topContact(p)), float64(o.Contact), 1e-6) {
				t.Errorf("at %v, step %d: predicted %v and %v, found %v and %v", pull, o.Kind, o.Leak, o.Contact, p.Leak, topContact(p))
			}
		}
		if predicted < 4 { // a new cushion, two sizes and a type at least
			t.Errorf("at %v only %d steps are predicted", pull, predicted)
		}
	}
}
