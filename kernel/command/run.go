package command

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tautline/kernel/notebook"
	"tautline/kernel/worker"
)

// runFlags say what becomes of a notebook that was run.
type runFlags struct {
	out, html string
	set       []string
	timeout   time.Duration
	force     bool
}

func runCommand() *cobra.Command {
	f := &runFlags{}
	cmd := &cobra.Command{
		Use:   "run NOTEBOOK",
		Short: "Run a notebook and keep what it shows",
		Long: `Runs all code cells of a notebook from top to bottom, without a front end. Cells
are Go with the model's names in scope; nothing in them can reach files, network
or other programs.

-o keeps the executed notebook, --html one page with its pictures, tables and
sentences that needs no network and no other file. Without either, what the
cells show is printed as text. At the first error the run ends with the cell,
the line and what is wrong; what was done until then is kept.

--set gives a name another value where the notebook first gives it one, in a
cell with the tag "parameters" before others: "5 N" with its unit, a text as it
is, or Go. The executed notebook says what was set.`,
		Example: `  tautline run notebooks/03-balance.ipynb --html balance.html
  tautline run notebooks/03-balance.ipynb -o done.ipynb
  tautline run notebooks/03-balance.ipynb --set "pull=5 N" --html tighter.html`,
		Args: oneFile,
		RunE: func(cmd *cobra.Command, args []string) error { return f.run(cmd, args[0]) },
	}
	flags := cmd.Flags()
	flags.StringVarP(&f.out, "out", "o", "", "keep the executed notebook in this `FILE`")
	flags.StringVar(&f.html, "html", "", "write one self-contained page into this `FILE`")
	flags.StringArrayVar(&f.set, "set", nil, "another value for a name: `NAME=VALUE`; may be repeated")
	flags.DurationVar(&f.timeout, "timeout", time.Minute, "stop a cell that takes longer than this `TIME`; 0 for no limit")
	flags.BoolVar(&f.force, "force", false, "overwrite files that are there already")
	return cmd
}

func (f *runFlags) run(cmd *cobra.Command, path string) error {
	if err := f.ready(path); err != nil {
		return err
	}
	n, err := readNotebook(cmd, path)
	if err != nil {
		return err
	}
	if err := f.setAll(n); err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt)
	defer stop()
	cells, err := worker.Start(ctx, worker.Options{Folder: folderOf(path), Controls: n.Name})
	if err != nil {
		return err
	}
	defer cells.Close()
	say, shown := progressSteps(cmd.ErrOrStderr(), "running "+n.Name)
	failed := n.RunApart(ctx, cells, notebook.Options{Timeout: f.timeout,
		Progress: func(cell, of int) { say(fmt.Sprintf("cell %d of %d", cell, of)) }})
	shown()
	// A run that ended early is kept too: it shows where.
	if err := f.keep(cmd, n); err != nil {
		return errors.Join(failed, err)
	}
	if failed != nil {
		return fmt.Errorf("%s: %w", n.Name, failed)
	}
	return nil
}

// setAll puts the values of --set into the notebook.
func (f *runFlags) setAll(n *notebook.Notebook) error {
	for _, one := range f.set {
		name, value, ok := strings.Cut(one, "=")
		if name = strings.TrimSpace(name); !ok || name == "" {
			return misused("--set %q: a name and a value are wanted, such as \"pull=5 N\"", one)
		}
		if err := n.Set(name, value); err != nil {
			return misused("--set: %w", err)
		}
	}
	return nil
}

// folderOf names the folder that cells' words may read from: the notebook's.
func folderOf(path string) string {
	if path == "-" {
		return ""
	}
	folder, err := filepath.Abs(filepath.Dir(path))
	if err != nil {
		return ""
	}
	return folder
}

// ready refuses, before anything runs, files that could not be written.
func (f *runFlags) ready(path string) error {
	switch {
	case f.timeout < 0:
		return misused("--timeout %s: a time from 0 up is wanted, such as 60s", f.timeout)
	case f.out != "" && f.out == f.html:
		return misused("-o and --html name the same file %s: give each its own", f.out)
	}
	for _, file := range []string{f.out, f.html} {
		if file == "" {
			continue
		}
		if sameFile(file, path) && !f.force {
			return fmt.Errorf("%s is what is run here: name another file, or add --force to overwrite it", file)
		}
		if err := f.writer().writable(file); err != nil {
			return err
		}
	}
	return nil
}

func (f *runFlags) writer() *output { return &output{force: f.force} }

// keep writes what was asked for, or prints the outputs.
func (f *runFlags) keep(cmd *cobra.Command, n *notebook.Notebook) error {
	if f.out != "" {
		data, err := n.Write()
		if err == nil {
			err = f.writer().save(f.out, data)
		}
		if err != nil {
			return err
		}
	}
	if f.html != "" {
		data, err := n.HTML()
		if err == nil {
			err = f.writer().save(f.html, data)
		}
		if err != nil {
			return err
		}
	}
	if f.out == "" && f.html == "" {
		_, err := io.WriteString(cmd.OutOrStdout(), n.Text())
		return err
	}
	return nil
}

// readNotebook reads a notebook from a file, or standard input for "-".
func readNotebook(cmd *cobra.Command, path string) (*notebook.Notebook, error) {
	name, in := stdinName, cmd.InOrStdin()
	if path != "-" {
		file, err := os.Open(path)
		if err != nil {
			return nil, fmt.Errorf("%s cannot be read: %w", path, plain(err))
		}
		defer file.Close()
		name, in = filepath.Base(path), file
		if info, err := file.Stat(); err == nil && info.IsDir() {
			return nil, fmt.Errorf("%s is a folder: name a notebook in it", path)
		}
	}
	data, err := io.ReadAll(io.LimitReader(in, notebook.MaxSize+1))
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", path, plain(err))
	}
	n, err := notebook.Read(name, data)
	if err != nil {
		return nil, err
	}
	if l := n.Language(); l != "" && l != "go" {
		return nil, fmt.Errorf("%s is a notebook in %s; its cells must be Go", name, l)
	}
	return n, nil
}
