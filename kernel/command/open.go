package command

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"io/fs"
	"net"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"tautline/kernel/jupyter"
	"tautline/kernel/jupyter/folder"
	"tautline/kernel/jupyter/kernelspec"
	"tautline/kernel/page"
	"tautline/kernel/page/door"
	"tautline/kernel/page/shelf"
	"tautline/kernel/report"
	"tautline/kernel/worker"
	"tautline/notebooks"
)

// openFlags say how the page is served.
type openFlags struct {
	noBrowser, token bool
	listen           string
	port             int
}

func openCommand() *cobra.Command {
	f := &openFlags{}
	cmd := &cobra.Command{
		Use:   "open [FOLDER or NOTEBOOK]",
		Short: "Open notebooks in the browser: no Python, no internet",
		Long: `Serves the notebooks of a folder, or one notebook, as a page on this computer and
opens the browser. Without a name it opens the lessons that come with tautline;
the first change to one is kept as a copy in your own folder.

The address that is printed works once and for this computer only. Enter prints
a new one, for another browser. Ctrl-C stops the page; open pages are asked to
save first, and what they could not save is offered at the next start.

--listen ADDRESS lets other computers of a network reach the page. Whoever sees
the address with the code can then run cells here, and what goes over the
network is not encrypted: only in a network where you trust everybody.`,
		Example: `  tautline open
  tautline open notebooks
  tautline open notebooks/03-balance.ipynb --no-browser`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return misused("open takes one folder or notebook, not %d", len(args))
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error { return f.run(cmd, strings.Join(args, "")) },
	}
	flags := cmd.Flags()
	flags.BoolVar(&f.noBrowser, "no-browser", false, "print the address and open nothing")
	flags.StringVar(&f.listen, "listen", "", "let other computers in at this `ADDRESS` of this one, such as 0.0.0.0")
	flags.IntVar(&f.port, "port", 0, "take this `PORT`; otherwise that of last time, or any")
	flags.BoolVar(&f.token, "token", false, "print the long token too, for another Jupyter front end")
	return cmd
}

func (f *openFlags) run(cmd *cobra.Command, name string) error {
	if f.port < 0 || f.port > 65535 {
		return misused("--port wants a number from 1 to 65535")
	}
	ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer stop()
	o, own, err := placeOf(name)
	if err != nil {
		return err
	}
	l, names, err := f.bind(own)
	if err != nil {
		return err
	}
	o.Names = names
	o.Memory = door.Remember(filepath.Join(own, "door.json"))
	o.Kernel = pageKernel
	o.Version, o.Caution = version(), report.ShortCaution
	o.Logos = kernelspec.Logos()
	f.warn(cmd)
	s, err := page.Start(context.WithoutCancel(ctx), l, o)
	if err != nil {
		return err
	}
	f.greet(cmd, s, o.Shelf.Folder())
	return f.serve(ctx, cmd, s)
}

// placeOf finds what is to be opened, and the folder where tautline keeps what
// belongs to it.
func placeOf(name string) (o page.Options, own string, err error) {
	dir, notebook, err := openedAt(name)
	if err != nil {
		return o, "", err
	}
	kept, err := folder.Here().Own()
	if err != nil {
		return o, "", err
	}
	var base fs.FS
	if name == "" {
		base = notebooks.Files
	}
	own = filepath.Join(kept, "page", shelf.Hash([]byte(dir))[:16])
	if o.Shelf, err = shelf.Open(dir, own, base); err != nil {
		return o, "", err
	}
	laid := ""
	if base != nil {
		if laid, err = layDown(base, filepath.Join(kept, "page", "lessons")); err != nil {
			return o, "", err
		}
	}
	o.Folder, o.Notebook, o.BuiltIn = page.Beside(o.Shelf, laid), notebook, base != nil
	return o, own, nil
}

// openedAt parts what was named into a folder and, perhaps, a notebook in it.
func openedAt(name string) (dir, notebook string, err error) {
	if name == "" {
		dir, err = lessonsFolder()
		return dir, "", err
	}
	info, err := os.Stat(name)
	if err != nil {
		return "", "", fmt.Errorf("%s: %w; name a folder with notebooks or one notebook, or leave it out for the lessons", name, plain(err))
	}
	if info.IsDir() {
		dir, err = filepath.Abs(name)
		return dir, "", err
	}
	if filepath.Ext(name) != ".ipynb" {
		return "", "", fmt.Errorf("%s is not a notebook (.ipynb): name one, or the folder that it is in", name)
	}
	dir, err = filepath.Abs(filepath.Dir(name))
	return dir, filepath.Base(name), err
}

