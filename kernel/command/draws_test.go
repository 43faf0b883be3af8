package command

import (
	"encoding/json"
	"strings"
	"testing"

	"tautline/kernel/report"
)

// drawnSweep asks a shipped scenario with draws.
func drawnSweep(t *testing.T, name string, more ...string) report.DrawsItem {
	t.Helper()
	out := outputOf(t, append([]string{"sweep", example(name), "--json"}, more...)...)
	conforms(t, "sweep.schema.json", out)
	var r report.SweepResult
	if err := json.Unmarshal(out, &r); err != nil || r.Draws == nil {
		t.Fatalf("%s: no draws: %v", name, err)
	}
	return *r.Draws
}

// TestDrawsKeepTheirSchema on an answer that holds, one that does not, and one
// draw alone; every draw is accounted for.
func TestDrawsKeepTheirSchema(t *testing.T) {
	for name, n := range map[string]string{"fits": "20", "seals-at-8-leaks-at-16": "12", "too-tight": "1"} {
		d := drawnSweep(t, name, "--draws", n)
		sum := d.Tipped + d.Failed
		for _, v := range d.Verdicts {
			sum += v.Draws
		}
		if sum != d.Draws || d.Agree > d.Draws || len(d.Inputs) < 30 || len(d.Bands) != 5 || len(d.Effects) != 4 {
			t.Errorf("%s: %d of %d draws accounted for, %d inputs, %d bands, %d effects",
				name, sum, d.Draws, len(d.Inputs), len(d.Bands), len(d.Effects))
		}
		for _, in := range d.Inputs {
			if words := report.InputWords(in.Name); strings.HasPrefix(words, "the guess for "+in.Name) {
				t.Errorf("%s has no words of its own", in.Name)
			}
		}
	}
}

// TestDrawsFollowTheSeed: a seed reproduces the whole output, another differs.
func TestDrawsFollowTheSeed(t *testing.T) {
	ask := func(seed string) string {
		return string(outputOf(t, "sweep", example("fits"), "--draws", "8", "--seed", seed))
	}
	if a := ask("4"); a != ask("4") || a == ask("5") {
		t.Error("the seed does not decide the draws")
	}
}
