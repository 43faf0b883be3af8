package uncertainty

import (
	"context"
	"errors"
	"math"
	"reflect"
	"sync/atomic"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/skin"
	"tautline/model/unit"
)

func question(t testing.TB, kind mask.Type, name string, pull unit.Force) fit.Question {
	t.Helper()
	m, err := mask.Find(kind, "medium")
	if err != nil {
		t.Fatal(err)
	}
	f, ok := face.Find(name)
	at, there := fit.FindPosition("on the back")
	line, err := skin.Chosen(70 * unit.MmHg)
	if err != nil || !ok || !there {
		t.Fatal(err, ok, there)
	}
	return fit.Question{Case: fit.NewCase(m, f, pull, at), Pressure: 12 * unit.CmH2O,
		Range: [2]unit.Pressure{4 * unit.CmH2O, 16 * unit.CmH2O}, Limit: 20 * unit.LPerMin, Line: line,
		Between: fit.UsualBetween()}
}

func asked(t testing.TB, q fit.Question, p Plan) Result {
	t.Helper()
	r, err := AskFit(context.Background(), q, Nothing, p)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestSeedsReproduce: the same seed gives the same result in every figure,
// however the work was shared out; another seed gives another.
func TestSeedsReproduce(t *testing.T) {
	q := question(t, mask.Nasal, "narrow bridge", 3)
	q.Guess = [2]unit.Force{2, 5}
	a, b, c := asked(t, q, Plan{Draws: 24, Seed: 5}), asked(t, q, Plan{Draws: 24, Seed: 5}), asked(t, q, Plan{Draws: 24, Seed: 6})
	if !reflect.DeepEqual(a.Bands, b.Bands) || !reflect.DeepEqual(a.Verdicts, b.Verdicts) || !reflect.DeepEqual(a.Effects, b.Effects) {
		t.Error("the same seed gives two results")
	}
	if reflect.DeepEqual(a.Bands, c.Bands) {
		t.Error("another seed gives the same bands")
	}
	sum := a.Tipped + a.Failed
	for _, v := range a.Verdicts {
		sum += v.Draws
	}
	if sum != 24 || len(a.Leading) == 0 || len(a.Leading) > 3 {
		t.Errorf("%d draws are accounted for, %d inputs lead", sum, len(a.Leading))
	}
}

// TestOneDraw: a single draw is a band without a width, and no share is made up.
func TestOneDraw(t *testing.T) {
	r := asked(t, question(t, mask.Nasal, "average", 3.43), Plan{Draws: 1, Seed: 2})
	if len(r.Verdicts) != 1 || r.Verdicts[0].Draws != 1 {
		t.Errorf("verdicts of one draw: %v", r.Verdicts)
	}
	for _, b := range r.Bands {
		if b.Missing == 0 && (b.Low != b.Middle || b.Middle != b.High) {
			t.Errorf("one draw spans a band: %+v", b)
		}
	}
	for _, n := range []int{0, -3, 1_000_000} {
		if _, err := AskFit(context.Background(), question(t, mask.Nasal, "average", 3), Nothing, Plan{Draws: n}); err == nil {
			t.Errorf("%d draws are accepted", n)
		}
	}
}

// TestTippingIsCounted: a draw whose mask tips off is no verdict and no failure.
func TestTippingIsCounted(t *testing.T) {
	s := Study[float64]{Inputs: []Input[float64]{{Spread: Spread{Low: 0, Mode: 0.5, High: 1}, Set: func(q *float64, v float64) { *q = v }}},
		Quantities: []Quantity{"x"},
		Ask: func(q float64, _ int) (Outcome, error) {
			switch {
			case q > 0.5:
				return Outcome{}, seal.ErrTips
			case q > 0 && q < 0.1:
				return Outcome{}, errors.New("no answer here")
			}
			return Outcome{Verdict: 1, Values: []float64{q}}, nil
		}}
	r, err := s.Run(context.Background(), Plan{Draws: 100, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	// A triangle on 0 to 1: half lies above 0.5 and 2 % below 0.1.
	if r.Tipped < 49 || r.Tipped > 51 || r.Failed < 1 || r.Failed > 3 || r.Why == nil || r.Answered() != r.Agree {
		t.Errorf("tipped %d, failed %d (%v), agree %d", r.Tipped, r.Failed, r.Why, r.Agree)
	}
	if b := r.Bands[0]; b.Missing != r.Tipped+r.Failed || b.High > 0.5 {
		t.Errorf("the band counts draws that tipped: %+v", b)
	}
	if e := r.Effects[0].Effects[0]; !r.Effects[0].Ranked || e.First.Value < 0.99 || e.Linear < 0.99 {
		t.Errorf("the only input explains %+v", e)
	}
}

// TestWiderGuessIsNoSurer: the less is known of the straps, the wider the bands.
func TestWiderGuessIsNoSurer(t *testing.T) {
	width := func(g [2]unit.Force) float64 {
		q := question(t, mask.Nasal, "average", 3.43)
		q.Guess = g
		b := asked(t, q, Plan{Draws: 60, Seed: 3}).Bands[1] // contact
		return b.High - b.Low
	}
	narrow, wide := width([2]unit.Force{3.3, 3.6}), width([2]unit.Force{1.5, 7})
	if narrow >= wide {
		t.Errorf("the contact spans %v Pa with measured straps and %v with guessed ones", narrow, wide)
	}
}

// TestCancelled: an interrupt ends the draws and is reported as such.
func TestCancelled(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	var heard atomic.Int64
	_, err := AskFit(ctx, question(t, mask.Nasal, "average", 3), Nothing,
		Plan{Draws: 5000, Progress: func(int, int) { heard.Add(1); stop() }})
	if !errors.Is(err, context.Canceled) || heard.Load() > 100 {
		t.Errorf("after a cancel: %v, %d calculations", err, heard.Load())
	}
}

// TestSpreads: quantiles rise, stay inside, and give back the published spread.
func TestSpreads(t *testing.T) {
	p := unit.Parameter{Name: "x", Unit: "mm", Value: 10, Low: 0, High: 100, SD: 2, Origin: unit.Read}
	s, ok := SpreadOf(&p, 0.010)
	if !ok || math.Abs(s.Quantile(0.8413447)-0.012) > 1e-6 || math.Abs(s.Quantile(0.5)-0.010) > 1e-9 {
		t.Errorf("a normal spread: %+v", s)
	}
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(-10, 9).Draw(t, "low")
		high := low + rapid.Float64Range(0.1, 10).Draw(t, "width")
		s := Spread{Low: low, High: high, Mode: low + (high-low)*rapid.Float64Range(0, 1).Draw(t, "mode"),
			SD: rapid.SampledFrom([]float64{0, 0.3, 5}).Draw(t, "sd")}
		a, b := rapid.Float64Range(0, 1).Draw(t, "a"), rapid.Float64Range(0, 1).Draw(t, "b")
		x, y := s.Quantile(min(a, b)), s.Quantile(max(a, b))
		if !(x <= y+1e-12) || x < low-1e-9 || y > high+1e-9 {
			t.Errorf("%+v: %v gives %v, %v gives %v", s, min(a, b), x, max(a, b), y)
		}
	})
}

func BenchmarkDraws200(b *testing.B) {
	q := question(b, mask.Nasal, "narrow bridge", 3)
	q.Guess = [2]unit.Force{2, 5}
	for b.Loop() {
		asked(b, q, Plan{Draws: 200, Seed: 1})
	}
}