// lessonsFolder is where copies of lessons go: among the user's documents.
func lessonsFolder() (string, error) {
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fmt.Errorf("this user has no home folder for copies of lessons (%w): name a folder to open", err)
	}
	if documents := filepath.Join(home, "Documents"); isFolder(documents) {
		home = documents
	}
	return filepath.Join(home, "tautline lessons"), nil
}

func isFolder(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.IsDir()
}

// layDown puts what lessons read where their cells can read it.
func layDown(base fs.FS, dir string) (string, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", fmt.Errorf("%s cannot be made: %w", dir, plain(err))
	}
	err := fs.WalkDir(base, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(name) == ".ipynb" {
			return err
		}
		data, err := fs.ReadFile(base, name)
		if err != nil {
			return err
		}
		to := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		return os.WriteFile(to, data, 0o644)
	})
	return dir, err
}

// bind takes an address, and names those by which the page may be called.
func (f *openFlags) bind(own string) (net.Listener, []string, error) {
	host, kept := "127.0.0.1", filepath.Join(own, "port")
	port := f.port
	if port == 0 {
		if data, err := os.ReadFile(kept); err == nil {
			fmt.Sscan(string(data), &port)
		}
	}
	var names []string
	if f.listen != "" {
		host, names = f.listen, namesHere(f.listen)
	}
	l, err := page.Listen(host, port)
	if err != nil {
		return nil, nil, fmt.Errorf("the page cannot be served at %s: %w", host, err)
	}
	if os.MkdirAll(own, 0o700) == nil {
		_, p, _ := net.SplitHostPort(l.Addr().String())
		os.WriteFile(kept, []byte(p), 0o600) // without it, pages left open need a new address
	}
	return l, names, nil
}

// namesHere are the names and addresses of this computer that mean the address
// listened at.
func namesHere(listen string) []string {
	ip := net.ParseIP(listen)
	if ip == nil || !ip.IsUnspecified() {
		return []string{listen}
	}
	names := []string{}
	if host, err := os.Hostname(); err == nil {
		names = append(names, host)
	}
	all, _ := net.InterfaceAddrs()
	for _, a := range all {
		if n, ok := a.(*net.IPNet); ok {
			names = append(names, n.IP.String())
		}
	}
	return names
}

// pageKernel gives the options of a kernel for the page. What is run is kept
// in the notebook; there is no history besides.
func pageKernel(dir string) jupyter.Options {
	return jupyter.Options{Version: version(), Start: func(ctx context.Context) (worker.Runner, error) {
		return worker.Start(ctx, worker.Options{Folder: dir, Memory: 2048 << 20, OutputLimit: 10 << 20})
	}}
}

// warn says what it means to listen to others, before any of them is let in.
func (f *openFlags) warn(cmd *cobra.Command) {
	if f.listen != "" {
		fmt.Fprintf(cmd.ErrOrStderr(), "tautline: listening at %s. Other computers that can reach it and know the address with the code can run cells on this one, and nothing on the way is encrypted.\n", f.listen)
	}
}

// greet says where the page is, and opens the browser.
func (f *openFlags) greet(cmd *cobra.Command, s *page.Server, dir string) {
	out := cmd.OutOrStdout()
	fmt.Fprintf(out, "Notebooks in %s\n\n    %s\n\nThis address works once. Press Enter for another one, Ctrl-C to stop.\n", dir, s.Link())
	if f.token {
		fmt.Fprintf(out, "For another Jupyter front end: %s/?token=%s\n", s.Address(), s.Token())
	}
	if !f.noBrowser {
		openBrowser(s.Link())
	}
}

// serve waits for the end.
func (f *openFlags) serve(ctx context.Context, cmd *cobra.Command, s *page.Server) error {
	asked := make(chan struct{})
	if in, ok := cmd.InOrStdin().(*os.File); ok && term.IsTerminal(int(in.Fd())) {
		go listenFor(in, asked)
	}
	for {
		select {
		case <-asked:
			fmt.Fprintf(cmd.OutOrStdout(), "    %s\n", s.Link())
		case err := <-s.Done():
			return fmt.Errorf("the page ended: %w", err)
		case <-ctx.Done():
			fmt.Fprintln(cmd.ErrOrStderr(), "tautline: asking open pages to save, then ending")
			return s.Close()
		}
	}
}

// listenFor reports every line that is typed.
func listenFor(in io.Reader, asked chan<- struct{}) {
	for lines := bufio.NewScanner(in); lines.Scan(); {
		asked <- struct{}{}
	}
}
