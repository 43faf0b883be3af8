package command

import (
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/fit"
	"tautline/model/plan"
	"tautline/model/unit"
)

// Bounds on the simulated persons of a trial: fewer say nothing, more take hours.
const (
	fewestInTrial = 20
	mostInTrial   = 100_000
)

// trialQuestion is what every simulated person of a trial is planned for.
func trialQuestion(seed uint64) plan.Question {
	q := plan.Question{Gates: plan.Gates{Vomiting: plan.No, TakesOffAlone: plan.Yes, Implants: plan.No},
		Range: [2]unit.Pressure{4 * unit.CmH2O, 12 * unit.CmH2O}, Limit: 24 * unit.LPerMin, Seed: seed}
	// No line: trial and error keeps to none either.
	q.Position, _ = fit.FindPosition("on the back")
	for _, m := range scenario.UsualStock().Masks {
		q.Stock = append(q.Stock, plan.Item{Type: m.Type, Size: m.Size, Vented: m.Vented, Count: m.Count})
	}
	return q
}

// runPlanTrial sets the plan against trial and error on simulated persons. Aims
// that were missed make it fail, after the report.
func runPlanTrial(cmd *cobra.Command, q plan.TrialQuestion, setups []plan.Setup, o *output) error {
	if q.N < fewestInTrial || q.N > mostInTrial {
		return misused("--trial %d: ask for %d to %d simulated persons", q.N, fewestInTrial, mostInTrial)
	}
	if o.csv || len(o.files()) > 0 {
		return misused("--trial answers with text or --json: leave out --csv, --svg and --png")
	}
	say, stop := progressSteps(cmd.ErrOrStderr(), "planning for simulated persons")
	all, err := plan.Quality(cmd.Context(), q, setups, func(i int) { say(fmt.Sprintf("%d of %d setups", i, len(setups))) })
	stop()
	if err != nil {
		return fmt.Errorf("the trial did not end: %w", err)
	}
	err = o.write(cmd.OutOrStdout(), rendering{
		text: func(ink report.Ink) string { return report.PlanTrialText(q.Question, q.N, all, ink) },
		json: func() any { return report.PlanTrialJSON(q.Question, q.N, all) },
	})
	if err == nil && slices.ContainsFunc(all, func(j plan.Judged) bool { return !j.Meets() }) {
		err = errors.New("some aims of the trial were missed: the report names them")
	}
	return err
}
