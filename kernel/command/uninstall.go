package command

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"tautline/kernel/jupyter/folder"
	"tautline/kernel/jupyter/kernelspec"
)

func uninstallCommand() *cobra.Command {
	f := &specFlags{}
	cmd := &cobra.Command{
		Use:   "uninstall",
		Short: "Take tautline out of Jupyter",
		Long: `Removes the kernelspec that "tautline install" wrote, and the copy of the program
if "go run" made one and nothing else starts it. Without a place, every place in
which front ends look is searched. Notebooks and the history of cells stay.`,
		Example: `  tautline uninstall
  tautline uninstall --sys-prefix --name tautline-class`,
		Args: noWords,
		RunE: func(cmd *cobra.Command, _ []string) error { return f.uninstall(cmd, folder.Here()) },
	}
	f.add(cmd)
	return cmd
}

func (f *specFlags) uninstall(cmd *cobra.Command, p folder.Place) error {
	named, err := f.data(p)
	if err != nil {
		return err
	}
	places := []string{named}
	if !f.given() {
		places = p.All()
	}
	removed := 0
	for _, data := range places {
		switch err := f.remove(cmd, p, data); {
		case err == nil:
			removed++
		case !errors.Is(err, kernelspec.ErrNone):
			return err
		}
	}
	if removed == 0 {
		return fmt.Errorf("no kernel %q is installed in %s; --prefix names another place", strings.ToLower(f.name), strings.Join(places, ", "))
	}
	warn(cmd, p)
	return nil
}

// remove takes the kernelspec out of one place, and the copy that it started.
func (f *specFlags) remove(cmd *cobra.Command, p folder.Place, data string) error {
	dir := kernelspec.Dir(data, f.name)
	program, err := kernelspec.Uninstall(dir)
	if err != nil {
		return err
	}
	fmt.Fprintf(cmd.OutOrStdout(), "Removed: the kernel %q, from %s.\n", strings.ToLower(f.name), dir)
	own, err := p.Own()
	if err != nil || program != kernelspec.LastingPath(own, p.System) || len(kernelspec.Users(append(p.All(), data), program)) > 0 {
		return nil
	}
	if os.Remove(program) == nil {
		fmt.Fprintf(cmd.OutOrStdout(), "Removed: the copy of the program, %s.\n", program)
	}
	return nil
}
