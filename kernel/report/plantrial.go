package report

import (
	"fmt"
	"strings"

	"tautline/model/plan"
)

// A PlanTrialResult is the plan set against trial and error, as programs read it.
type PlanTrialResult struct {
	Format    string          `json:"format"`
	Version   int             `json:"version"`
	Persons   int             `json:"persons"`
	Seed      uint64          `json:"seed"`
	Setups    []PlanTrialItem `json:"setups"`
	Sentences []string        `json:"sentences"`
}

// A PlanTrialItem is one way of setting the two against each other.
type PlanTrialItem struct {
	Setup         plan.Setup   `json:"setup"`
	Order         []string     `json:"type_order_of_trial_and_error"`
	Trial         ForecastItem `json:"trial_and_error"`
	Planned       ForecastItem `json:"planned"`
	VisitsRatio   MeanItem     `json:"visits_ratio"`
	UnsolvedRatio MeanItem     `json:"unsolved_ratio"`
	// Floor is the share that nothing in the stock serves, with all known.
	Floor          *float64 `json:"unsolved_floor"`
	ReachableRatio MeanItem `json:"unsolved_ratio_beyond_floor"`
	// Knowing is the plan with each face known; null where it was not asked for.
	Knowing      *ForecastItem `json:"planned_knowing_the_face"`
	MostVisits   *float64      `json:"visits_ratio_wanted"`
	MostUnsolved *float64      `json:"unsolved_ratio_wanted"`
	Met          bool          `json:"met"`
}

// setupWords say how persons and plan differ in a setup.
var setupWords = map[plan.Setup]string{
	plan.AsAssumed:     "people differ as assumed",
	plan.StrapsChanged: "and change their straps once between visits",
	plan.TooWide:       "the plan takes people to differ 1.6 times as much",
	plan.TooNarrow:     "the plan takes people to differ 1.6 times less",
	plan.ReseatAtOnce:  "trial and error re-seats without a visit of its own",
}

// PlanTrialText is the report as text.
func PlanTrialText(q plan.Question, n int, all []plan.Judged, ink Ink) string {
	var b strings.Builder
	b.WriteString(Wrap(planTrialCase(q, n), "") + "\n")
	for i := range all {
		j := &all[i]
		b.WriteString("\n" + ink.Bold(sentenceCase(setupWords[j.Setup])) + "\n")
		rows := [][]string{{"", "visits", "mask changes", "unsolved", "visits if solved"}, {"", "", "", "%", ""}}
		row := func(name string, f *plan.Forecast) {
			rows = append(rows, []string{name, within(f.Visits, 1), within(f.Changes, 1), within(f.Unsolved, 100), within(f.SolvedVisits, 1)})
		}
		row("by this plan", &j.Planned)
		row("by trial and error", &j.ByHand)
		if j.Knowing.N > 0 {
			row("if each face were known", &j.Knowing)
		}
		b.WriteString(Columns("  ", rows))
		b.WriteString(Wrap("  "+judgedSentence(j), "  ") + "\n")
	}
	b.WriteString("\n" + Wrap(planTrialHow, "") + "\n" + Wrap(PlanLimits, "") + "\n")
	return b.String()
}

const planTrialHow = "Every person goes through both, with the same luck at each visit. Unsolved after 12 visits counts as 12. " +
	"Trial and error: size by gauge, re-seat, a step tighter on a leak, a step looser when sore, another size, another type in the order that does best here. " +
	"No reference line is kept to, by either. The plan sees the gauge's reading and what is told after each visit, and nothing else of the person. In brackets: 95 % intervals. " +
	"The assumed spreads were picked from about ten sets with the plan's own result in view: the intervals hold the luck of the draw, not that choice."

func planTrialCase(q plan.Question, n int) string {
	return fmt.Sprintf("%d simulated persons, seed %d; %s to %s on the back, leak limit %s; every mask of the catalogue in stock.",
		n, q.Seed, bedside(q.Range[0].CmH2O()), Airway(q.Range[1]), Flow(q.Limit))
}

// judgedSentence says the ratios and whether they are where they should be.
func judgedSentence(j *plan.Judged) string {
	s := fmt.Sprintf("Visits: %.2f of trial and error's (%.2f to %.2f)%s; unsolved: %.2f of its share (%.2f to %.2f)%s.",
		j.VisitsRatio.Value, j.VisitsRatio.Low, j.VisitsRatio.High, orMissed(j.VisitsRatio.Value, j.MostVisits),
		j.UnsolvedRatio.Value, j.UnsolvedRatio.Low, j.UnsolvedRatio.High, orMissed(j.UnsolvedRatio.Value, j.MostUnsolved))
	s += fmt.Sprintf(" Even with all known %.1f %% would stay unsolved; beyond those: %.2f of its share (%.2f to %.2f)%s.",
		100*j.Floor, j.ReachableRatio.Value, j.ReachableRatio.Low, j.ReachableRatio.High, orMissed(j.ReachableRatio.Value, j.MostUnsolved))
	if j.Knowing.N > 0 {
		s += fmt.Sprintf(" With each face known, though neither skin, habit, mouth nor luck, the plan would leave %.1f %% unsolved in place of %.1f %%: %.2f of trial and error's share.",
			100*j.Knowing.Unsolved.Value, 100*j.Planned.Unsolved.Value, j.KnowingRatio.Value)
	}
	if j.MostUnsolved > 0 && j.UnsolvedRatio.Value > j.MostUnsolved {
		s += " Reason: " + missedWhy
	}
	return s
}

// missedWhy is what keeps the unsolved share from the aim.
const missedWhy = "some persons are served by nothing in the stock; in others what the skin bears, how straps come to lie and what is worn " +
	"show at the visits alone, and 12 of them are not enough."

func orMissed(got, most float64) string {
	switch {
	case most == 0:
		return ""
	case got <= most:
		return fmt.Sprintf(", wanted at most %.2f: met", most)
	}
	return fmt.Sprintf(", wanted at most %.2f: missed", most)
}

func sentenceCase(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// PlanTrialJSON is the report for programs.
func PlanTrialJSON(q plan.Question, n int, all []plan.Judged) PlanTrialResult {
	r := PlanTrialResult{Format: "tautline plan trial", Version: 1, Persons: n, Seed: q.Seed, Sentences: []string{planTrialCase(q, n), planTrialHow, PlanLimits}}
	for i := range all {
		j := &all[i]
		item := PlanTrialItem{Setup: j.Setup, Trial: forecastItem(j.ByHand), Planned: forecastItem(j.Planned),
			VisitsRatio: meanItem(j.VisitsRatio), UnsolvedRatio: meanItem(j.UnsolvedRatio), Floor: num(j.Floor),
			ReachableRatio: meanItem(j.ReachableRatio), Met: j.Meets()}
		if j.Knowing.N > 0 {
			known := forecastItem(j.Knowing)
			item.Knowing = &known
		}
		for _, t := range j.Order {
			item.Order = append(item.Order, string(t))
		}
		if j.MostVisits > 0 {
			item.MostVisits = num(j.MostVisits)
		}
		if j.MostUnsolved > 0 {
			item.MostUnsolved = num(j.MostUnsolved)
		}
		r.Setups = append(r.Setups, item)
	}
	return r
}
