package command

import "github.com/spf13/cobra"

// verbs lists the commands in the order in which help shows them.
func verbs() []*cobra.Command {
	return []*cobra.Command{
		openCommand(),
		sweepCommand(),
		explainCommand(),
		planCommand(),
		breathCommand(),
		populationCommand(),
		ventCommand(),
		nightCommand(),
		runCommand(),
		kernelCommand(),
		installCommand(),
		uninstallCommand(),
		checksCommand(),
		cautionsCommand(),
		versionCommand(),
	}
}
