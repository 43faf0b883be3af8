package jupyter

import (
	"context"
	"errors"
	"os"
	"testing"
	"time"

	"tautline/kernel/worker"
)

// Control is answered while a cell runs.
func TestControlWhileBusy(t *testing.T) {
	_, c := kernelAndClient(t)
	first := c.send(c.shell, "execute_request", map[string]any{"code": "print on\nloop"})
	for next(t, c.iopubIn).kind != "stream" {
	}
	second := c.send(c.shell, "execute_request", map[string]any{"code": "value 1"})
	for kind := range controlHandlers {
		if kind == "shutdown_request" || kind == "interrupt_request" {
			continue
		}
		id := c.send(c.control, kind, map[string]any{"hist_access_type": "tail"})
		if a := c.replyOn(c.controlIn, id).content; a["status"] != "ok" {
			t.Errorf("%s: %v", kind, a)
		}
		c.shown(id) // busy and idle belong to control requests too
	}
	time.Sleep(100 * time.Millisecond) // for the second cell to arrive, which nothing tells
	if a := c.askControl("interrupt_request", map[string]any{}); a["status"] != "ok" {
		t.Errorf("interrupt: %v", a)
	}
	if a := c.replyOn(c.shellIn, first).content; a["ename"] != "interrupted" {
		t.Errorf("the interrupted cell: %v", a)
	}
	if a := c.replyOn(c.shellIn, second).content; a["status"] != "aborted" {
		t.Errorf("the cell behind it: %v", a)
	}
}

func TestInterruptBySignal(t *testing.T) {
	signals := make(chan os.Signal, 1)
	s := serveKernel(t, freeConnection(t, testKey), Options{Interrupts: signals})
	c := connectTo(t, s.c)
	signals <- os.Interrupt // while nothing runs, nothing happens
	id := c.send(c.shell, "execute_request", map[string]any{"code": "print on\nloop"})
	for next(t, c.iopubIn).kind != "stream" {
	}
	signals <- os.Interrupt
	if a := c.replyOn(c.shellIn, id).content; a["ename"] != "interrupted" {
		t.Errorf("the interrupted cell: %v", a)
	}
}

// An interrupt that comes when a cell is announced but not yet taken by the
// worker stops it all the same.
func TestInterruptBeforeTheWorkerTakesTheCell(t *testing.T) {
	slow := &slowRunner{scripted: newScripted(), take: make(chan struct{})}
	s := serveKernel(t, freeConnection(t, testKey), Options{Start: func(context.Context) (worker.Runner, error) { return slow, nil }})
	c := connectTo(t, s.c)
	id := c.send(c.shell, "execute_request", map[string]any{"code": "loop"})
	for next(t, c.iopubIn).kind != "execute_input" {
	}
	c.askControl("interrupt_request", map[string]any{})
	close(slow.take)
	if a := c.replyOn(c.shellIn, id).content; a["ename"] != "interrupted" {
		t.Errorf("the interrupted cell: %v", a)
	}
	if a := c.ask("execute_request", map[string]any{"code": "value 1"}); a["status"] != "ok" {
		t.Errorf("the next cell: %v", a)
	}
}

// A slowRunner hears an interrupt of a cell by its context alone until it has
// taken it, as the supervisor does while a worker is started or a call is on
// its way.
type slowRunner struct {
	*scripted
	take chan struct{}
}

func (*slowRunner) Interrupt() {}

func (s *slowRunner) Execute(ctx context.Context, r worker.Request, out worker.Output) worker.Outcome {
	<-s.take
	if r.Code != "loop" {
		return s.scripted.Execute(ctx, r, out)
	}
	select {
	case <-ctx.Done():
		return worker.Outcome{Err: &worker.Failure{Name: "interrupted", Value: "The cell was interrupted."}}
	case <-time.After(3 * time.Second):
		return worker.Outcome{}
	}
}

