package worker

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"
)

// A process is one worker, seen from the supervisor.
type process struct {
	options    Options
	protection Protection
	cmd        *exec.Cmd
	in         *os.File // to the worker
	out        *os.File // from the worker
	frames     *frameWriter
	stray      *stray
	exited     chan struct{} // closed when the system has reaped it
	gone       chan struct{} // closed when every call has been answered

	mu    sync.Mutex
	calls map[uint64]*call
	why   reason // this side's reason for ending it
	loss  string // one sentence, once it is gone
}

// A call waits for its answer.
type call struct {
	out   Output
	reply chan message
}

type reason int

// Why the supervisor itself ended a worker.
const (
	itself reason = iota // it did not
	closed
	unstoppable
	garbled
	silent // it did not take what was sent
)

// dead marks the answer to a call whose worker died.
const dead kind = "dead"

// spawn starts a worker: in namespaces of its own where the system lets it,
// and otherwise without.
func spawn(ctx context.Context, o Options, heard func(*process, message), ended func(*process, int)) (*process, error) {
	ctx, cancel := context.WithTimeout(ctx, o.Startup)
	defer cancel()
	var err error
	for _, apart := range []bool{true, false} {
		if apart && !canPart {
			continue
		}
		var p *process
		if p, err = launch(o, apart); err != nil {
			continue
		}
		if err = p.greet(ctx, apart); err == nil {
			go p.read(heard, ended)
			return p, nil
		}
		p.end(closed)
		p.wait()
		if ctx.Err() != nil {
			break
		}
	}
	return nil, fmt.Errorf("the process that runs cells does not start: %w", err)
}

// launch starts the same binary again.
func launch(o Options, apart bool) (*process, error) {
	name, err := executable()
	if err != nil {
		return nil, err
	}
	p := &process{options: o, stray: newStray(), exited: make(chan struct{}), gone: make(chan struct{}), calls: map[uint64]*call{}}
	p.cmd = exec.Command(name, Verb)
	p.cmd.Args[0] = os.Args[0]
	p.cmd.Env = environment()
	if o.Folder != "" {
		p.cmd.Dir = o.Folder
	}
	setAttributes(p.cmd, apart)
	theirs, err := p.pipes()
	if err != nil {
		return nil, err
	}
	started := make(chan error)
	go func() {
		// Linux ends the worker when the thread that started it ends, so that
		// thread stays.
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		err := p.cmd.Start()
		for _, f := range theirs {
			f.Close()
		}
		started <- err
		if err == nil {
			p.cmd.Wait()
			close(p.exited)
		}
	}()
	if err := <-started; err != nil {
		p.in.Close()
		p.out.Close()
		return nil, err
	}
	return p, nil
}

// pipes makes the three pipes and gives the worker's ends.
func (p *process) pipes() ([]*os.File, error) {
	inR, inW, err := os.Pipe()
	if err != nil {
		return nil, err
	}
	outR, outW, err := os.Pipe()
	if err != nil {
		return nil, errors.Join(err, inR.Close(), inW.Close())
	}
	errR, errW, err := os.Pipe()
	if err != nil {
		return nil, errors.Join(err, inR.Close(), inW.Close(), outR.Close(), outW.Close())
	}
	p.in, p.out, p.frames = inW, outR, &frameWriter{w: patient{inW}}
	p.cmd.Stdin, p.cmd.Stdout, p.cmd.Stderr = inR, outW, errW
	go p.stray.read(errR)
	return []*os.File{inR, outW, errW}, nil
}

// patient writes to a pipe whose reader may have stopped reading, but not for
// ever.
type patient struct{ *os.File }

func (p patient) Write(b []byte) (int, error) {
	_ = p.SetWriteDeadline(time.Now().Add(5 * time.Second)) // not on every system
	return p.File.Write(b)
}

// environment is all that a worker sees of the user's.
func environment() []string {
	env := []string{asked + "=1"}
	if zone, ok := os.LookupEnv("TZ"); ok {
		env = append(env, "TZ="+zone)
	}
	return env
}

// asked is set in a worker's environment, for ServeIfAsked.
const asked = "TAUTLINE_WORKER"

// ServeIfAsked makes a test binary a worker when a supervisor started it as
// one; it then does not return. It is for TestMain.
func ServeIfAsked() {
	if len(os.Args) == 2 && os.Args[1] == Verb && os.Getenv(asked) != "" {
		os.Exit(Serve())
	}
}

