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
	"time"

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
	// Notice is shown with the banner, for example about a stale kernelspec.
	Notice string
}

// Times at the end of a kernel. Assumed: a cell that listens to an interrupt
// does so in a few milliseconds, and a front end kills after several seconds.
const (
	stopTime  = 300 * time.Millisecond // for the running cell to answer
	closeTime = time.Second            // for front ends to read the last messages
)

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

// stopCell interrupts the running cell and gives it a moment to answer; what
// waits behind it is given up.
func (k *kernel) stopCell() {
	k.shellQueue.giveUp()
	k.interrupt()
	for deadline := time.Now().Add(stopTime); time.Now().Before(deadline); time.Sleep(time.Millisecond) {
		if k.running.TryLock() {
			k.running.Unlock()
			return
		}
	}
}

// end closes the worker first, so that no cell outlives the kernel, and the
// sockets last, so that front ends read the last words.
func (k *kernel) end(loops *sync.WaitGroup) {
	<-k.ready
	if k.runner != nil {
		if err := k.runner.Close(); err != nil {
			k.logf("the worker did not end well: %v", err)
		}
	}
	ended := make(chan struct{})
	go func() { loops.Wait(); close(ended) }()
	select {
	case <-ended:
	case <-time.After(closeTime):
	}
	deadline := time.Now().Add(closeTime)
	k.shell.Close(deadline)
	k.control.Close(deadline)
	k.stdin.Close(deadline)
	k.iopub.Close(deadline)
	k.heartbeat.Close(deadline)
}

// A logLimit keeps a peer that sends nothing but nonsense from filling a disk.
type logLimit struct {
	mu   sync.Mutex
	said int
}

const maxLogged = 100

func (k *kernel) logf(format string, a ...any) {
	k.logged.mu.Lock()
	defer k.logged.mu.Unlock()
	if k.logged.said++; k.Log != nil && k.logged.said <= maxLogged {
		fmt.Fprintf(k.Log, "tautline kernel: "+format+"\n", a...)
	}
}
