package command

import (
	"path/filepath"

	"github.com/spf13/cobra"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/airway"
	"tautline/model/fit"
	"tautline/model/uncertainty"
)

func breathCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "breath SCENARIO.toml",
		Short: "Follow whole breaths: mouth leak, pressure swing, washout, what a machine's leak figure reads",
		Long: `Reads a scenario and follows whole breaths behind its mask: machine and hose, mask
vent, seal, nose, mouth and lung in one balance at each instant. Answers with how
much leaves by the mouth and when, how the mask pressure swings, what is left of a
breath in mask and hose, and what each way of working out a leak would read.

The sections [breathing], [nose], [mouth] and [test_leak] of a scenario say who
breathes; expiration in [pressure] makes two levels. kernel/scenario/FORMAT.md
lists their keys; - reads the scenario from standard input. --csv gives one line
for each instant.`,
		Example: `  tautline breath testdata/scenarios/breath/mouth-leak.toml
  tautline breath testdata/scenarios/breath/mouth-leak-chin-strap.toml --svg breath.svg
  tautline breath testdata/scenarios/breath/two-levels.toml --json`,
		Args: oneFile,
	}
	f := &drawsFlags{}
	f.add(cmd)
	o := addOutputFlags(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runBreath(cmd, args[0], f, o) }
	return cmd
}

func runBreath(cmd *cobra.Command, path string, f *drawsFlags, o *output) error {
	if err := f.check(); err != nil {
		return err
	}
	name, s, err := readScenario(cmd, path, o)
	if err != nil {
		return err
	}
	a := report.BreathAnswer{Name: filepath.Base(name), About: s.About, Question: s.Question}
	a.Question.Axes = nil // one case is followed, as it is stated
	on, err := fit.PutOn(s.Question.Case)
	if err == nil {
		a.Result, err = airway.Run(on, s.Breath)
	}
	if err != nil {
		return report.NoAnswer(name, err)
	}
	r := rendering{
		text: a.Text,
		json: func() any { return a.JSON() },
		csv:  a.CSV,
		picture: func() *picture.Picture {
			return picture.Breath(a.Result, picture.Named(report.CaseName(a.Question)))
		},
	}
	if f.wanted() {
		study := uncertainty.BreathStudy(uncertainty.Breath{Case: s.Question.Case, Setup: s.Breath}, uncertainty.StatedIn(scenario.Inputs(s)))
		drawn, err := drawStudy(cmd, f, study)
		if err != nil {
			return report.NoAnswer(name, err)
		}
		r = r.add(drawn, report.BreathDraws, report.CaseName(s.Question), "")
	}
	return o.write(cmd.OutOrStdout(), r)
}