// greet tells the worker what it may do and waits until it is ready.
func (p *process) greet(ctx context.Context, apart bool) error {
	s := startup{Version: version, Folder: p.options.Folder, Controls: p.options.Controls, Memory: p.options.Memory,
		OutputLimit: p.options.OutputLimit, Namespaces: apart}
	if err := p.frames.send(message{Kind: start, Start: &s}); err != nil {
		return p.startError(err)
	}
	stop := context.AfterFunc(ctx, func() { p.end(closed) })
	defer stop()
	m, err := receive(p.out)
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		return p.startError(err)
	case m.Kind != ready || m.Version != version:
		return errors.New("it is of another version; end all tautline programs and start again")
	case m.Protection != nil:
		p.protection = *m.Protection
	}
	return nil
}

func (p *process) startError(err error) error {
	p.end(closed)
	p.wait()
	if text := strings.TrimSpace(p.stray.take()); text != "" {
		return errors.New(strings.SplitN(text, "\n", 2)[0])
	}
	return err
}

// wait waits until the process is no more and all it wrote has been read.
func (p *process) wait() {
	<-p.exited
	p.stray.wait()
}

// end ends the process, for a reason that is kept if it is the first.
func (p *process) end(why reason) {
	p.mu.Lock()
	if p.why == itself {
		p.why = why
	}
	p.mu.Unlock()
	p.in.Close() // the worker leaves by itself when its pipe ends
	p.cmd.Process.Kill()
}

// ask sends a call and registers it for its answer.
func (p *process) ask(m message, out Output) (*call, error) {
	c := &call{out: out, reply: make(chan message, 1)}
	p.mu.Lock()
	if p.calls == nil {
		c.reply <- message{Kind: dead, Text: p.loss}
		p.mu.Unlock()
		return c, nil
	}
	p.calls[m.ID] = c
	p.mu.Unlock()
	if err := p.frames.send(m); err != nil {
		if !errors.Is(err, errTooLarge) {
			p.deaf(err)
			return c, nil // answered when the process is gone
		}
		p.mu.Lock()
		delete(p.calls, m.ID)
		p.mu.Unlock()
		return nil, err
	}
	return c, nil
}

// deaf ends a process that nothing can be sent to. A broken pipe only tells
// that it is gone already, for a reason of its own.
func (p *process) deaf(err error) {
	if errors.Is(err, os.ErrDeadlineExceeded) {
		p.end(silent)
	} else {
		p.end(itself)
	}
}

// interrupt stops all calls up to the given one, and ends the process if one
// of them goes on beyond the grace time.
func (p *process) interrupt(upTo uint64, late bool) {
	waiting := p.waiting(upTo)
	if len(waiting) == 0 {
		return
	}
	go p.frames.send(message{Kind: interrupt, ID: upTo, Flag: late})
	time.AfterFunc(p.options.Grace, func() {
		for _, c := range p.waiting(upTo) {
			if slices.Contains(waiting, c) {
				p.end(unstoppable)
				return
			}
		}
	})
}

func (p *process) waiting(upTo uint64) []*call {
	p.mu.Lock()
	defer p.mu.Unlock()
	var all []*call
	for id, c := range p.calls {
		if id <= upTo {
			all = append(all, c)
		}
	}
	return all
}

// read hands on what the worker says until it dies, and then answers every
// call that waits. The function ended is told how many those were.
func (p *process) read(heard func(*process, message), ended func(*process, int)) {
	for {
		m, err := receive(p.out)
		if err != nil {
			if errors.Is(err, errMalformed) {
				p.end(garbled)
			}
			break
		}
		heard(p, m)
	}
	p.reap()
	p.mu.Lock()
	p.loss = p.sentence()
	waiting := p.calls
	p.calls = nil
	p.mu.Unlock()
	ended(p, len(waiting))
	for _, c := range waiting {
		c.reply <- message{Kind: dead, Text: p.loss}
	}
	close(p.gone)
}

// reap waits for the process's end; one that has closed its pipe and lingers
// is ended.
func (p *process) reap() {
	linger := time.AfterFunc(time.Second, func() { p.cmd.Process.Kill() })
	p.wait()
	linger.Stop()
	p.in.Close()
	p.out.Close()
}
