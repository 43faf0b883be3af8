package command

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/population"
	"tautline/model/uncertainty"
)

// populationFlags are what can be asked of many faces.
type populationFlags struct {
	faces int
	seed  uint64
	shard string
	parts int
	out   string
	merge bool
	draws drawsFlags
}

func populationCommand() *cobra.Command {
	f := &populationFlags{}
	cmd := &cobra.Command{
		Use:   "population SCENARIO.toml [SHARD.json ...]",
		Short: "Draw many faces: which share a mask fits, by size, and which size table",
		Long: `Draws faces from published statistics (of soldiers, not of sleep patients), gives
each the size that the catalogue's size table chooses, and counts on how many some
strap force holds the scenario's range of pressures under its leak limit and its
reference line: by type, size and sex, over face length and width, and for other
size tables. The scenario's own face and strap force do not count.

The same seed gives the same faces. Large counts can be parted: --out counts in
16 parts (or --parts) and keeps each in a file of its own, so that a run that was
interrupted goes on where it stopped; --shard 3/16 counts one part only, on
whatever machine; --merge reads the parts, and the answer is the same to the byte
as that of one run. - reads the scenario from standard input.`,
		Example: `  tautline population testdata/scenarios/population.toml
  tautline population testdata/scenarios/population.toml --n 500 --svg map.svg
  tautline population testdata/scenarios/population.toml --n 100000 --out parts
  tautline population testdata/scenarios/population.toml --shard 3/16 --out parts
  tautline population testdata/scenarios/population.toml --merge parts/*.json`,
		Args: func(_ *cobra.Command, args []string) error { return f.args(args) },
	}
	flags := cmd.Flags()
	flags.IntVar(&f.faces, "n", 0, "draw this `NUMBER` of faces (default: the scenario's)")
	flags.Uint64Var(&f.seed, "seed", 0, "start the random numbers from this `NUMBER` (default: the scenario's)")
	flags.StringVar(&f.shard, "shard", "", "count one part only: `K/M` is the K-th of M; needs --out")
	flags.IntVar(&f.parts, "parts", usualParts, "with --out, count in this `NUMBER` of parts")
	flags.StringVar(&f.out, "out", "", "keep each finished part in this `FOLDER`, and use those that are there")
	flags.BoolVar(&f.merge, "merge", false, "add up the parts named after the scenario")
	f.draws.add(cmd)
	o := addOutputFlags(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return runPopulation(cmd, args, f, o) }
	return cmd
}

const usualParts, mostParts = 16, 4096

// args refuses flags and files that do not go together.
func (f *populationFlags) args(args []string) error {
	switch {
	case len(args) == 0:
		return misused("name a scenario, such as tautline population testdata/scenarios/population.toml")
	case f.merge && (f.out != "" || f.shard != ""):
		return misused("--merge reads parts, --out and --shard write them: ask for one at a time")
	case f.merge && len(args) < 2:
		return misused("--merge adds up parts: name their files after the scenario")
	case !f.merge && len(args) > 1:
		return misused("one scenario at a time, not %d files; parts are added up with --merge", len(args))
	case f.shard != "" && f.draws.wanted():
		return misused("--shard only counts a part and answers nothing: ask for --draws when the parts are added up")
	case f.shard != "" && f.out == "":
		return misused("--shard writes a part: name the folder for it with --out")
	case f.parts < 1 || f.parts > mostParts:
		return misused("--parts %d: count in 1 to %d parts", f.parts, mostParts)
	}
	return nil
}

// asked is a scenario's question of many faces with what parts need to know.
type asked struct {
	scenario.Scenario
	population.Question
	name string // of the file
	id   string // of the question
}

func runPopulation(cmd *cobra.Command, args []string, f *populationFlags, o *output) error {
	if err := f.draws.check(); err != nil {
		return err
	}
	if err := o.ready(args...); err != nil {
		return err
	}
	name, data, err := readInput(cmd, args[0])
	if err != nil {
		return err
	}
	s, err := scenario.Parse(name, data, scenario.Beside(args[0]))
	if err != nil {
		return err
	}
	q := asked{Scenario: s, Question: s.Population(), name: name}
	if cmd.Flags().Changed("n") {
		q.Faces = f.faces
	}
	if cmd.Flags().Changed("seed") {
		q.Seed = f.seed
	}
	if err := q.Question.Check(); err != nil {
		return fmt.Errorf("%s cannot be asked of many faces: %w", name, err)
	}
	q.id = q.fingerprint(data)
	say, stop := progressSteps(cmd.ErrOrStderr(), "fitting")
	tally, whole, err := f.count(cmd, q, args[1:], say)
	stop()
	if err != nil || !whole {
		return err
	}
	a, err := population.Conclude(q.Question, tally)
	if err != nil {
		return fmt.Errorf("%s cannot be answered: %w", name, err)
	}
	r := populationRendering(filepath.Base(name), s, a)
	if f.draws.wanted() {
		f.draws.seed = q.Seed
		drawn, err := drawStudy(cmd, &f.draws, uncertainty.PopulationStudy(cmd.Context(), a, uncertainty.StatedIn(scenario.Inputs(s))))
		if err != nil {
			return fmt.Errorf("%s cannot be answered: %w", name, err)
		}
		r = r.add(drawn, report.PopulationDraws, "Many faces", "")
	}
	return o.write(cmd.OutOrStdout(), r)
}

// count counts at once, in parts, or adds up parts; whole is false where one
// part was asked for, and was said to be done.
func (f *populationFlags) count(cmd *cobra.Command, q asked, files []string, say func(string)) (t population.Tally, whole bool, err error) {
	switch {
	case f.merge:
		t, err = mergeParts(q, files)
		return t, true, err
	case f.shard != "":
		return t, false, f.one(cmd, q, say)
	case f.out != "":
		t, err = f.all(cmd, q, say)
		return t, true, err
	}
	t, err = population.CountFaces(cmd.Context(), q.Question, 0, q.Faces, func(done int) { say(bar(done, q.Faces) + " faces") })
	return t, true, err
}

func populationRendering(name string, s scenario.Scenario, a population.Answer) rendering {
	return rendering{
		text:    func(ink report.Ink) string { return report.PopulationText(a, ink) },
		json:    func() any { return report.PopulationJSON(name, s.About, a) },
		csv:     func() string { return report.PopulationCSV(a) },
		picture: func() *picture.Picture { return picture.Population(a) },
	}
}
