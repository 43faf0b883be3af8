package report

import (
	"fmt"
	"slices"

	"tautline/model/plan"
)

// PlanPastLine says that what is tried passes the stated line, because nothing
// that is left keeps under it; empty when it keeps under.
func PlanPastLine(a plan.Answer) string {
	if a.Next == nil || !a.Next.PastLine {
		return ""
	}
	return fmt.Sprintf("Nothing left in this stock keeps the skin under your line (%s) and is likely to hold: this passes it in %s of simulated persons. Another type from elsewhere may be the better next step.",
		Contact(a.Question.Line.Level(a.Question.Worn)), percent(a.Next.OverLine))
}

// pastLineNote explains the mark of steps that pass the stated line.
func pastLineNote(a plan.Answer) string {
	past := func(b plan.Branch) bool { return b.Next != nil && b.Next.PastLine }
	if a.Next == nil || !slices.ContainsFunc(a.Next.After, past) {
		return ""
	}
	return "* passes your line: nothing then left in this stock keeps under it and is likely to hold. Another type from elsewhere may be the better next step."
}

// passWords says how often a setting passes the stated line; nothing is said
// where none was stated.
func passWords(q plan.Question, chance float64) string {
	if !q.Line.IsSet() {
		return ""
	}
	return fmt.Sprintf(" Chance to pass your line: %s.", percent(chance))
}

// PlanLineLimit says how the line binds.
var PlanLineLimit = fmt.Sprintf("What passes your line in more than %.0f %% of simulated persons comes after everything that keeps under it.", 100*plan.PassChance)
