package command

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/night"
	"tautline/model/uncertainty"
)

// nightFlags are what can be asked of nights beside the usual forms.
type nightFlags struct {
	care    bool
	nights  int
	seed    uint64
	picture string
	draws   drawsFlags
}

func nightCommand() *cobra.Command {
	f := &nightFlags{}
	cmd := &cobra.Command{
		Use:   "night SCENARIO.toml",
		Short: "Sleep in a mask: leak and skin contact over simulated nights, or care over months",
		Long: `Reads a scenario with a [night] section and sleeps in it, hundreds of times: turns,
sleep stages, straps that slacken, a cushion that warms, the bed pillow and the
hose. Answers with the leak over time and over nights, the time above the limit
that the scenario states, which turns opened the seal, and what the skin met.
The same seed gives the same nights, however many processors share the work.
kernel/scenario/FORMAT.md says what may stand in a scenario; - reads it from
standard input.

--care follows the cushion over six months instead: washing, wiping, replacing.
How a cushion wears is assumed, and no evidence for supply or refusal.
--csv gives the leak along the night, or one line for each habit and day.`,
		Example: `  tautline night testdata/scenarios/night-on-the-side.toml
  tautline night testdata/scenarios/night-on-the-side.toml --svg night.svg
  tautline night testdata/scenarios/night-on-the-side.toml --picture nights --png nights.png
  tautline night testdata/scenarios/night-on-the-side.toml --care`,
		Args: oneFile,
	}
	cmd.Flags().BoolVar(&f.care, "care", false, "follow the cushion over six months instead")
	cmd.Flags().IntVar(&f.nights, "nights", 0, "simulate this `NUMBER` of nights instead of the scenario's")
	cmd.Flags().Uint64Var(&f.seed, "seed", 0, "begin from this `NUMBER` instead of the scenario's seed")
	cmd.Flags().StringVar(&f.picture, "picture", "", "draw this `PICTURE`: strip (one night) or nights (the spread over them)")
	f.draws.add(cmd)
	o := addOutputFlags(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runNight(cmd, args[0], f, o) }
	return cmd
}

func runNight(cmd *cobra.Command, path string, f *nightFlags, o *output) error {
	if err := f.check(cmd); err != nil {
		return err
	}
	name, s, err := readScenario(cmd, path, o)
	if err != nil {
		return err
	}
	if f.care {
		return runCare(cmd, name, s, o)
	}
	if !s.Night.Stated {
		return fmt.Errorf(`%s does not say how the mask is slept in: write [night] and below it statistic = "95th percentile" (or "mean", "median", "largest"), which figure of a night's leak is held against the limit`, name)
	}
	q := f.question(cmd, s)
	say, stop := progressSteps(cmd.ErrOrStderr(), "sleeping")
	q.Told = func(n int) { say(bar(n, q.Nights)) }
	a, err := night.Ask(cmd.Context(), q)
	stop()
	if err != nil {
		return report.NoAnswer(name, err)
	}
	r := nightRendering(filepath.Base(name), s, a, f.picture)
	if f.draws.wanted() {
		f.draws.seed = q.Seed
		study := uncertainty.NightStudy(cmd.Context(), q, uncertainty.StatedIn(scenario.Inputs(s)))
		drawn, err := drawStudy(cmd, &f.draws, study)
		if err != nil {
			return report.NoAnswer(name, err)
		}
		r = r.add(drawn, report.NightDraws, report.CaseName(s.Question), f.picture)
	}
	return o.write(cmd.OutOrStdout(), r)
}

// question gives the scenario's question with what the flags say otherwise.
func (f *nightFlags) question(cmd *cobra.Command, s scenario.Scenario) night.Question {
	q := s.NightQuestion()
	if cmd.Flags().Changed("nights") {
		q.Nights = f.nights
	}
	if cmd.Flags().Changed("seed") {
		q.Seed = f.seed
	}
	return q
}

// check refuses flags that ask for what there is not.
func (f *nightFlags) check(cmd *cobra.Command) error {
	if f.care && f.draws.wanted() {
		return misused("--care has no draws: leave out --care or --draws")
	}
	if err := f.draws.check(); err != nil {
		return err
	}
	for _, flag := range []string{"nights", "seed", "picture"} {
		if f.care && cmd.Flags().Changed(flag) {
			return misused("--care follows a cushion by day and knows no --%s: leave one of them out", flag)
		}
	}
	if cmd.Flags().Changed("nights") {
		if err := night.NightsRecord.Check(float64(f.nights)); err != nil {
			return misused("--nights: %w", err)
		}
	}
	switch f.picture {
	case "", "strip", "nights":
		return nil
	}
	return misused("--picture %s is not known: ask for strip or nights", f.picture)
}

func nightRendering(name string, s scenario.Scenario, a night.Answer, wanted string) rendering {
	return rendering{
		text:    func(ink report.Ink) string { return report.NightText(a, ink) },
		json:    func() any { return report.NightJSON(name, s.About, a) },
		csv:     func() string { return report.NightCSV(a) },
		picture: func() *picture.Picture { return nightPicture(a, wanted) },
	}
}

func nightPicture(a night.Answer, wanted string) *picture.Picture {
	named := picture.Named(report.NightName(a.Question))
	if wanted == "nights" {
		return picture.Nights(a, named)
	}
	return picture.Night(a, named)
}

func runCare(cmd *cobra.Command, name string, s scenario.Scenario, o *output) error {
	q := s.Question
	stop := progress(cmd.ErrOrStderr(), "wearing the cushion")
	a, err := night.Care(cmd.Context(), night.CareQuestion{Case: q.Case, Pressure: q.Pressure, Limit: q.Limit,
		Days: night.SixMonths, Plans: night.UsualPlans()})
	stop()
	if err != nil {
		return report.NoAnswer(name, err)
	}
	short := filepath.Base(name)
	return o.write(cmd.OutOrStdout(), rendering{
		text:    func(ink report.Ink) string { return report.CareText(a, ink) },
		json:    func() any { return report.CareJSON(short, s.About, a) },
		csv:     func() string { return report.CareCSV(a) },
		picture: func() *picture.Picture { return picture.Care(a, picture.Named(report.CaseName(q))) },
	})
}
