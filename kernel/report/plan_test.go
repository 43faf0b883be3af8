package report_test

import (
	"context"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/plan"
	"tautline/model/skin"
	"tautline/model/unit"
)

// planQuestions go through gates, ticks and outcomes, so that every sentence of
// a plan is met.
func planQuestions(t *testing.T) (out []plan.Question) {
	t.Helper()
	own, err := skin.Chosen(70 * unit.MmHg)
	if err != nil {
		t.Fatal(err)
	}
	muscle, _ := skin.FindLine("muscle")
	stock := scenario.UsualStock().Masks
	for i := range stock {
		stock[i].Magnets, stock[i].Reprocessed, stock[i].Vented = i%3 == 0, i%2 == 0, i != 4
	}
	for i, o := range append(plan.Outcomes(), plan.Comfortable, plan.Sore) {
		told := plan.Told(i % 3)
		q := plan.Question{Seed: uint64(i), People: 150, Stock: stock, Range: [2]unit.Pressure{4 * unit.CmH2O, unit.Pressure(8+2*i) * unit.CmH2O},
			Limit: 24 * unit.LPerMin, Line: []skin.Line{own, muscle}[i%2], Worn: 7 * unit.Hour, Position: fit.Positions()[i%4],
			Look:  plan.Look{Ticks: plan.Ticks()[i : i+1], MouthOpen: told},
			Gates: plan.Gates{Vomiting: told, TakesOffAlone: plan.Told((i + 1) % 3), Implants: plan.Told(i / 2 % 3)}}
		switch {
		case i == 6:
			q.Gates.NoseBlocked, q.Gates.Implants, q.Gates.Vomiting = plan.Yes, plan.Yes, plan.Yes
		case i == 7:
			q.Gates.Covers, q.Look.Ticks, q.Position = mask.Nasal, []plan.Tick{plan.Glasses}, fit.Position{}
		case i > 0:
			q.Tried = []plan.Visit{{Type: mask.Nasal, Size: "medium", Pull: unit.Force(i%2) * 3, What: o, Anywhere: i == 2}}
		}
		out = append(out, q)
	}
	return append(out, plan.Question{Seed: 1, People: 150, Stock: stock, Range: [2]unit.Pressure{4 * unit.CmH2O, 12 * unit.CmH2O},
		Limit: 24 * unit.LPerMin, Line: own, Tried: []plan.Visit{{Type: mask.Nasal, Size: "small", What: plan.Comfortable}}})
}

// Every plan keeps to 80 columns and to the list of words that no answer may
// hold, begins with the cautions and ends with what to look at.
func TestEveryPlanSentence(t *testing.T) {
	for i, q := range planQuestions(t) {
		a, err := plan.Plan(context.Background(), q)
		if err != nil {
			t.Fatalf("question %d: %v", i, err)
		}
		text := report.PlanText(a, "stock.toml", report.Ink{})
		for _, line := range strings.Split(text, "\n") {
			if n := utf8.RuneCountInString(line); n > report.Width {
				t.Errorf("question %d, %d columns: %s", i, n, line)
			}
		}
		flat := strings.Join(strings.Fields(text), " ")
		if found := never.FindString(flat); found != "" || strings.Contains(flat, "tighten") {
			t.Errorf("question %d says %q: %s", i, found, flat)
		}
		if bad := regexp.MustCompile(`NaN|Inf|%!|\(EXTRA`).FindString(flat); bad != "" {
			t.Errorf("question %d holds %q: %s", i, bad, flat)
		}
		for _, want := range []string{"First look: is this a vented mask", "What this cannot know", "Afterwards: ", "not a medical device"} {
			if !strings.Contains(flat, want) {
				t.Errorf("question %d lacks %q", i, want)
			}
		}
		if gates, try := strings.Index(flat, "ept out"), strings.Index(flat, "Try "); try >= 0 && gates > try {
			t.Errorf("question %d: a mask is named before what is kept out", i)
		}
		if rows := strings.Count(report.PlanCSV(a), "\n"); a.Next != nil && rows < 2 {
			t.Errorf("question %d: the CSV has no step", i)
		}
	}
}