// A shutdown ends a kernel that is busy; all get an answer first.
func TestShutdown(t *testing.T) {
	for _, restart := range []bool{false, true} {
		s, c := kernelAndClient(t)
		other := connectTo(t, s.c)
		running := c.send(c.shell, "execute_request", map[string]any{"code": "print on\nloop"})
		for next(t, c.iopubIn).kind != "stream" {
		}
		waiting := c.send(c.shell, "execute_request", map[string]any{"code": "value 1"})
		c.askControl("kernel_info_request", map[string]any{})
		id := c.send(c.control, "shutdown_request", map[string]any{"restart": restart})
		if a := c.replyOn(c.controlIn, id).content; a["status"] != "ok" || a["restart"] != restart {
			t.Errorf("shutdown: %v", a)
		}
		if a := c.replyOn(c.shellIn, running).content; a["status"] != "error" {
			t.Errorf("the running cell: %v", a)
		}
		if a := c.replyOn(c.shellIn, waiting).content; a["status"] != "aborted" {
			t.Errorf("the waiting cell: %v", a)
		}
		if got := kinds(other.shown(id)); got != "shutdown_reply" {
			t.Errorf("the other front end is told %q", got)
		}
		s.wait(t)
	}
}

// Older front ends ask on the shell, and need give no reason.
func TestShutdownOnShell(t *testing.T) {
	s, c := kernelAndClient(t)
	if a := c.ask("shutdown_request", map[string]any{}); a["status"] != "ok" || a["restart"] != false {
		t.Errorf("shutdown: %v", a)
	}
	s.wait(t)
}

// A cell that listens to nothing does not keep the kernel.
func TestShutdownOfADeafCell(t *testing.T) {
	deaf := &deafRunner{scripted: newScripted()}
	s := serveKernel(t, freeConnection(t, testKey), Options{Start: func(context.Context) (worker.Runner, error) { return deaf, nil }})
	c := connectTo(t, s.c)
	c.send(c.shell, "execute_request", map[string]any{"code": "print on\nloop"})
	for next(t, c.iopubIn).kind != "stream" {
	}
	if a := c.askControl("shutdown_request", map[string]any{"restart": false}); a["status"] != "ok" {
		t.Errorf("shutdown: %v", a)
	}
	s.wait(t)
}

type deafRunner struct{ *scripted }

func (*deafRunner) Interrupt() {}

// Without a worker the kernel still says what is wrong.
func TestWorkerThatDoesNotStart(t *testing.T) {
	s := serveKernel(t, freeConnection(t, testKey), Options{Start: func(context.Context) (worker.Runner, error) {
		return nil, errors.New("no more processes are allowed")
	}})
	c := connectTo(t, s.c)
	reply, shown := c.run("value 1")
	if reply.content["status"] != "error" || kinds(shown) != "execute_input error" {
		t.Errorf("%v, %s", reply.content, kinds(shown))
	}
	if a := c.ask("is_complete_request", map[string]any{"code": "x"}); a["status"] != "unknown" {
		t.Errorf("is_complete: %v", a)
	}
	c.send(c.shell, "comm_msg", map[string]any{"comm_id": "s"})
	c.ask("comm_info_request", map[string]any{})
}

// What needs no worker is answered before it has started.
func TestInfoBeforeTheWorker(t *testing.T) {
	late := make(chan struct{})
	s := serveKernel(t, freeConnection(t, testKey), Options{Start: func(ctx context.Context) (worker.Runner, error) {
		select {
		case <-late:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
		return newScripted(), nil
	}})
	c := connectTo(t, s.c)
	id := c.send(c.shell, "execute_request", map[string]any{"code": "value 1"})
	c.askControl("interrupt_request", map[string]any{})
	close(late)
	if a := c.replyOn(c.shellIn, id).content; a["status"] != "ok" {
		t.Errorf("the cell that waited for the worker: %v", a)
	}
}

// A port that somebody else has is an error, and the others are let go.
func TestPortInUse(t *testing.T) {
	c := freeConnection(t, testKey)
	l, err := c.listen(c.Shell)
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	err = Serve(context.Background(), c, Options{Start: startScripted})
	if err == nil {
		t.Fatal("a port in use is taken")
	}
	// The other ports are free again.
	for _, port := range []int{c.Control, c.Stdin, c.IOPub, c.Heartbeat} {
		l, err := c.listen(port)
		if err != nil {
			t.Fatal(err)
		}
		l.Close()
	}
}
