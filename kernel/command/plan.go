package command

import (
	"path/filepath"

	"github.com/spf13/cobra"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/plan"
	"tautline/model/uncertainty"
)

// planFlags are what can be said of a plan beside the usual forms.
type planFlags struct {
	stock string
	seed  uint64
	draws drawsFlags
	trial int
}

func planCommand() *cobra.Command {
	f := &planFlags{}
	cmd := &cobra.Command{
		Use:   "plan PATIENT.toml",
		Short: "What to try first from the stock, and next after each outcome",
		Long: `Reads what is known of a patient, without a name: ticks for the face, what must
not be worn, the therapy's pressures, and what was tried. Answers with the mask
to try first, its size and straps, what to do at the visit in bedside order, what
next after each outcome, and what to expect in visits and mask changes against
plain trial and error, with the share that stays unsolved. Outcomes are written
into the file; the next plan learns from them.

--draws 10 plans ten times with other spreads and other simulated persons, fewer
of them (200), and says how often the first choice stays.

--trial N sets the plan against trial and error on N simulated persons, and
prints what was aimed at beside it. The exit code is 1 when an aim is missed.

--stock names what the clinic has; without it every mask of the catalogue is
taken to be there. kernel/scenario/FORMAT.md says what may stand in both files; -
reads the patient from standard input. --csv gives one line for each step.`,
		Example: `  tautline plan testdata/patients/first-visit.toml --stock testdata/stock.toml
  tautline plan testdata/patients/second-visit.toml --stock testdata/stock.toml --svg plan.svg
  tautline plan testdata/patients/first-visit.toml --json
  tautline plan --trial 1000 --seed 1`,
	}
	cmd.Args = func(cmd *cobra.Command, args []string) error {
		if f.trial != 0 && len(args) == 0 {
			return nil
		}
		return oneFile(cmd, args)
	}
	cmd.Flags().IntVar(&f.trial, "trial", 0, "set the plan against trial and error on `N` simulated persons; no patient is read")
	cmd.Flags().StringVar(&f.stock, "stock", "", "the `FILE` that lists what the clinic has (default: every mask of the catalogue)")
	cmd.Flags().Uint64Var(&f.seed, "seed", 1, "the `NUMBER` that simulated persons are drawn from")
	f.draws.add(cmd)
	o := addOutputFlags(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		switch {
		case f.trial != 0 && len(args) > 0:
			return misused("--trial draws its own persons: leave out %s", args[0])
		case f.trial != 0:
			return runPlanTrial(cmd, plan.TrialQuestion{Question: trialQuestion(f.seed), N: f.trial}, plan.Setups(), o)
		}
		return runPlan(cmd, args[0], f, o)
	}
	return cmd
}

func runPlan(cmd *cobra.Command, path string, f *planFlags, o *output) error {
	inputs := []string{path}
	if f.stock != "" {
		inputs = append(inputs, f.stock)
	}
	if err := f.draws.check(); err != nil {
		return err
	}
	if err := o.ready(inputs...); err != nil {
		return err
	}
	name, data, err := readInput(cmd, path)
	if err != nil {
		return err
	}
	p, err := scenario.ParsePatient(name, data, scenario.PlanParts()...)
	if err != nil {
		return err
	}
	stock, err := f.shelf(cmd)
	if err != nil {
		return err
	}
	q, err := scenario.PlanQuestion(p, stock)
	if err != nil {
		return err
	}
	q.Seed = f.seed
	stop := progress(cmd.ErrOrStderr(), "trying masks on simulated persons")
	a, err := plan.Plan(cmd.Context(), q)
	stop()
	if err != nil {
		return report.NoPlan(name, err)
	}
	r := planRendering(filepath.Base(name), p.About, filepath.Base(stock.File), a)
	if f.draws.wanted() {
		f.draws.seed = f.seed
		drawn, err := drawStudy(cmd, &f.draws, uncertainty.PlanStudy(cmd.Context(), a))
		if err != nil {
			return report.NoPlan(name, err)
		}
		r = r.add(drawn, report.PlanDraws, "A plan", "")
	}
	return o.write(cmd.OutOrStdout(), r)
}

// shelf reads the stock, or takes the catalogue.
func (f *planFlags) shelf(cmd *cobra.Command) (scenario.Stock, error) {
	if f.stock == "" {
		return scenario.UsualStock(), nil
	}
	name, data, err := readInput(cmd, f.stock)
	if err != nil {
		return scenario.Stock{}, err
	}
	return scenario.ParseStock(name, data)
}

func planRendering(name, about, stock string, a plan.Answer) rendering {
	return rendering{
		text:    func(ink report.Ink) string { return report.PlanText(a, stock, ink) },
		json:    func() any { return report.PlanJSON(name, about, stock, a) },
		csv:     func() string { return report.PlanCSV(a) },
		picture: func() *picture.Picture { return picture.Plan(a) },
	}
}
