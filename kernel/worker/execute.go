package worker

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"tautline/kernel/engine"
)

// Execute runs one cell and sends what it shows to out while it runs.
func (s *Supervisor) Execute(ctx context.Context, r Request, out Output) Outcome {
	s.running.Lock()
	defer s.running.Unlock()
	if notice := s.takeNotice(); notice != "" {
		// The worker died between two cells: this one is not to blame.
		out.Stream("stderr", notice+"\n")
	}
	if strings.TrimSpace(r.Code) == again {
		return s.again(ctx, out)
	}
	o := s.run(ctx, r, out)
	if o.Err == nil && o.Payload == nil { // ?name does nothing that could be lost
		s.remember(r.Code)
	}
	return o
}

func (s *Supervisor) takeNotice() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	text := s.notice
	s.notice = ""
	return text
}

func (s *Supervisor) run(ctx context.Context, r Request, out Output) Outcome {
	reply, err := s.call(ctx, message{Kind: execute, Request: &r}, out)
	switch {
	case err != nil && ctx.Err() != nil && !errors.Is(err, errClosed):
		return Outcome{Err: failed(engine.Stopped.String(), "the cell was stopped before it began")}
	case err != nil:
		return Outcome{Err: failed("NotStarted", err.Error())}
	case reply.Kind == dead:
		s.mu.Lock()
		text := reply.Text + offer(len(s.gone))
		s.mu.Unlock()
		f := failed("CellsEnded", text)
		f.Text = reply.Text
		return Outcome{Err: f, Lost: text}
	case reply.Outcome == nil:
		return Outcome{Err: failed("Error", reply.Text)}
	}
	return *reply.Outcome
}

func failed(name, text string) *Failure {
	return &Failure{Name: name, Text: text, Value: text, Traceback: []string{text}}
}

// remember keeps the text of a cell that ran without error.
func (s *Supervisor) remember(text string) {
	if strings.TrimSpace(text) == "" {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.past = append(s.past, text)
	total := 0
	for i := len(s.past) - 1; i >= 0; i-- {
		if total += len(s.past[i]); total > keptTexts {
			s.past = append([]string(nil), s.past[i+1:]...)
			return
		}
	}
}

// again is the word by which a person has the earlier cells run again after
// they were lost with their worker. The supervisor itself understands it.
const again = "Again()"

// again runs what dead workers had run, in the same order, without showing it,
// and stops at the first cell that fails.
func (s *Supervisor) again(ctx context.Context, out Output) Outcome {
	s.mu.Lock()
	texts := s.gone
	s.gone = nil
	s.mu.Unlock()
	if len(texts) == 0 {
		out.Stream("stdout", "Nothing was lost, so there is nothing to run again.\n")
		return Outcome{}
	}
	for i, text := range texts {
		o := s.run(ctx, Request{Code: text, Silent: true}, nil)
		if o.Err == nil {
			s.remember(text)
			continue
		}
		rest := texts[i:]
		if o.Lost != "" {
			rest = texts[i+1:] // the one that ended them is not offered again
		}
		s.mu.Lock()
		s.gone = append(s.gone, rest...)
		s.mu.Unlock()
		f := *o.Err
		f.Value = fmt.Sprintf("%d of %d earlier cells ran again; then came the one that begins %q: %s", i, len(texts), firstLine(text), f.Value)
		f.Line, f.Column, f.Text, f.Traceback = 0, 0, f.Value, []string{f.Value}
		return Outcome{Err: &f, Lost: o.Lost}
	}
	out.Stream("stdout", fmt.Sprintf("The earlier cells ran again: %d of %d.\n", len(texts), len(texts)))
	return Outcome{}
}

func firstLine(text string) string {
	line, _, _ := strings.Cut(strings.TrimSpace(text), "\n")
	if r := []rune(line); len(r) > 60 {
		return string(r[:60]) + "..."
	}
	return line
}

// patience is how long a question about a text that is being typed waits: for a
// cell that leaves no time for it, nobody goes on waiting.
const patience = time.Second

var errBusy = errors.New("a cell is running")

// ask puts such a question. It never stops a cell.
func (s *Supervisor) ask(ctx context.Context, k kind, a assist) (message, error) {
	p, err := s.live(ctx)
	if err != nil {
		return message{}, err
	}
	c, err := p.ask(message{Kind: k, ID: s.next(), Assist: &a}, nil)
	if err != nil {
		return message{}, err
	}
	timer := time.NewTimer(patience)
	defer timer.Stop()
	select {
	case reply := <-c.reply:
		if reply.Kind == dead {
			return message{}, errors.New(reply.Text)
		}
		return reply, nil
	case <-timer.C:
		return message{}, errBusy
	case <-ctx.Done():
		return message{}, ctx.Err()
	}
}

// Complete offers words for what stands before the cursor.
func (s *Supervisor) Complete(ctx context.Context, code string, cursor int) (Completion, error) {
	m, err := s.ask(ctx, complete, assist{Code: code, Cursor: cursor})
	if err != nil || m.Completion == nil {
		at := clamp(cursor, code)
		return Completion{Matches: []string{}, Start: at, End: at, Metadata: map[string]any{}}, unlessBusy(err)
	}
	return *m.Completion, nil
}

// Inspect tells what the name at the cursor means.
func (s *Supervisor) Inspect(ctx context.Context, code string, cursor, detail int) (Inspection, error) {
	m, err := s.ask(ctx, inspect, assist{Code: code, Cursor: cursor, Detail: detail})
	if err != nil || m.Inspection == nil {
		return Inspection{}, unlessBusy(err)
	}
	return *m.Inspection, nil
}

// unlessBusy makes no error of a worker that has no time: nothing is offered then.
func unlessBusy(err error) error {
	if errors.Is(err, errBusy) {
		return nil
	}
	return err
}

// IsComplete tells whether a cell is a whole one or wants more lines.
func (s *Supervisor) IsComplete(ctx context.Context, code string) (Completeness, error) {
	m, err := s.ask(ctx, completeness, assist{Code: code})
	if err != nil || m.Completeness == nil {
		return Completeness{Status: "unknown"}, err
	}
	return *m.Completeness, nil
}
