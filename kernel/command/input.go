package command

import (
	"github.com/spf13/cobra"

	"tautline/kernel/scenario"
)

// stdinName is how messages call what "-" stands for.
const stdinName = "standard input"

// readInput reads a file, or standard input for "-", and gives the name by which
// messages call it.
func readInput(cmd *cobra.Command, path string) (name string, data []byte, err error) {
	if path == "-" {
		data, err = scenario.Read(stdinName, cmd.InOrStdin())
		return stdinName, data, err
	}
	data, err = scenario.ReadFile(path)
	return path, data, err
}

// oneFile wants exactly one file and says so with the verb's own example.
func oneFile(cmd *cobra.Command, args []string) error {
	if len(args) == 1 {
		return nil
	}
	return misused("%s wants one file and got %d: %s", cmd.CommandPath(), len(args), cmd.UseLine())
}

// readScenario reads the scenario that a verb is asked about, once it is sure
// that the answer can be written where it is wanted.
func readScenario(cmd *cobra.Command, path string, o *output) (name string, s scenario.Scenario, err error) {
	if err = o.ready(path); err != nil {
		return "", s, err
	}
	name, data, err := readInput(cmd, path)
	if err != nil {
		return "", s, err
	}
	// What a scenario from standard input names counts from where one stands.
	s, err = scenario.Parse(name, data, scenario.Beside(path))
	return name, s, err
}
