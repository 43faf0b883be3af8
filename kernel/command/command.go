// Package command holds the verbs of the command line, one file each. Standard
// output is the answer, standard error the messages; the exit code is 0 for
// done, 1 for failed and 2 for misuse.
package command

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"
)

// Exit codes of every verb.
const (
	done   = 0
	failed = 1
	misuse = 2
)

// A misuseError is a command that was typed wrongly, as against one that could
// not be carried out.
type misuseError struct{ err error }

func (e misuseError) Error() string { return e.err.Error() }
func (e misuseError) Unwrap() error { return e.err }

func misused(format string, a ...any) error { return misuseError{fmt.Errorf(format, a...)} }

// Main runs one command line and gives the exit code.
func Main(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.Execute()
	if err == nil {
		return done
	}
	fmt.Fprintf(stderr, "tautline: %v\n", err)
	if m := (misuseError{}); errors.As(err, &m) {
		return misuse
	}
	return failed
}

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "tautline",
		Short: "Shows the forces between a breathing mask and a face",
		// Errors are printed once, by Main.
		SilenceErrors: true,
		SilenceUsage:  true,

		SuggestionsMinimumDistance: 2,

		Args: cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return cmd.Help()
			}
			return unknown(cmd, args[0])
		},
	}
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return misuseError{err} })
	root.AddCommand(verbs()...)
	root.AddCommand(workerCommand())
	return root
}

// unknown refuses a verb that does not exist and names the nearest ones.
func unknown(root *cobra.Command, verb string) error {
	if near := root.SuggestionsFor(verb); len(near) > 0 {
		return misused("there is no command %q; did you mean %q?", verb, near[0])
	}
	return misused("there is no command %q; tautline help lists those there are", verb)
}
