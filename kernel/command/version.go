package command

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Which tautline this is",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			_, err := fmt.Fprintf(cmd.OutOrStdout(), "tautline %s, %s, %s/%s\n",
				version(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
			return err
		},
	}
}

// version is the release this was built from, or the commit.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "of unknown version"
	}
	if v := info.Main.Version; v != "" && v != "(devel)" {
		return v
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" {
			return "at " + s.Value[:min(12, len(s.Value))]
		}
	}
	return "built from source"
}
