package command

import (
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/explain"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/uncertainty"
	"tautline/model/unit"
)

// explainFlags are what can be told beside a CSV file of readings; a patient
// file says the same in its sections.
type explainFlags struct {
	kind, size, vent, straps, position, felt, sore string
	told                                           map[string]*string
	seed                                           uint64
	draws                                          drawsFlags
}

func explainCommand() *cobra.Command {
	f := &explainFlags{told: map[string]*string{}}
	cmd := &cobra.Command{
		Use:   "explain READINGS.csv|PATIENT.toml",
		Short: "Why a mask leaks: readings against causes, and what to try first",
		Long: `Reads pressures with the flow at each, from a CSV file or from a patient file
without a name, and compares what each cause of a leak would show: a gap, an
opening elsewhere, a site that opens, the mouth, a worn cushion, the vent or its
curve, lying on the side, nothing unusual. Answers with a share for each, what
cannot be told apart and what would decide, the one test of ten seconds that
tells most, and what to try in bedside order.

A CSV file has a header that says which flow it is:

  pressure_cmH2O,unintentional_leak_L_per_min     or total_leak_L_per_min

and if wanted the columns statistic, time and position. The mask and what was
seen are told by flags then; "don't know" is always an answer, and the same as
leaving the flag out. A patient file has all of it inside
(kernel/scenario/FORMAT.md). - reads it from standard input.`,
		Example: `  tautline explain testdata/patients/leaks-at-high-pressure.toml
  tautline explain testdata/readings/rising.csv --mask nasal --size medium --stepped-by person --dry-mouth no
  tautline explain testdata/patients/leaks-at-high-pressure.toml --svg why.svg`,
		Args: oneFile,
	}
	f.add(cmd)
	o := addOutputFlags(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runExplain(cmd, args[0], f, o) }
	return cmd
}

func (f *explainFlags) add(cmd *cobra.Command) {
	fl := cmd.Flags()
	fl.StringVar(&f.kind, "mask", "", "the mask's `TYPE`: nasal, oronasal (full face) or pillows")
	fl.StringVar(&f.size, "size", "", "its `SIZE`: small, medium or large")
	fl.StringVar(&f.vent, "vent", "", "the `FILE` of its vent's curve (default: that of the catalogue)")
	fl.StringVar(&f.straps, "straps", "", "the sum of the strap pulls, such as `\"3 N\"` or \"350 g\"")
	fl.StringVar(&f.position, "position", "", "the `POSITION` at all readings that do not say theirs, such as on the back")
	fl.StringVar(&f.felt, "air-felt-at", "", "the `SITES` where air is felt, such as bridge or cheek_left,chin")
	fl.StringVar(&f.sore, "sore-at", "", "the `SITES` where the skin is sore")
	fl.Uint64Var(&f.seed, "seed", 1, "the `NUMBER` that simulated leaks are drawn from")
	f.draws.add(cmd)
	for _, t := range scenario.Tellings() {
		f.told[t.Key] = fl.String(strings.ReplaceAll(t.Key, "_", "-"), "", t.Meaning+": `ANSWER` is "+strings.Join(t.Answers, ", ")+" or don't know")
	}
}

func runExplain(cmd *cobra.Command, path string, f *explainFlags, o *output) error {
	if err := f.draws.check(); err != nil {
		return err
	}
	inputs := []string{path}
	if f.vent != "" {
		inputs = append(inputs, f.vent)
	}
	if err := o.ready(inputs...); err != nil {
		return err
	}
	name, data, err := readInput(cmd, path)
	if err != nil {
		return err
	}
	q, about, notes, err := f.question(name, data, path)
	if err != nil {
		return err
	}
	stop := progress(cmd.ErrOrStderr(), "simulating leaks")
	a, err := explain.Explain(cmd.Context(), q)
	stop()
	if err != nil {
		return report.NoExplanation(name, err)
	}
	r := rendering{
		text:    func(ink report.Ink) string { return report.ExplainText(a, notes, ink) },
		json:    func() any { return report.ExplainJSON(filepath.Base(name), about, a, notes) },
		csv:     func() string { return report.ExplainCSV(a) },
		picture: func() *picture.Picture { return picture.Explain(a) },
	}
	if f.draws.wanted() {
		f.draws.seed = f.seed
		drawn, err := drawStudy(cmd, &f.draws, uncertainty.ExplainStudy(cmd.Context(), q, explain.UsualPriors()))
		if err != nil {
			return report.NoExplanation(name, err)
		}
		r = r.add(drawn, report.ExplainDraws, "A leak explained", "")
	}
	return o.write(cmd.OutOrStdout(), r)
}

