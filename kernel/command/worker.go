package command

import (
	"os"

	"github.com/spf13/cobra"

	"tautline/kernel/worker"
)

// workerCommand is what a supervisor starts: the process that runs cells. It
// is of no use to a person and therefore hidden.
func workerCommand() *cobra.Command {
	return &cobra.Command{
		Use:    worker.Verb,
		Hidden: true,
		Args:   cobra.NoArgs,
		Run:    func(*cobra.Command, []string) { os.Exit(worker.Serve()) },
	}
}
