package plan

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/skin"
	"tautline/model/unit"
)

func wholeStock() (out []Item) {
	for _, k := range mask.Types() {
		for _, s := range mask.Sizes() {
			out = append(out, Item{Type: k, Size: s, Vented: true, Count: 3})
		}
	}
	return out
}

func usualQuestion() Question {
	line, _ := skin.Chosen(70 * unit.MmHg)
	back, _ := fit.FindPosition("on the back")
	return Question{Gates: Gates{Vomiting: No, TakesOffAlone: Yes, Implants: No}, Line: line, Position: back,
		Look:  Look{NoseWidth: 34 * unit.Mm, Ticks: []Tick{NarrowBridge}},
		Range: [2]unit.Pressure{4 * unit.CmH2O, 12 * unit.CmH2O}, Limit: 24 * unit.LPerMin, Stock: wholeStock(), Seed: 1, People: 150}
}

func planned1(t *testing.T, q Question) Answer {
	t.Helper()
	a, err := Plan(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestChances: what a step leads to sums to 1, and what is solved never falls.
func TestChances(t *testing.T) {
	a := planned1(t, usualQuestion())
	var walk func(s *Step)
	walk = func(s *Step) {
		sum := 0.0
		for _, b := range s.After {
			sum += b.Chance
			if b.Next != nil {
				walk(b.Next)
			}
		}
		if len(s.After) > 0 && math.Abs(sum-1) > 1e-9 {
			t.Errorf("chances after %v sum to %v", s.Setting, sum)
		}
	}
	walk(a.Next)
	for _, c := range a.Choices {
		for v := 1; v < len(c.Solved); v++ {
			if c.Solved[v] < c.Solved[v-1] {
				t.Errorf("%s %s: solved falls at visit %d", c.Type, c.Size, v+1)
			}
		}
	}
	if again := planned1(t, usualQuestion()); !reflect.DeepEqual(a, again) {
		t.Error("the same seed gives another answer")
	}
}

// TestGates: whatever the gates say, nothing behind one is chosen or advised.
func TestGates(t *testing.T) {
	told := rapid.SampledFrom([]Told{Unknown, Yes, No})
	rapid.Check(t, func(r *rapid.T) {
		q := usualQuestion()
		q.Gates = Gates{told.Draw(r, "vomiting"), told.Draw(r, "hands"), told.Draw(r, "implants"), told.Draw(r, "nose"),
			rapid.SampledFrom([]mask.Type{"", mask.Pillows, mask.Nasal, mask.Oronasal}).Draw(r, "covers")}
		for i := range q.Stock {
			q.Stock[i].Magnets = rapid.Bool().Draw(r, "magnets")
			q.Stock[i].Vented = rapid.Bool().Draw(r, "vented")
			q.Stock[i].Count = rapid.IntRange(0, 1).Draw(r, "count")
		}
		open, out := q.gate()
		if len(open)+len(out) != len(q.Stock) {
			r.Fatal("an item got lost")
		}
		for _, it := range open {
			g := q.Gates
			full := it.Type == mask.Oronasal
			if !it.Vented || it.Count == 0 || full && (g.Vomiting != No || g.TakesOffAlone != Yes) ||
				it.Magnets && g.Implants != No || !full && g.NoseBlocked == Yes || g.Covers == mask.Pillows && it.Type != mask.Pillows ||
				g.Covers == mask.Nasal && full {
				r.Fatalf("%+v passed %+v", it, g)
			}
		}
	})
	q := usualQuestion()
	q.Gates.Vomiting = Unknown
	q.Tried = []Visit{{Type: mask.Pillows, Size: "medium", Pull: 1.8 * unit.N, What: NotWorn}}
	for _, c := range planned1(t, q).Choices {
		if c.Type != mask.Nasal {
			t.Errorf("%s is offered behind a gate", c.Type)
		}
	}
}

// TestSoreLowersContact: what was sore makes the belief hold that less is borne,
// a tighter strap then looks worse against a looser one.
func TestSoreLowersContact(t *testing.T) {
	q := usualQuestion()
	before := planned1(t, q)
	q.Tried = []Visit{{Type: mask.Nasal, Size: "medium", Pull: 3.43 * unit.N, What: Sore}}
	after := planned1(t, q)
	if !(after.Belief.SoreAt[1] < before.Belief.SoreAt[1]) {
		t.Errorf("sore at %v before and %v after", before.Belief.SoreAt, after.Belief.SoreAt)
	}
	for _, c := range after.Choices {
		if c.Type == mask.Nasal && c.Size == "medium" && c.Pull >= 3.43*unit.N {
			t.Errorf("%v after it was sore at 3.43 N", c.Pull)
		}
	}
}

// TestMoreStock: another type in stock costs no visits beyond noise.
func TestMoreStock(t *testing.T) {
	q := usualQuestion()
	all := planned1(t, q).Planned
	q.Stock = q.Stock[3:6] // nasal masks alone
	few := planned1(t, q).Planned
	if noise := (few.Visits.High - few.Visits.Low) / 2; all.Visits.Value > few.Visits.Value+noise {
		t.Errorf("%.2f visits with all types, %.2f with one", all.Visits.Value, few.Visits.Value)
	}
}

// blind is a broken policy: it always tries the same mask again.
type blind struct{}

func (blind) next([]tried) (int, bool) { return 0, true }

// TestTrial: trial and error lands where common practice has it, the plan does
// better, and a broken policy does not.
func TestTrial(t *testing.T) {
	q := TrialQuestion{Question: usualQuestion(), N: 250}
	q.People, q.Line = 400, skin.Line{} // trial and error keeps to none either
	r, err := RunTrial(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	if v := r.ByHand.Visits; v.High < 3 || v.Low > 4 {
		t.Errorf("trial and error takes %.2f visits, want three to four", v)
	}
	if r.VisitsRatio.Value > 0.85 || r.UnsolvedRatio.Value >= 1 {
		t.Errorf("the plan takes %.2f of the visits and leaves %.2f of the unsolved", r.VisitsRatio, r.UnsolvedRatio)
	}
	st, err := q.prepare(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	broken := forecast(st.each(context.Background(), func(int) policy { return blind{} }))
	if broken.Visits.Value < r.Planned.Visits.High {
		t.Errorf("a policy that learns nothing takes %.2f visits, the plan %.2f", broken.Visits, r.Planned.Visits)
	}
}

func TestRefuses(t *testing.T) {
	for _, spoil := range []func(*Question){
		func(q *Question) { q.Limit = 0 }, func(q *Question) { q.Range[0] = 0 }, func(q *Question) { q.Stock = nil },
		func(q *Question) { q.People = 3 }, func(q *Question) { q.Range[1] = unit.Pressure(math.Inf(1)) },
		func(q *Question) { q.Tried = []Visit{{Type: "cap", Size: "medium"}} },
	} {
		q := usualQuestion()
		spoil(&q)
		if _, err := Plan(context.Background(), q); err == nil {
			t.Errorf("answered %+v", q)
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Plan(ctx, usualQuestion()); err == nil {
		t.Error("answered after it was stopped")
	}
}

func BenchmarkPlan(b *testing.B) {
	q := usualQuestion()
	q.People = 0
	for b.Loop() {
		if _, err := Plan(context.Background(), q); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFill(b *testing.B) {
	q := usualQuestion()
	s, err := q.setup()
	if err != nil {
		b.Fatal(err)
	}
	people := drawPeople(100, Usual(), &Look{}, rand.New(rand.NewPCG(1, 2)))
	for b.Loop() {
		if _, err := s.fill(context.Background(), people); err != nil {
			b.Fatal(err)
		}
	}
}
