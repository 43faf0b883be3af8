package jupyter

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"
	"time"

	"tautline/kernel/worker"
)

// A scripted runner does what the lines of a cell say, so that the wire can be
// tried without an interpreter: "print hello", "fail", "loop".
type scripted struct {
	mu     sync.Mutex
	stop   chan struct{} // closed by an interrupt
	gone   chan struct{} // closed by Close
	once   sync.Once
	opened map[string]string
	heard  []worker.Comm
}

func newScripted() *scripted {
	return &scripted{stop: make(chan struct{}), gone: make(chan struct{}), opened: map[string]string{}}
}

func startScripted(context.Context) (worker.Runner, error) { return newScripted(), nil }

type act struct {
	s    *scripted
	stop chan struct{}
	ctx  context.Context
	out  worker.Output
	done *worker.Outcome
	rest string
}

var acts = map[string]func(a act){
	"print": func(a act) { a.out.Stream("stdout", a.rest+"\n") },
	"warn":  func(a act) { a.out.Stream("stderr", a.rest+"\n") },
	"raw":   func(a act) { t, _ := strconv.Unquote(a.rest); a.out.Stream("stdout", t) },
	"value": func(a act) { a.out.Result(worker.Bundle{Data: map[string]any{"text/plain": a.rest}}) },
	"show":  func(a act) { a.out.Display(picture(), a.rest, false) },
	"renew": func(a act) { a.out.Display(picture(), a.rest, true) },
	"clear": func(a act) { a.out.Clear(a.rest == "wait") },
	"nan":   func(a act) { a.out.Result(worker.Bundle{Data: map[string]any{"text/plain": math.NaN()}}) },
	"nans":  func(a act) { a.done.Expressions = map[string]any{"x": math.NaN()} },
	"page": func(a act) {
		a.done.Payload = []map[string]any{{"source": "page", "data": map[string]any{"text/plain": a.rest}, "start": 0}}
	},
	"fail": func(a act) {
		a.done.Err = &worker.Failure{Name: "wrong unit", Value: a.rest, Traceback: []string{a.rest}}
	},
	"die":   func(a act) { a.done.Lost = "The cell ended its process; a new one took over." },
	"panic": func(a act) { panic("a fault of the runner") },
	"nap":   func(a act) { time.Sleep(20 * time.Millisecond) },
	"flood": func(a act) {
		n, _ := strconv.Atoi(a.rest)
		for i := range n {
			a.out.Stream("stdout", strconv.Itoa(i)+"\n")
		}
	},
	"bytes": func(a act) {
		n, _ := strconv.Atoi(a.rest)
		a.out.Result(worker.Bundle{Data: map[string]any{"text/plain": strings.Repeat("µ", n/2)}})
	},
	"slide": func(a act) {
		a.s.mu.Lock()
		a.s.opened[a.rest] = "jupyter.widget"
		a.s.mu.Unlock()
		a.out.Comm(worker.Comm{Kind: "open", ID: a.rest, Target: "jupyter.widget", Data: json.RawMessage(`{"state":{}}`),
			Metadata: json.RawMessage(`{"version":"2.1.0"}`), Buffers: [][]byte{{0, 1, 255}}})
	},
	"loop": func(a act) {
		select {
		case <-a.stop:
			a.done.Err = &worker.Failure{Name: "interrupted", Value: "The cell was interrupted."}
		case <-a.s.gone:
			a.done.Err = &worker.Failure{Name: "ended", Value: "The kernel is ending."}
		}
	},
}

func picture() worker.Bundle {
	return worker.Bundle{Data: map[string]any{"text/plain": "a rim", "image/svg+xml": "<svg/>"}}
}

func (s *scripted) stopping() chan struct{} {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.stop
}

func (s *scripted) Execute(ctx context.Context, r worker.Request, out worker.Output) (o worker.Outcome) {
	stop := s.stopping() // an interrupt counts from here
	for line := range strings.Lines(r.Code) {
		word, rest, _ := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
		do, ok := acts[word]
		if !ok {
			o.Err = &worker.Failure{Name: "unknown name", Value: word}
		} else {
			do(act{s, stop, ctx, out, &o, rest})
		}
		if o.Err != nil {
			return o
		}
	}
	for name, text := range r.Expressions {
		if o.Expressions == nil {
			o.Expressions = map[string]any{}
		}
		o.Expressions[name] = map[string]any{"status": "ok", "data": map[string]any{"text/plain": text}, "metadata": map[string]any{}}
	}
	return o
}

// Complete offers what stands before the cursor, which shows how it is counted.
func (s *scripted) Complete(_ context.Context, code string, cursor int) (worker.Completion, error) {
	if code == "nothing" {
		return worker.Completion{}, nil
	}
	if code == "broken" {
		return worker.Completion{}, fmt.Errorf("no completion today")
	}
	before := string([]rune(code)[:cursor])
	return worker.Completion{Matches: []string{before}, Start: 0, End: cursor}, nil
}

func (s *scripted) Inspect(_ context.Context, code string, cursor, detail int) (worker.Inspection, error) {
	if code == "" {
		return worker.Inspection{}, nil
	}
	text := fmt.Sprintf("%d of %q, detail %d", cursor, code, detail)
	return worker.Inspection{Found: true, Bundle: worker.Bundle{Data: map[string]any{"text/plain": text}}}, nil
}

func (s *scripted) IsComplete(_ context.Context, code string) (worker.Completeness, error) {
	if strings.HasSuffix(code, "{") {
		return worker.Completeness{Status: "incomplete", Indent: "\t"}, nil
	}
	if strings.HasPrefix(code, "}") {
		return worker.Completeness{Status: "invalid"}, nil
	}
	return worker.Completeness{Status: "complete", Indent: "not for this status"}, nil
}

func (s *scripted) Comm(_ context.Context, m worker.Comm, out worker.Output) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if m.Kind == "open" && m.Target != "jupyter.widget" {
		return fmt.Errorf("nobody listens to %q", m.Target)
	}
	if m.Kind != "open" && s.opened[m.ID] == "" {
		return fmt.Errorf("there is no slider %q", m.ID)
	}
	s.heard = append(s.heard, m)
	switch m.Kind {
	case "open":
		s.opened[m.ID] = m.Target
	case "close":
		delete(s.opened, m.ID)
	default:
		out.Stream("stdout", "moved\n")
		out.Comm(worker.Comm{Kind: "msg", ID: m.ID, Data: m.Data, Buffers: m.Buffers})
	}
	return nil
}

func (s *scripted) Comms() map[string]string {
	s.mu.Lock()
	defer s.mu.Unlock()
	all := map[string]string{}
	for id, target := range s.opened {
		all[id] = target
	}
	return all
}

func (s *scripted) Interrupt() {
	s.mu.Lock()
	defer s.mu.Unlock()
	close(s.stop)
	s.stop = make(chan struct{})
}

func (s *scripted) Restart(context.Context) error { return nil }

func (s *scripted) Close() error {
	s.once.Do(func() { close(s.gone) })
	return nil
}
