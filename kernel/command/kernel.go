package command

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"sync"
	"syscall"

	"github.com/spf13/cobra"

	"tautline/kernel/jupyter"
	"tautline/kernel/jupyter/folder"
	"tautline/kernel/jupyter/history"
	"tautline/kernel/jupyter/kernelspec"
	"tautline/kernel/worker"
)

// historyName is the variable that keeps the history of cells off the disk, or
// in another folder.
const historyName = "TAUTLINE_HISTORY"

// kernelFlags bound what cells may take.
type kernelFlags struct{ memory, output int64 }

func kernelCommand() *cobra.Command {
	f := &kernelFlags{}
	cmd := &cobra.Command{
		Use:   "kernel CONNECTION_FILE",
		Short: "Serve cells to a Jupyter front end",
		Long: `Jupyter starts this with a connection file; "tautline install" tells it how.
Cells run in a process of their own, which the folder of the notebook is open to
for reading and nothing else.

The cells that were run are kept in this user's data folder, 4 MB at most, for
the history of consoles. TAUTLINE_HISTORY=off keeps them in memory only;
TAUTLINE_HISTORY=FOLDER keeps them there.`,
		Example: `  jupyter console --kernel tautline
  tautline kernel connection.json`,
		Args: oneFile,
		RunE: func(cmd *cobra.Command, args []string) error { return f.run(cmd, args[0]) },
	}
	flags := cmd.Flags()
	flags.Int64Var(&f.memory, "memory", 2048, "how many `MB` cells may take")
	flags.Int64Var(&f.output, "output", 10, "how many `MB` one cell may show")
	return cmd
}

func (f *kernelFlags) run(cmd *cobra.Command, file string) error {
	if f.memory < 1 || f.output < 1 {
		return misused("--memory and --output want a number of MB from 1 up")
	}
	c, err := jupyter.ReadConnection(file)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(cmd.Context(), syscall.SIGTERM, syscall.SIGHUP)
	defer stop()
	ctx, cancel := jupyter.WithParent(ctx)
	defer cancel()
	interrupts := make(chan os.Signal, 1)
	signal.Notify(interrupts, os.Interrupt)
	defer signal.Stop(interrupts)

	here := folder.Here()
	kept := history.Open(historyFolder(here))
	defer kept.Close()
	return jupyter.Serve(ctx, c, jupyter.Options{
		Start:      func(ctx context.Context) (worker.Runner, error) { return f.startWorker(ctx, cmd.ErrOrStderr()) },
		History:    kept,
		Interrupts: interrupts,
		Log:        cmd.ErrOrStderr(),
		Version:    version(),
		Notice: sync.OnceValue(func() string {
			return strings.Join(kernelspec.Stale(here.All(), version()), "\n")
		}),
	})
}

// startWorker starts the process for cells, and logs what shuts it in. Jupyter
// starts a kernel in the folder of its notebook.
func (f *kernelFlags) startWorker(ctx context.Context, log io.Writer) (worker.Runner, error) {
	dir, err := os.Getwd()
	if err != nil {
		dir = ""
	}
	w, err := worker.Start(ctx, worker.Options{Folder: dir, Memory: f.memory << 20, OutputLimit: f.output << 20})
	if err != nil {
		return nil, err
	}
	fmt.Fprintln(log, w.Protection())
	return w, nil
}

// historyFolder is where cells are kept; empty for nowhere.
func historyFolder(p folder.Place) string {
	switch set := p.Env(historyName); set {
	case "":
	case "off":
		return ""
	default:
		return set
	}
	own, err := p.Own()
	if err != nil {
		return ""
	}
	return filepath.Join(own, "history")
}
