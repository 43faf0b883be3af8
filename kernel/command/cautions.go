package command

import (
	"fmt"

	"github.com/spf13/cobra"

	"tautline/kernel/report"
)

func cautionsCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "cautions",
		Short: "The list to go through before any answer",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			out := cmd.OutOrStdout()
			_, err := fmt.Fprint(out, report.CautionsText(report.Ink{Colour: colourful(out)}))
			return err
		},
	}
}
