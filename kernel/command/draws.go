package command

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/model/uncertainty"
)

// drawsFlags ask for an answer's uncertainty; every verb that answers a
// question has the same two.
type drawsFlags struct {
	draws int
	seed  uint64
}

// add gives a verb --draws and, unless it has one of its own, --seed.
func (f *drawsFlags) add(cmd *cobra.Command) {
	cmd.Flags().IntVar(&f.draws, "draws", 0, "ask `N` times with the uncertain numbers drawn, and say how many agree")
	if cmd.Flags().Lookup("seed") == nil {
		cmd.Flags().Uint64Var(&f.seed, "seed", 1, "the same `SEED` gives the same draws")
	}
}

func (f *drawsFlags) wanted() bool { return f.draws != 0 }

// check refuses a number of draws that makes no sense; not asking is fine.
func (f *drawsFlags) check() error {
	if !f.wanted() {
		return nil
	}
	if err := uncertainty.DrawsRange.Check(float64(f.draws)); err != nil {
		return misused("--draws %d: ask for 1 to %.0f; 200 are usual", f.draws, uncertainty.DrawsRange.High)
	}
	return nil
}

// ask draws, and says on a terminal how far it is.
func (f *drawsFlags) ask(cmd *cobra.Command, run func(context.Context, uncertainty.Plan) (uncertainty.Result, error)) (uncertainty.Result, error) {
	say, stop := progressSteps(cmd.ErrOrStderr(), "drawing the numbers")
	defer stop()
	return run(cmd.Context(), uncertainty.Plan{Draws: f.draws, Seed: f.seed,
		Progress: func(done, total int) { say(fmt.Sprintf("%d %%", 100*done/total)) }})
}

// drawStudy draws the study of a verb's question.
func drawStudy[Q any](cmd *cobra.Command, f *drawsFlags, s uncertainty.Study[Q]) (uncertainty.Result, error) {
	return f.ask(cmd, func(ctx context.Context, p uncertainty.Plan) (uncertainty.Result, error) { return s.Run(ctx, p) })
}

// add puts what draws tell into every form of an answer: into its text before
// what to look at afterwards, under "draws" in its JSON, and as its picture
// unless another was asked for by name.
func (r rendering) add(drawn uncertainty.Result, w report.DrawsWords, name, asked string) rendering {
	text, item := r.text, r.json
	r.text = func(ink report.Ink) string { return report.WithDraws(text(ink), report.DrawsText(drawn, w, ink)) }
	r.json = func() any { return withDrawsItem{item(), report.DrawsJSON(drawn, w)} }
	if asked == "" {
		r.picture = func() *picture.Picture { return picture.Draws(report.DrawsSheet(drawn, w), picture.Named(name)) }
	}
	return r
}

// withDrawsItem is an answer's JSON object with one more key.
type withDrawsItem struct {
	answer any
	draws  *report.DrawsItem
}

// MarshalJSON writes the answer's own keys, and then draws.
func (w withDrawsItem) MarshalJSON() ([]byte, error) {
	whole, err := json.Marshal(w.answer)
	if err != nil {
		return nil, err
	}
	more, err := json.Marshal(w.draws)
	if err != nil {
		return nil, err
	}
	end := bytes.LastIndexByte(whole, '}')
	return slices.Concat(whole[:end], []byte(`,"draws":`), more, []byte("}")), nil
}
