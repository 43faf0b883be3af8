package report_test

import (
	"fmt"
	"regexp"
	"testing"

	"tautline/kernel/coursework"
	"tautline/kernel/report"
)

// Whatever is answered, by hundreds of students, no sentence about it holds a
// digit: the right number cannot be in it.
func TestFeedbackHoldsNoNumber(t *testing.T) {
	tasks, err := coursework.Lessons()
	if err != nil {
		t.Fatal(err)
	}
	digit := regexp.MustCompile(`[0-9]`)
	seen := map[coursework.Verdict]bool{}
	for i := range 300 {
		task := &tasks[i%len(tasks)]
		w := coursework.NewWork(coursework.Codes{Class: "class-7", Student: fmt.Sprintf("k%d", i)}, tasks)
		r, _ := w.Record(task.Name)
		if task.Number == nil || task.Name == "mouth leak" { // whole breaths take long
			continue
		}
		one, _ := task.Number.Quantity.Factor(task.Number.Unit)
		for _, v := range []any{answerOf(task, float64(i)*one/5), answerOf(task, -one), float64(i), "much"} {
			j, err := r.Answer(v)
			if err != nil {
				t.Fatal(err)
			}
			seen[j.Verdict] = true
			text := report.TaskJudgement(task, j)
			if text == "" || digit.MatchString(text) || never.MatchString(text) {
				t.Errorf("%q, %v: %q", task.Name, v, text)
			}
		}
	}
	// What chance did not meet: every verdict and cause has its sentence.
	for v := coursework.Unanswered; v <= coursework.NotYet; v++ {
		for _, c := range []coursework.Cause{coursework.VentFlow, coursework.PerStrap, coursework.Margin, coursework.SiteLeak} {
			if text := report.TaskJudgement(&tasks[0], coursework.Judgement{Verdict: v, Cause: c}); v != coursework.UnknownOption && (text == "" || digit.MatchString(text)) {
				t.Errorf("%v: %q", v, text)
			}
		}
	}
	if !seen[coursework.NotYet] || !seen[coursework.InForm] {
		t.Error("too few verdicts were met")
	}
}

// answerOf gives a value in the type that a cell would have.
func answerOf(task *coursework.Task, si float64) any {
	v, ok := coursework.Typed(task.Number.Quantity, si)
	if !ok {
		panic(task.Name)
	}
	return v
}
