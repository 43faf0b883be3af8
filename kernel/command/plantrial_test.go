package command

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"tautline/model/plan"
)

// playedTrial runs a small trial as the command does, and gives what is printed
// and how it ended.
func playedTrial(t *testing.T, persons int, stuck bool, setups []plan.Setup, args ...string) (string, error) {
	t.Helper()
	cmd := &cobra.Command{Use: "plan", SilenceErrors: true, SilenceUsage: true}
	o := addOutputFlags(cmd)
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		q := plan.TrialQuestion{Question: trialQuestion(2), N: persons, Stuck: stuck}
		q.People = 150
		return runPlanTrial(cmd, q, setups, o)
	}
	var out, messages bytes.Buffer
	cmd.SetOut(&out)
	cmd.SetErr(&messages)
	cmd.SetArgs(args)
	err := cmd.ExecuteContext(context.Background())
	return out.String(), err
}

// TestTrialSeesFailure: a plan that repeats its first setting misses its aims, the
// report says so of each, and the command fails. The plan as it is keeps to the
// visits that were aimed at, on the same persons.
func TestTrialSeesFailure(t *testing.T) {
	first := plan.Setups()[:1]
	out, err := playedTrial(t, 80, true, first)
	if m := (misuseError{}); err == nil || errors.As(err, &m) {
		t.Errorf("a plan that fails ends with %v", err)
	}
	for _, aim := range []string{"0.75: missed", "0.33: missed", "Reason: "} {
		if !strings.Contains(oneLine(out), aim) {
			t.Errorf("%q is not said of a plan that fails:\n%s", aim, out)
		}
	}
	if out, _ := playedTrial(t, 80, false, first); !strings.Contains(oneLine(out), "0.75: met") {
		t.Errorf("the plan as it is takes too many visits:\n%s", out)
	}
}

// oneLine undoes the wrapping.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
