// Package rehearsal has a runner for tests that does what the lines of a cell
// say, so that the way to a kernel can be tried without an interpreter:
// "print hello", "bytes 1000", "loop".
package rehearsal

import (
	"context"
	"strconv"
	"strings"
	"sync"

	"tautline/kernel/worker"
)

// A Runner acts out cells. What it does not act out is the embedded Runner's,
// which is nil: a test that gets there asks too much.
type Runner struct {
	worker.Runner

	mu   sync.Mutex
	stop chan struct{} // closed by an interrupt
	gone chan struct{} // closed by the end
	once sync.Once
}

// Start makes a runner.
func Start(context.Context) (worker.Runner, error) {
	return &Runner{stop: make(chan struct{}), gone: make(chan struct{})}, nil
}

// Execute does what each line says.
func (r *Runner) Execute(_ context.Context, q worker.Request, out worker.Output) (o worker.Outcome) {
	r.mu.Lock()
	stop := r.stop
	r.mu.Unlock()
	for line := range strings.Lines(q.Code) {
		word, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
		switch word {
		case "print":
			out.Stream("stdout", rest)
		case "bytes":
			n, _ := strconv.Atoi(rest)
			out.Result(worker.Bundle{Data: map[string]any{"text/plain": strings.Repeat("x", n)}})
		case "loop":
			select {
			case <-stop:
				o.Err = &worker.Failure{Name: "interrupted", Value: "The cell was interrupted."}
			case <-r.gone:
				o.Err = &worker.Failure{Name: "ended", Value: "The kernel is ending."}
			}
		}
	}
	return o
}

// Interrupt ends a loop.
func (r *Runner) Interrupt() {
	r.mu.Lock()
	defer r.mu.Unlock()
	close(r.stop)
	r.stop = make(chan struct{})
}

// Comms lists none.
func (r *Runner) Comms() map[string]string { return nil }

// Restart has nothing to give up.
func (r *Runner) Restart(context.Context) error { return nil }

// Close ends a loop too.
func (r *Runner) Close() error {
	r.once.Do(func() { close(r.gone) })
	return nil
}
