package worker

import (
	"context"
	"errors"
	"maps"
	"sync"
	"time"
)

// A Supervisor runs cells in a worker process and outlives it: when one dies
// it says why, starts another for the next call, and keeps the texts of the
// cells that ran without error so that they can be run again. It is a Runner.
type Supervisor struct {
	options Options
	running sync.Mutex // held by Execute and Restart

	mu     sync.Mutex
	worker *process
	last   uint64 // number of the last call
	cell   uint64 // number of the last call that runs something
	ended  bool
	notice string // of a worker that died while nothing ran
	past   []string
	gone   []string // what dead workers had run, to be run again
	comms  map[string]string
}

// Start starts a worker and the supervisor above it.
func Start(ctx context.Context, o Options) (*Supervisor, error) {
	s := &Supervisor{options: o.filled(), comms: map[string]string{}}
	if _, err := s.live(ctx); err != nil {
		return nil, err
	}
	return s, nil
}

var errClosed = errors.New("the cells were ended")

// live gives the worker, a fresh one if the last has died.
func (s *Supervisor) live(ctx context.Context) (*process, error) {
	s.mu.Lock()
	p, ended := s.worker, s.ended
	s.mu.Unlock()
	if ended {
		return nil, errClosed
	}
	if p != nil {
		return p, nil
	}
	p, err := spawn(ctx, s.options, s.heard, s.lost)
	if err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	switch {
	case s.ended:
		p.end(closed)
		return nil, errClosed
	case s.worker != nil: // another call was quicker
		p.end(closed)
	default:
		s.worker = p
	}
	return s.worker, nil
}

// Protection says what shuts the present worker in.
func (s *Supervisor) Protection() Protection {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.worker == nil {
		return Protection{}
	}
	return s.worker.protection
}

// heard passes on what a worker says.
func (s *Supervisor) heard(p *process, m message) {
	p.mu.Lock()
	c := p.calls[m.ID]
	if m.Kind == done {
		delete(p.calls, m.ID)
	}
	p.mu.Unlock()
	if m.Kind == comm && m.Comm != nil {
		s.note(*m.Comm)
	}
	if c == nil {
		return
	}
	if m.Kind == done && !m.isAnswer() {
		if text := p.stray.upTo(endMark(m.ID)); text != "" && c.out != nil {
			c.out.Stream("stderr", text)
		}
	}
	if m.Kind == done {
		c.reply <- m
		return
	}
	if c.out != nil {
		pass(m, c.out)
	}
}

func pass(m message, out Output) {
	switch {
	case m.Kind == stream:
		out.Stream(m.Name, m.Text)
	case m.Kind == result && m.Bundle != nil:
		out.Result(*m.Bundle)
	case m.Kind == display && m.Bundle != nil:
		out.Display(*m.Bundle, m.Name, m.Flag)
	case m.Kind == wipe:
		out.Clear(m.Flag)
	case m.Kind == comm && m.Comm != nil:
		out.Comm(*m.Comm)
	}
}

// note keeps the list of open comms.
func (s *Supervisor) note(m Comm) {
	s.mu.Lock()
	defer s.mu.Unlock()
	switch m.Kind {
	case "open":
		s.comms[m.ID] = m.Target
	case "close":
		delete(s.comms, m.ID)
	}
}

// lost puts away a worker that died. Where nobody waited for it, the next cell
// will be told.
func (s *Supervisor) lost(p *process, waiting int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.worker != p {
		return
	}
	s.worker = nil
	s.gone, s.past = append(s.past, s.gone...), nil
	clear(s.comms)
	if waiting == 0 && !s.ended {
		s.notice = p.loss + offer(len(s.gone))
	}
}

func (s *Supervisor) next() uint64 {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.last++
	return s.last
}

// call asks the worker and waits for the answer. When ctx ends the worker is
// told to stop, and the answer still waited for: it comes within the grace
// time.
func (s *Supervisor) call(ctx context.Context, m message, out Output) (message, error) {
	p, err := s.live(ctx)
	if err != nil {
		return message{}, err
	}
	m.ID = s.next()
	s.mu.Lock()
	s.cell = m.ID
	s.mu.Unlock()
	c, err := p.ask(m, out)
	if err != nil {
		return message{}, err
	}
	select {
	case reply := <-c.reply:
		return reply, nil
	case <-ctx.Done():
	}
	p.interrupt(m.ID, errors.Is(context.Cause(ctx), context.DeadlineExceeded))
	return <-c.reply, nil
}

// Comms lists the open comms by id, with their target names.
func (s *Supervisor) Comms() map[string]string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return maps.Clone(s.comms)
}

// Comm hands a front end's comm message to the cells' sliders.
func (s *Supervisor) Comm(ctx context.Context, m Comm, out Output) error {
	s.note(m)
	reply, err := s.call(ctx, message{Kind: comm, Comm: &m}, out)
	if err != nil {
		return err
	}
	if reply.Kind == dead {
		s.mu.Lock()
		defer s.mu.Unlock()
		return errors.New(reply.Text + offer(len(s.gone)))
	}
	if reply.Text != "" {
		return errors.New(reply.Text)
	}
	return nil
}

// Interrupt stops the running cell and keeps every variable.
func (s *Supervisor) Interrupt() {
	s.mu.Lock()
	p, cell := s.worker, s.cell
	s.mu.Unlock()
	if p != nil {
		p.interrupt(cell, false)
	}
}

// Restart gives up what the cells declared and starts anew.
func (s *Supervisor) Restart(ctx context.Context) error {
	s.drop()
	s.running.Lock()
	defer s.running.Unlock()
	s.drop() // one that a call in between has started
	s.mu.Lock()
	s.past, s.gone, s.notice = nil, nil, ""
	clear(s.comms)
	s.mu.Unlock()
	_, err := s.live(ctx)
	return err
}

// Close ends everything, also in the midst of a cell.
func (s *Supervisor) Close() error {
	s.mu.Lock()
	s.ended = true
	s.mu.Unlock()
	s.drop()
	return nil
}

// drop ends the present worker and waits until it is gone.
func (s *Supervisor) drop() {
	s.mu.Lock()
	p := s.worker
	s.mu.Unlock()
	if p == nil {
		return
	}
	p.end(closed)
	select {
	case <-p.gone:
	case <-time.After(5 * time.Second):
	}
}
