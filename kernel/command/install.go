package command

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"tautline/kernel/jupyter/folder"
	"tautline/kernel/jupyter/kernelspec"
)

// specFlags say where a kernelspec belongs, and under which name.
type specFlags struct {
	user, sys    bool
	prefix, name string
}

func (f *specFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.BoolVar(&f.user, "user", false, "for this user only (the default)")
	flags.StringVar(&f.prefix, "prefix", "", "for an installation, such as /usr/local or a Python environment in this `FOLDER`")
	flags.BoolVar(&f.sys, "sys-prefix", false, "for the Python environment that is active")
	flags.StringVar(&f.name, "name", kernelspec.Name, "the kernel's `NAME` in Jupyter")
}

// given reports whether the command line names a place.
func (f *specFlags) given() bool { return f.user || f.sys || f.prefix != "" }

// data is the data folder of Jupyter's that the flags mean.
func (f *specFlags) data(p folder.Place) (string, error) {
	var said []string
	for flag, on := range map[string]bool{"--user": f.user, "--prefix": f.prefix != "", "--sys-prefix": f.sys} {
		if on {
			said = append(said, flag)
		}
	}
	if len(said) > 1 {
		return "", misused("--user, --prefix and --sys-prefix are three places: give one of them")
	}
	if err := kernelspec.CheckName(f.name); err != nil {
		return "", misuseError{err}
	}
	switch {
	case f.prefix != "":
		dir, err := filepath.Abs(f.prefix)
		return folder.Prefix(dir), err
	case f.sys:
		if env := p.Environment(); env != "" {
			return folder.Prefix(env), nil
		}
		return "", errors.New("no Python environment is active: activate one, or name its folder with --prefix")
	}
	return p.Jupyter()
}

func installCommand() *cobra.Command {
	f := &specFlags{}
	cmd := &cobra.Command{
		Use:   "install",
		Short: "Make tautline a kernel of Jupyter",
		Long: `Writes a kernelspec, by which Jupyter Notebook, JupyterLab, the console, VS Code,
JupyterHub and nbconvert find this program and offer it as a kernel. Jupyter need
not be there yet. Nothing else is changed, and "tautline uninstall" takes it back.

Started by "go run", the program copies itself to a lasting place first, because
what "go run" builds does not last.`,
		Example: `  tautline install
  tautline install --sys-prefix
  tautline install --prefix /usr/local --name tautline-class`,
		Args: noWords,
		RunE: func(cmd *cobra.Command, _ []string) error { return f.install(cmd, folder.Here()) },
	}
	f.add(cmd)
	return cmd
}

// noWords refuses words after a verb that wants none.
func noWords(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	return misused("%s wants no %q: %s", cmd.CommandPath(), args[0], cmd.UseLine())
}

func (f *specFlags) install(cmd *cobra.Command, p folder.Place) error {
	data, err := f.data(p)
	if err != nil {
		return err
	}
	program, err := lastingProgram(cmd, p)
	if err != nil {
		return err
	}
	i := kernelspec.Installation{Data: data, Name: f.name, Program: program, Build: version()}
	replaced, err := i.Install()
	if err != nil {
		return err
	}
	did := "Installed"
	if replaced {
		did = "Installed anew"
	}
	name := strings.ToLower(f.name)
	fmt.Fprintf(cmd.OutOrStdout(), "%s: the kernel %q, in %s.\nIt starts %s.\n", did, name, i.Dir(), program)
	fmt.Fprintf(cmd.OutOrStdout(), "In a notebook choose Tautline (Go); in a shell: jupyter console --kernel %s\n", name)
	warn(cmd, p)
	return nil
}

// lastingProgram is the program that the kernelspec starts: this one, or a copy
// of it if this one will not last.
func lastingProgram(cmd *cobra.Command, p folder.Place) (string, error) {
	program, err := os.Executable()
	if err != nil {
		return "", fmt.Errorf("the place of this program is not known: %w", err)
	}
	if !kernelspec.Passing(program) {
		return program, nil
	}
	own, err := p.Own()
	if err != nil {
		return "", err
	}
	to := kernelspec.LastingPath(own, p.System)
	if err := kernelspec.CopyProgram(program, to); err != nil {
		return "", err
	}
	fmt.Fprintf(cmd.OutOrStdout(), "Copied this program to %s, because what \"go run\" builds does not last.\n", to)
	return to, nil
}

// warn names kernelspecs that no longer do what they should.
func warn(cmd *cobra.Command, p folder.Place) {
	for _, text := range kernelspec.Stale(p.All(), version()) {
		fmt.Fprintln(cmd.ErrOrStderr(), text)
	}
}
