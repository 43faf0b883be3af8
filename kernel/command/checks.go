package command

import (
	"fmt"

	"github.com/spf13/cobra"

	"tautline/kernel/report"
	"tautline/model/published"
)

func checksCommand() *cobra.Command {
	o := &output{}
	var causes *explainTrial
	cmd := &cobra.Command{
		Use:   "checks",
		Short: "Hold the model to every published figure, with its source",
		Long: `Runs every published check: what the model gives, what was published and by
whom. A known miss is a figure that the model does not meet, with the reason.
The exit code is 1 when a check fails.

With --explain N it asks instead how often the causes of a leak are told right,
on N invented patients drawn from the model's own assumptions and on N of another
making, and prints what was aimed at beside it.`,
		Example: "  tautline checks\n  tautline checks --json\n  tautline checks --explain 2000 --seed 1",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if asked, err := causes.asked(cmd); asked || err != nil {
				if err != nil {
					return err
				}
				return causes.run(cmd, o, cmd.ErrOrStderr())
			}
			results := published.EvaluateAll()
			err := o.write(cmd.OutOrStdout(), rendering{
				text: func(ink report.Ink) string { return report.Checks(results, ink) },
				json: func() any { return report.ChecksJSON(results) },
			})
			if err != nil {
				return err
			}
			return failedChecks(results)
		},
	}
	cmd.Flags().BoolVar(&o.json, "json", false, "print the checks as JSON")
	causes = addTrialFlags(cmd)
	return cmd
}

// noArguments refuses what a verb would ignore.
func noArguments(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return misused("%s takes no file: %q is one too many", cmd.CommandPath(), args[0])
	}
	return nil
}

// failedChecks names what failed, so that nobody has to look for it.
func failedChecks(results []published.Result) error {
	n, first := 0, ""
	for _, r := range results {
		if r.Status == published.Fail {
			if n++; n == 1 {
				first = r.ID
			}
		}
	}
	if n == 0 {
		return nil
	}
	return fmt.Errorf("%d published checks fail, the first is %s", n, first)
}