// question puts file and flags together. What a flag says wins over the file,
// since it was typed later.
func (f *explainFlags) question(name string, data []byte, path string) (q explain.Question, about string, notes []string, err error) {
	if scenario.IsTOML(name, data) {
		p, err := scenario.ParsePatientBeside(name, data, scenario.Beside(path), scenario.ExplainParts()...)
		if err != nil {
			return q, "", nil, err
		}
		q, err = scenario.ExplainQuestion(p)
		if err != nil {
			return q, "", nil, err
		}
		about, notes = p.About, p.Notes
	} else {
		c, err := scenario.Readings(name, data)
		if err != nil {
			return q, "", nil, err
		}
		q.Readings, q.Which, q.Statistic, notes = c.Readings, c.Which, c.Statistic, c.Notes
	}
	q.Seed = f.seed
	if err := f.tell(&q); err != nil {
		return q, "", nil, err
	}
	return q, about, notes, scenario.ReadyToExplain(name, &q)
}

// tell takes what the flags say.
func (f *explainFlags) tell(q *explain.Question) error {
	if err := f.mask(q); err != nil {
		return err
	}
	for _, t := range scenario.Tellings() {
		if *f.told[t.Key] == "" {
			continue
		}
		if err := t.Tell(q, *f.told[t.Key]); err != nil {
			return misused("--%v", strings.Replace(err.Error(), t.Key, strings.ReplaceAll(t.Key, "_", "-"), 1))
		}
	}
	for key, names := range map[string]string{"air_felt_at": f.felt, "sore_at": f.sore} {
		if names == "" {
			continue
		}
		if err := scenario.TellSites(q, key, names); err != nil {
			return misused("--%v", strings.Replace(err.Error(), key, strings.ReplaceAll(key, "_", "-"), 1))
		}
	}
	if err := scenario.TellPosition(q, f.position); err != nil {
		return misused("--%v", err)
	}
	if f.straps == "" {
		return nil
	}
	pull, err := unit.ParseForce(f.straps)
	if err == nil {
		err = fit.StrapRange.Check(float64(pull))
	}
	if err != nil {
		return misused("--straps: %v; how they feel goes into --straps-feel", err)
	}
	q.Straps = [2]unit.Force{pull, pull}
	return nil
}

// mask takes the mask that the flags name; without one the file must.
func (f *explainFlags) mask(q *explain.Question) error {
	if f.kind != "" || f.size != "" {
		kind, ok := scenario.MaskType(f.kind)
		if !ok {
			return misused("--mask %q is not known: say nasal, oronasal or pillows", f.kind)
		}
		m, err := mask.Find(kind, f.size)
		if err != nil {
			return misused("--mask and --size name the mask together, as --mask nasal --size medium: %v", err)
		}
		q.Mask = m
	}
	if len(q.Mask.Rims) == 0 {
		return misused("the readings need the mask that they were taken with: add --mask nasal --size medium, or whatever it is")
	}
	if f.vent == "" {
		return nil
	}
	data, err := scenario.ReadFile(f.vent)
	if err != nil {
		return err
	}
	q.Mask.Vent, err = scenario.BenchVent(f.vent, data)
	return err
}
