package report

import (
	"fmt"

	"tautline/model/explain"
	"tautline/model/mask"
	"tautline/model/uncertainty"
	"tautline/model/unit"
)

// The words of the draws of plans, explanations, nights and breaths.
var (
	PlanDraws = DrawsWords{Verdict: firstChoiceWords, ID: firstChoiceWords,
		Quantities: map[uncertainty.Quantity]QuantityWords{
			uncertainty.Visits:   {"visits expected from now", "", 1},
			uncertainty.Unsolved: {"share left unsolved", "%", 0.01},
		},
		Matter: "The visits to expect hang mostly on"}
	ExplainDraws = DrawsWords{
		Verdict: func(c int) string { return "what leads is " + causeNames[explain.Cause(c)] },
		ID:      func(c int) string { return explain.Cause(c).ID() },
		Quantities: map[uncertainty.Quantity]QuantityWords{
			uncertainty.Leader: {"probability of what leads", "%", 0.01}},
		Matter: "How far the leading cause leads hangs mostly on"}
	PopulationDraws = DrawsWords{
		Verdict: func(v int) string { return typeNoun(mask.Types()[v]) + mostFaces(v) },
		ID:      func(v int) string { return string(mask.Types()[v]) },
		Quantities: map[uncertainty.Quantity]QuantityWords{
			uncertainty.ServedShare(mask.Oronasal): {"oronasal: faces with a window", "%", 0.01},
			uncertainty.ServedShare(mask.Nasal):    {"nasal: faces with a window", "%", 0.01},
			uncertainty.ServedShare(mask.Pillows):  {"pillows: faces with a window", "%", 0.01},
			uncertainty.AnyShare:                   {"some type: faces with a window", "%", 0.01},
		},
		Matter: "The share of faces hangs mostly on"}
	NightDraws = DrawsWords{
		Verdict: func(v int) string {
			return [...]string{"most nights stay under your limit", "most nights go past your limit"}[v]
		},
		ID: func(v int) string { return [...]string{"under", "over"}[v] },
		Quantities: map[uncertainty.Quantity]QuantityWords{
			uncertainty.NightLeak: {"leak of the middle night", "L/min", float64(unit.LPerMin)},
			uncertainty.TimeAbove: {"time above your limit", "%", 0.01},
		},
		Matter: "The leak of a night hangs mostly on"}
	BreathDraws = DrawsWords{
		Verdict: func(v int) string {
			return [...]string{"hardly any air leaves by the mouth", "air would leave by the mouth"}[v]
		},
		ID: func(v int) string { return [...]string{"mouth keeps", "mouth leaks"}[v] },
		Quantities: map[uncertainty.Quantity]QuantityWords{
			uncertainty.Unintended: {"unintentional leak, mean", "L/min", float64(unit.LPerMin)},
			uncertainty.MouthLeak:  {"of it by the mouth", "L/min", float64(unit.LPerMin)},
			uncertainty.Swing:      {"swing of mask pressure", "cmH2O", float64(unit.CmH2O)},
		},
		Matter: "The unintentional leak hangs mostly on"}
)

// mostFaces goes on after the noun of a type.
func mostFaces(v int) string {
	if mask.Types()[v] == mask.Pillows {
		return " have a window on most faces"
	}
	return " has a window on most faces"
}

// firstChoiceWords says what a plan tries first.
func firstChoiceWords(v int) string {
	kind, size, ok := uncertainty.FirstChoice(v)
	if !ok {
		return "no mask of the stock is left to try"
	}
	return fmt.Sprintf("%s, %s, comes first", TypeWords(kind), size)
}
