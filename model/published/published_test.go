package published

import (
	"math"
	"strings"
	"testing"
)

// TestPublished holds the model to every published figure.
func TestPublished(t *testing.T) {
	for _, r := range EvaluateAll() {
		switch {
		case r.Status == Fail:
			t.Errorf("%s: %s: %s", r.ID, r.What, r.Reason)
		case r.Status == Pass && r.KnownMiss != "":
			t.Errorf("%s is met now: take its note of a known miss out", r.ID)
		}
	}
}

// TestAtMostThreeKnownMisses: a miss is an exception, not a way out.
func TestAtMostThreeKnownMisses(t *testing.T) {
	n := 0
	for _, c := range All() {
		if c.KnownMiss != "" {
			n++
		}
	}
	if n > 3 {
		t.Errorf("%d known misses", n)
	}
}

// TestChecksAreWellFormed: names are unique, and every check says what and whence.
func TestChecksAreWellFormed(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range All() {
		if c.ID == "" || strings.ToLower(c.ID) != c.ID || strings.ContainsAny(c.ID, " _") || seen[c.ID] {
			t.Errorf("%q is not a new short name", c.ID)
		}
		seen[c.ID] = true
		if c.What == "" || c.Source == "" || c.Run == nil || c.Section < 1 {
			t.Errorf("%s does not say what, whence or how", c.ID)
		}
		if !(c.Want.Low <= c.Want.High) || math.IsNaN(c.Want.Figure) || math.IsInf(c.Want.Figure, 0) {
			t.Errorf("%s wants %+v", c.ID, c.Want)
		}
	}
}

// TestPredictedIsEarned: a predicted check rests on no parameter that was chosen
// by it, which such a parameter says by naming the check.
func TestPredictedIsEarned(t *testing.T) {
	for _, c := range All() {
		for _, p := range c.Uses {
			if c.Predicted && strings.Contains(p.Source, c.ID) {
				t.Errorf("%s is called predicted, but %q was chosen by it", c.ID, p.Name)
			}
		}
	}
}

func TestWants(t *testing.T) {
	for _, c := range []struct {
		want  Want
		x     float64
		holds bool
	}{
		{About(3, 0.1), 3.05, true}, {About(3, 0.1), 3.2, false},
		{Within(-2, 0.1), -2.1, true}, {Within(-2, 0.1), -1.7, false},
		{Between(1, 2), 2, true}, {AtMost(5), -1e9, true}, {AtMost(5), 5.1, false},
		{AtLeast(5), 1e9, true}, {AtLeast(5), 4.9, false}, {AtLeast(0), math.NaN(), false},
	} {
		if c.want.Holds(c.x) != c.holds {
			t.Errorf("%+v and %g", c.want, c.x)
		}
	}
}

func TestEvaluateNamesTheReason(t *testing.T) {
	c := Check{ID: "x", Want: About(1, 0.1), Run: func() (float64, error) { return 2, nil }}
	if r := c.Evaluate(); r.Status != Fail || r.Reason == "" {
		t.Errorf("%+v", r)
	}
	c.KnownMiss = "one parameter set cannot"
	if r := c.Evaluate(); r.Status != Miss || r.Reason != c.KnownMiss || r.Got != 2 {
		t.Errorf("%+v", r)
	}
	c.Run = func() (float64, error) { panic("lost") }
	if r := c.Evaluate(); r.Status != Fail || !strings.Contains(r.Reason, "lost") {
		t.Errorf("%+v", r)
	}
}
