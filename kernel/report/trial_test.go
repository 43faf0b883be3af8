package report_test

import (
	"context"
	"strings"
	"testing"

	"tautline/kernel/report"
	"tautline/model/explain/trial"
)

func TestTrialKeepsToTheWordsAndTheWidth(t *testing.T) {
	r, err := trial.Run(context.Background(), 60, 3)
	if err != nil {
		t.Fatal(err)
	}
	r.Scores[0].Misses = append(r.Scores[0].Misses, trial.Miss{Target: trial.Accuracy, Wanted: 0.75, Got: 0.5})
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
