package command

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"tautline/kernel/report"
	"tautline/model/explain/trial"
)

// An explainTrial is how the causes' trial was asked for.
type explainTrial struct {
	patients int
	seed     uint64
}

// addTrialFlags lets a verb run the trial of the causes in place of its own
// work.
func addTrialFlags(cmd *cobra.Command) *explainTrial {
	t := &explainTrial{}
	cmd.Flags().IntVar(&t.patients, "explain", 0, "try the causes of a leak on `N` invented patients of each kind (2000 take some minutes)")
	cmd.Flags().Uint64Var(&t.seed, "seed", 1, "seed of the invented patients")
	return t
}

// most is how many patients a trial takes before it would run for hours.
const mostPatients = 100_000

// asked tells whether the trial is wanted, and refuses what makes none.
func (t *explainTrial) asked(cmd *cobra.Command) (bool, error) {
	switch {
	case !cmd.Flags().Changed("explain") && cmd.Flags().Changed("seed"):
		return false, misused("--seed belongs to --explain N: the published checks draw nothing")
	case !cmd.Flags().Changed("explain"):
		return false, nil
	case t.patients < 60 || t.patients > mostPatients:
		return false, misused("--explain takes 60 to %d patients, not %d", mostPatients, t.patients)
	}
	return true, nil
}

// run tries the causes and prints what became of it. Targets that were missed
// make it fail, after the report.
func (t *explainTrial) run(cmd *cobra.Command, o *output, stderr io.Writer) error {
	stop := progress(stderr, fmt.Sprintf("%d patients of each kind", t.patients))
	r, err := trial.Run(cmd.Context(), t.patients, t.seed)
	stop()
	if err != nil {
		return err
	}
	err = o.write(cmd.OutOrStdout(), rendering{
		text: func(ink report.Ink) string { return report.Trial(r, ink) },
		json: func() any { return report.TrialJSON(r) },
	})
	if err == nil && r.Missed() {
		err = fmt.Errorf("some targets of the trial were missed: the report names them")
	}
	return err
}
