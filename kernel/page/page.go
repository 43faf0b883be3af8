// Package page serves notebooks in a browser, without Jupyter: files, kernels
// and our own page on one address of this computer.
package page

import (
	"cmp"
	"context"
	"errors"
	"io/fs"
	"net"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"time"

	"tautline/kernel/jupyter"
	"tautline/kernel/page/api"
	"tautline/kernel/page/door"
	"tautline/kernel/page/sessions"
	"tautline/kernel/page/shelf"
)

// Options are what a server needs besides its address.
type Options struct {
	Shelf *shelf.Shelf
	// Names are further names of the server's address, when it is reached from
	// other computers.
	Names []string
	// Memory keeps which browsers came in.
	Memory *door.Memory
	// Kernel gives the options of a kernel for a notebook in a folder.
	Kernel func(folder string) jupyter.Options
	// Folder gives the folder that the cells of a notebook may read.
	Folder func(path string) string
	// Notebook is the one to open first, or empty for the list.
	Notebook string
	// BuiltIn says that the notebooks are the program's own lessons.
	BuiltIn bool
	Version string
	// Caution is the short text that is always in view.
	Caution string
	Logos   fs.FS

	headerTime time.Duration // zero but in tests
}

// A Server is a page that is being served.
type Server struct {
	door  *door.Door
	api   *api.API
	house *sessions.House
	http  *http.Server
	l     net.Listener
	done  chan error
	stop  context.CancelFunc
}

// Times of the server. Assumed: a browser on the same computer is far quicker.
const (
	headerTime = 10 * time.Second
	idleTime   = 5 * time.Minute
)

// Start serves on a listener until Close. Kernels end with the context.
func Start(ctx context.Context, l net.Listener, o Options) (*Server, error) {
	d, err := door.New(l.Addr().String(), o.Names, o.Memory)
	if err != nil {
		return nil, err
	}
	ctx, stop := context.WithCancel(ctx)
	house := sessions.New(ctx, o.Kernel)
	a := &api.API{Shelf: o.Shelf, House: house, Version: o.Version, Logos: o.Logos, Folder: o.Folder, Start: map[string]any{
		"notebook": o.Notebook, "built_in": o.BuiltIn, "caution": o.Caution}}
	mux := http.NewServeMux()
	a.Register(mux)
	registerPage(mux)
	s := &Server{door: d, api: a, house: house, l: l, done: make(chan error, 1), stop: stop, http: &http.Server{
		Handler: d.Guard(mux), ReadHeaderTimeout: cmp.Or(o.headerTime, headerTime), IdleTimeout: idleTime, MaxHeaderBytes: 64 << 10}}
	go func() { s.done <- s.http.Serve(l) }()
	return s, nil
}

// Address is where the page is, without a code.
func (s *Server) Address() string { return "http://" + s.l.Addr().String() }

// Link is the address with the code of the moment, which works once.
func (s *Server) Link() string { return s.Address() + s.door.Link() }

// Token is the long token for other programs.
func (s *Server) Token() string { return s.door.Token() }

// Done gives the error that ended the server by itself.
func (s *Server) Done() <-chan error { return s.done }

// farewell is how long open pages get to save what they hold.
const farewell = 1500 * time.Millisecond

// Close asks open pages to save, ends the kernels and then the server.
func (s *Server) Close() error {
	if s.api.Closing() > 0 {
		time.Sleep(farewell)
	}
	s.house.Close()
	s.stop()
	ctx, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	if err := s.http.Shutdown(ctx); err != nil {
		return s.http.Close() // sockets and event streams never end by themselves
	}
	return nil
}

// Beside gives a Folder option: the folder of the notebook on the shelf, or
// where the program's own files were laid when the notebook is one of them.
func Beside(s *shelf.Shelf, ownFiles string) func(string) string {
	return func(p string) string {
		e, err := s.Stat(p)
		if err == nil && e.BuiltIn && ownFiles != "" {
			return ownFiles
		}
		if err != nil {
			return s.Folder()
		}
		return filepath.Join(s.Folder(), filepath.FromSlash(path.Dir("/"+e.Path)))
	}
}

// Listen takes the port of last time, so that pages left open find the server
// again, or any that is free.
func Listen(host string, port int) (net.Listener, error) {
	if l, err := net.Listen("tcp", net.JoinHostPort(host, strconv.Itoa(port))); err == nil {
		return l, nil
	} else if port == 0 || errors.Is(err, os.ErrPermission) {
		return nil, err
	}
	return net.Listen("tcp", net.JoinHostPort(host, "0"))
}
