package command

import (
	"context"
	"path/filepath"

	"github.com/spf13/cobra"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/fit"
	"tautline/model/uncertainty"
)

// sweepFlags are what can be asked of a scenario beside the usual forms.
type sweepFlags struct {
	inputs  bool
	picture string
	draws   drawsFlags
}

// pictures are what --picture can ask for.
var pictures = []string{"tradeoff", "pressures", "sweep", "rim", "draws"}

func sweepCommand() *cobra.Command {
	f := &sweepFlags{}
	cmd := &cobra.Command{
		Use:   "sweep SCENARIO.toml",
		Short: "Put a mask on a face: leak and skin pressure, the fit window, what to try",
		Long: `Reads a scenario, one mask on one face with what is asked of it, and answers with
leak and skin pressure together: where it opens, at which pressure and why, what
to try before tightening, what tightening would cost the skin, and whether any
strap force holds the whole range of pressures under the leak limit and the
reference line that the scenario states. kernel/scenario/FORMAT.md says what may
stand in a scenario; - reads it from standard input.

--csv gives one line for each point and site. --inputs lists every number in
play instead: value, range, spread, and where it comes from. --draws 200 asks
200 times with every number that is not known exactly drawn from where it may
well lie, and tells how many draws agree and what the answer hangs on.`,
		Example: `  tautline sweep testdata/scenarios/seals-at-8-leaks-at-16.toml
  tautline sweep testdata/scenarios/too-tight.toml --svg tradeoff.svg
  tautline sweep testdata/scenarios/opens-at-the-chin.toml --picture rim --png rim.png
  tautline sweep testdata/scenarios/fits.toml --inputs
  tautline sweep testdata/scenarios/fits.toml --draws 200 --seed 1 --svg draws.svg`,
		Args: oneFile,
	}
	cmd.Flags().BoolVar(&f.inputs, "inputs", false, "list the numbers in play instead of the answer")
	cmd.Flags().StringVar(&f.picture, "picture", "", "draw this `PICTURE`: tradeoff, pressures, sweep, rim or draws (default: what fits the sweep)")
	f.draws.add(cmd)
	o := addOutputFlags(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runSweep(cmd, args[0], f, o) }
	return cmd
}

func runSweep(cmd *cobra.Command, path string, f *sweepFlags, o *output) error {
	if err := f.check(o); err != nil {
		return err
	}
	name, s, err := readScenario(cmd, path, o)
	if err != nil {
		return err
	}
	short := filepath.Base(name)
	if f.inputs {
		return o.write(cmd.OutOrStdout(), inputsRendering(short, s))
	}
	stop := progress(cmd.ErrOrStderr(), "balancing the mask at each point")
	a, err := fit.Ask(cmd.Context(), s.Question)
	stop()
	if err != nil {
		return report.NoAnswer(name, err)
	}
	r := sweepRendering(short, s, a, f.picture)
	if !f.draws.wanted() {
		return o.write(cmd.OutOrStdout(), r)
	}
	drawn, err := f.draws.ask(cmd, func(ctx context.Context, p uncertainty.Plan) (uncertainty.Result, error) {
		return uncertainty.AskFit(ctx, s.Question, uncertainty.StatedIn(scenario.Inputs(s)), p)
	})
	if err != nil {
		return report.NoAnswer(name, err)
	}
	return o.write(cmd.OutOrStdout(), withDraws(r, short, s, a, drawn, f.picture))
}

// withDraws adds what the draws tell to every form of the answer.
func withDraws(r rendering, name string, s scenario.Scenario, a fit.Answer, drawn uncertainty.Result, wanted string) rendering {
	r.text = func(ink report.Ink) string { return report.SweepDrawnText(a, drawn, ink) }
	r.json = func() any {
		result := report.SweepJSON(name, s.About, a)
		result.Draws = report.DrawsJSON(drawn, report.FitDraws)
		return result
	}
	r.csv = func() string { return report.SweepCSV(a) }
	if wanted == "" || wanted == "draws" {
		r.picture = func() *picture.Picture {
			return picture.Draws(report.DrawsSheet(drawn, report.FitDraws), picture.Named(report.CaseName(s.Question)))
		}
	}
	return r
}

// check refuses flags that ask for what there is not.
func (f *sweepFlags) check(o *output) error {
	if err := f.draws.check(); err != nil {
		return err
	}
	if f.inputs && f.draws.wanted() {
		return misused("--inputs lists the numbers, and --draws draws them: ask for one of them")
	}
	if f.picture == "draws" && !f.draws.wanted() {
		return misused("--picture draws needs draws to show: add --draws 200")
	}
	if f.inputs && len(o.files()) > 0 {
		return misused("--inputs is a list, and there is no picture of it: leave out --svg and --png")
	}
	for _, known := range pictures {
		if f.picture == known || f.picture == "" {
			return nil
		}
	}
	return misused("--picture %s is not known: ask for %s", f.picture, "tradeoff, pressures, sweep, rim or draws")
}

func inputsRendering(name string, s scenario.Scenario) rendering {
	inputs := scenario.Inputs(s)
	return rendering{
		text: func(ink report.Ink) string { return report.InputsText(name, inputs, ink) },
		json: func() any { return report.InputsJSON(name, inputs) },
		csv:  func() string { return report.InputsCSV(inputs) },
	}
}

func sweepRendering(name string, s scenario.Scenario, a fit.Answer, wanted string) rendering {
	return rendering{
		text:    func(ink report.Ink) string { return report.SweepText(a, ink) },
		json:    func() any { return report.SweepJSON(name, s.About, a) },
		csv:     func() string { return report.SweepCSV(a) },
		picture: func() *picture.Picture { return sweepPicture(s, a, wanted) },
	}
}

// sweepPicture draws what suits the sweep best: leak against skin where straps
// are swept, margins where only pressures are, else the first thing swept.
func sweepPicture(s scenario.Scenario, a fit.Answer, wanted string) *picture.Picture {
	named := picture.Named(report.CaseName(a.Question))
	by := variables(a.Question.Axes)
	if wanted == "" {
		wanted = suits(by)
	}
	switch wanted {
	case "tradeoff":
		q := a.Question
		line := picture.Line{Name: report.LineName(q), Pressure: q.Line.Level(q.Worn)}
		return picture.TradeOff(a.Rows, a.Windows, q.Limit, line, named)
	case "pressures":
		return picture.AcrossPressures(a.Rows, named)
	case "sweep":
		return picture.Sweep(a.Rows, by, named)
	}
	stated := a.Question
	stated.Axes = nil // the rim is that of the case as stated
	return picture.Rim(a.Now, picture.Named(report.CaseName(stated)))
}

func variables(axes []fit.Axis) []fit.Variable {
	var by []fit.Variable
	for _, x := range axes {
		by = append(by, x.Variable)
	}
	return by
}

func suits(by []fit.Variable) string {
	kind := "rim"
	for _, v := range by {
		switch {
		case v == fit.ByStraps:
			return "tradeoff"
		case v == fit.ByPressure:
			kind = "pressures"
		case kind == "rim":
			kind = "sweep"
		}
	}
	return kind
}
