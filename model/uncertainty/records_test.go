package uncertainty

import (
	"testing"

	"tautline/model/airway"
	"tautline/model/explain"
	"tautline/model/night"
	"tautline/model/plan"
	"tautline/model/population"
	"tautline/model/unit"
)

// TestEveryAnswersRecordSaysHowFar goes through what breaths, nights,
// explanations, plans and populations rest on beside a case: each has a likely
// range or a spread of its own, or says why it is not drawn.
func TestEveryAnswersRecordSaysHowFar(t *testing.T) {
	holdRecords(t, airway.Parameters(), night.Parameters(), explain.Parameters(), plan.Parameters(), population.Parameters())
	for name, all := range map[string][]unit.Parameter{"airway": airway.Parameters(), "night": night.Parameters(),
		"explain": explain.Parameters(), "plan": plan.Parameters(), "population": population.Parameters()} {
		for _, p := range all {
			if p.SD <= 0 && p.Likely == [2]float64{} && p.Fixed == "" {
				t.Errorf("%s: %s says neither how far it may be off nor why it is not drawn", name, p.Name)
			}
		}
	}
}
