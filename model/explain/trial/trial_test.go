package trial

import (
	"context"
	"testing"
)

// Some hundred patients: bounds so wide that chance does not break them, and a
// broken inference does (six causes guessed are right one time in six; an
// evidence turned round or a finding ignored falls far below).
func TestFewPatientsAreMostlyToldRight(t *testing.T) {
	r, err := run(context.Background(), 150, 5, []Condition{{"9_readings", 9, false, false, 0.75}, {"9_readings_4_questions", 9, false, true, 0.87}})
	if err != nil {
		t.Fatal(err)
	}
	least := map[string]float64{"9_readings": 0.72, "9_readings_4_questions": 0.8}
	for _, s := range r.Scores {
		want, off, size := least[s.ID], 0.12, 1.8
		if s.Separate {
			want, off, size = want-0.1, 0.16, 2
		}
		if s.Right.Value < want || s.Error > off || s.Covered.Value < 0.8 || s.SetSize > size {
			t.Errorf("%s, separate %t: right %.3f, calibration error %.3f, covered %.3f, set %.2f",
				s.ID, s.Separate, s.Right.Value, s.Error, s.Covered.Value, s.SetSize)
		}
	}
}

// What is aimed at can be missed.
func TestAMissIsNamed(t *testing.T) {
	s := Score{Condition: Condition{Target: 0.75}, Right: Estimate{Value: 0.74}, Error: 0.06, Covered: Estimate{Value: 0.79}, SetSize: 2}
	if s.judge(); len(s.Misses) != 4 {
		t.Errorf("misses %v", s.Misses)
	}
	s = Score{Condition: Condition{Target: 0.75}, Separate: true, Right: Estimate{Value: 0.69}, Error: 0.06, Covered: Estimate{Value: 0.81}, SetSize: 1.9}
	if s.judge(); len(s.Misses) != 0 {
		t.Errorf("misses %v", s.Misses)
	}
}
