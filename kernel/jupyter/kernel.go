// Package jupyter speaks to Jupyter front ends: sockets, signatures and
// messages, after version 5.4 of "Messaging in Jupyter". It never runs a cell
// itself; that is a worker's work.
package jupyter

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"sync"

	"tautline/kernel/jupyter/history"
	"tautline/kernel/jupyter/sockets"
	"tautline/kernel/worker"
)

// Options are what a kernel needs besides its sockets.
type Options struct {
	// Start starts the worker that runs cells. It is called at once, and what
	// needs no worker is answered before it is back.
	Start func(context.Context) (worker.Runner, error)
	// History keeps what was run; nil keeps it for this run only.
	History *history.Store
	// Interrupts stop the running cell, as does a front end's request.
	Interrupts <-chan os.Signal
	// Log takes what a front end's author wants to know; nil for nobody.
	Log io.Writer
	// Version is the program's own.
	Version string
	// Notice gives a line to show with the banner, for example about a stale
	// kernelspec; nil or empty for none. It is asked when a front end first
	// wants to know, since a front end that finds no sockets at once waits a
	// tenth of a second before it looks again.
	Notice func() string
}

// A kernel serves one connection file.
type kernel struct {
	Options
	connection Connection
	signer     signer
	session    string

	shell, control, stdin *sockets.Router
	iopub                 *sockets.Publisher
	heartbeat             *sockets.Echo
	shellQueue            *queue
	controlQueue          *queue

	ctx    context.Context // of all work
	cancel context.CancelFunc

	ready  chan struct{} // closed once runner or failed is set
	runner worker.Runner
	failed error

	running sync.Mutex // held while a cell runs
	count   int        // cells run; belongs to the shell's goroutine
	logged  logLimit
}

// Serve opens the sockets of a connection and serves them until the context
// ends or a front end asks for the end.
func Serve(ctx context.Context, c Connection, o Options) error {
	if o.History == nil {
		o.History = history.Open("")
	}
	k := &kernel{Options: o, connection: c, signer: signer{[]byte(c.Key)}, session: newID(),
		shellQueue: newQueue(), controlQueue: newQueue(), ready: make(chan struct{})}
	k.ctx, k.cancel = context.WithCancel(ctx)
	defer k.cancel()
	if err := k.open(); err != nil {
		return err
	}
	k.status(nil, "starting")
	go k.startRunner()
	var loops sync.WaitGroup
	loops.Go(func() { k.loop(k.shell, k.shellQueue, shellHandlers) })
	loops.Go(func() { k.loop(k.control, k.controlQueue, controlHandlers) })
	loops.Go(k.watchInterrupts)
	<-k.ctx.Done()
	k.end(&loops)
	return nil
}

// open binds all five sockets before the first is served, so that a port in
// use leaves nothing behind.
func (k *kernel) open() error {
	c := k.connection
	ports := []int{c.Shell, c.Control, c.Stdin, c.IOPub, c.Heartbeat}
	listeners, err := c.listenAll(ports)
	if err != nil {
		return err
	}
	k.iopub = sockets.NewPublisher(listeners[3])
	k.heartbeat = sockets.NewEcho(listeners[4])
	// Nothing in a cell can ask for input, so what comes in here answers nothing.
	k.stdin = sockets.NewRouter(listeners[2], func(sockets.Peer, [][]byte) {})
	k.control = sockets.NewRouter(listeners[1], k.taker(k.controlQueue))
	k.shell = sockets.NewRouter(listeners[0], k.taker(k.shellQueue))
	return nil
}

// taker puts what a socket brings into its queue. Nonsense is noted and left.
func (k *kernel) taker(q *queue) func(sockets.Peer, [][]byte) {
	return func(from sockets.Peer, frames [][]byte) {
		m, err := k.signer.decode(frames)
		if err != nil {
			k.logf("a message was ignored: %v", err)
			return
		}
		m.from = from
		q.put(k.ctx, m)
	}
}

// startRunner starts the worker beside the first answers.
func (k *kernel) startRunner() {
	defer close(k.ready)
	k.runner, k.failed = k.Start(k.ctx)
	if k.failed != nil {
		k.logf("cells cannot run: %v", k.failed)
	}
}

// worker waits for the worker to be there.
func (k *kernel) worker() (worker.Runner, error) {
	select {
	case <-k.ready:
	case <-k.ctx.Done():
		return nil, errors.New("the kernel is ending")
	}
	if k.failed != nil {
		return nil, fmt.Errorf("cells cannot run: %w", k.failed)
	}
	return k.runner, nil
}

// present gives the worker if it is there already.
func (k *kernel) present() worker.Runner {
	select {
	case <-k.ready:
		return k.runner
	default:
		return nil
	}
}

func (k *kernel) interrupt() {
	if r := k.present(); r != nil {
		r.Interrupt()
	}
}

func (k *kernel) watchInterrupts() {
	for {
		select {
		case <-k.Interrupts:
			k.interrupt()
		case <-k.ctx.Done():
			return
		}
	}
}
