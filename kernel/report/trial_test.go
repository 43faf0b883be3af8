package report_test

import (
	"strings"
	"testing"

	"tautline/kernel/report"
	"tautline/model/explain/trial"
)

func TestTrialKeepsToTheWordsAndTheWidth(t *testing.T) {
	r := trial.Report{Patients: 2000, Seed: 18446744073709551615, Mask: "oronasal, medium (invented)"}
	for _, c := range trial.Conditions() {
		for _, separate := range []bool{false, true} {
			s := trial.Score{Condition: c, Separate: separate, Right: trial.Estimate{Value: 0.751, Low: 0.742, High: 0.76}, SetSize: 1.5}
			for range trial.Six {
				s.Confusion = append(s.Confusion, []int{333, 0, 12, 100, 2, 3})
			}
			r.Scores = append(r.Scores, s)
		}
	}
	r.Scores[0].Misses = []trial.Miss{{Target: trial.Accuracy, Wanted: 0.75, Got: 0.5}}
	text := report.Trial(r, report.Ink{})
	if found := never.FindString(text); found != "" {
		t.Errorf("the trial says %q", found)
	}
	for _, line := range strings.Split(text, "\n") {
		if len([]rune(line)) > report.Width {
			t.Errorf("%d columns: %s", len([]rune(line)), line)
		}
	}
	if !strings.Contains(text, "missed: patients as the model assumes them") {
		t.Error("a missed aim is not named")
	}
}
