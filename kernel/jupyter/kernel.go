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

// A kernel answers requests, whatever wire they come by.
type kernel struct {
	Options
	session string
	ports   map[string]int              // of the connection file, if there is one
	show    func(kind string, l Letter) // tells every front end

	shellQueue   *queue
	controlQueue *queue

	ctx    context.Context // of all work
	cancel context.CancelFunc

	ready  chan struct{} // closed once runner or failed is set
	runner worker.Runner
	failed error

	running sync.Mutex // held while a cell runs

	announced sync.Mutex
	dropCell  context.CancelFunc // of the cell that is announced, nil for none
	count     int                // cells run; belongs to the shell's goroutine
	logged    logLimit
}

func newKernel(ctx context.Context, o Options) *kernel {
	if o.History == nil {
		o.History = history.Open("")
	}
	k := &kernel{Options: o, session: NewID(), shellQueue: newQueue(), controlQueue: newQueue(), ready: make(chan struct{})}
	k.ctx, k.cancel = context.WithCancel(ctx)
	return k
}

// work answers until the context ends or a front end asks for the end.
func (k *kernel) work() {
	k.status(nil, "starting")
	go k.startRunner()
	var loops sync.WaitGroup
	loops.Go(func() { k.loop(k.shellQueue, shellHandlers) })
	loops.Go(func() { k.loop(k.controlQueue, controlHandlers) })
	loops.Go(k.watchInterrupts)
	<-k.ctx.Done()
	k.end(&loops)
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

// announce begins a cell: from here on an interrupt counts for it, also while
// its worker is started or the call is on its way there.
func (k *kernel) announce() (ctx context.Context, over func()) {
	ctx, cancel := context.WithCancel(k.ctx)
	k.announced.Lock()
	defer k.announced.Unlock()
	k.dropCell = cancel
	return ctx, func() {
		k.announced.Lock()
		defer k.announced.Unlock()
		k.dropCell = nil
		cancel()
	}
}

func (k *kernel) interrupt() {
	k.announced.Lock()
	if k.dropCell != nil {
		k.dropCell()
	}
	k.announced.Unlock()
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
