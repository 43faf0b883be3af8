package picture

import (
	"strings"
	"testing"

	"tautline/model/mask"
	"tautline/model/plan"
	"tautline/model/unit"
)

// inventedPlan is a plan with every kind of next step.
func inventedPlan() plan.Answer {
	set := func(t mask.Type, size string, n float64) plan.Setting {
		pull := unit.Force(n)
		return plan.Setting{Type: t, Size: size, Pull: pull, Range: [2]unit.Force{0.8 * pull, 1.25 * pull}}
	}
	step := func(m plan.Move, s plan.Setting, solves float64) *plan.Step {
		return &plan.Step{Move: m, Setting: s, Solves: solves}
	}
	first := step(plan.FirstMask, set(mask.Nasal, "medium", 3.4), 0.55)
	first.After = []plan.Branch{
		{Outcome: plan.Comfortable, Chance: 0.55, Next: step(plan.Keep, plan.Setting{}, 1)},
		{Outcome: plan.LeaksAtBridge, Chance: 0.17, Next: step(plan.Reseat, set(mask.Nasal, "medium", 3.4), 0.4)},
		{Outcome: plan.LeaksElsewhere, Chance: 0.06, Next: step(plan.ChangeSize, set(mask.Nasal, "large", 3.8), 0.5)},
		{Outcome: plan.Sore, Chance: 0.14, Next: step(plan.Loosen, set(mask.Nasal, "medium", 2.6), 0.6)},
		{Outcome: plan.MouthLeak, Chance: 0.07, Next: step(plan.ChangeType, set(mask.Oronasal, "medium", 7), 0.45)},
		{Outcome: plan.NotWorn, Chance: 0.01},
	}
	forecast := func(per float64, unsolved float64) plan.Forecast {
		f := plan.Forecast{Unsolved: plan.Mean{Value: unsolved, Low: unsolved - 0.01, High: unsolved + 0.01}, N: 2000}
		left := 1 - unsolved
		for range plan.Cap {
			f.ByVisit = append(f.ByVisit, 1-unsolved-left*(1-per))
			left *= 1 - per
		}
		return f
	}
	return plan.Answer{Next: first, Planned: forecast(0.6, 0.02), Trial: forecast(0.35, 0.09)}
}

// The picture says what it draws, for somebody who cannot see it, and holds
// every outcome with its chance.
func TestPlan(t *testing.T) {
	p := Plan(inventedPlan(), Named("Invented"))
	for _, want := range []string{"nasal, medium", "leaks at bridge or nose (17 %): re-seat", "full face, medium", "not planned"} {
		if !strings.Contains(p.Alt, want) {
			t.Errorf("the text alternative lacks %q: %s", want, p.Alt)
		}
	}
	svg := string(p.SVG())
	for _, want := range []string{"Invented: what to try first", "visits from now", "solved, %", "by trial and error", "sore, 14 %"} {
		if !strings.Contains(svg, want) {
			t.Errorf("the picture lacks %q", want)
		}
	}
	if empty := Plan(plan.Answer{}); !strings.Contains(string(empty.SVG()), "Nothing is left to try") {
		t.Error("a plan without a step does not say so")
	}
}
