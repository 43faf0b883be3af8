package words

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"

	"tautline/kernel/engine"
	"tautline/kernel/widget"
	"tautline/kernel/widget/spec"
)

// A stand is a front for tests: it keeps what the words send, and lets a test
// move the controls.
type stand struct {
	t      testing.TB
	engine *engine.Engine
	out    bytes.Buffer
	sent   []sent
	shown  []shown
	heard  map[string]func(Message)
	log    spec.Log
}

type sent struct {
	kind, id, target string
	data, metadata   map[string]any
}

type shown struct {
	data   map[string]any
	id     string
	update bool
}

func newStand(t testing.TB) *stand {
	t.Helper()
	s := &stand{t: t, heard: map[string]func(Message){}}
	var err error
	if s.engine, err = engine.New(Named(s, "test"), &s.out); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.engine.Close)
	return s
}

func (s *stand) Context() context.Context { return context.Background() }

func (s *stand) Bundles(v any) []map[string]any {
	if b, ok := v.(interface{ Mimebundle() map[string]any }); ok {
		return []map[string]any{b.Mimebundle()}
	}
	if raw, ok := v.(map[string]any); ok { // stands for a plot
		return []map[string]any{raw}
	}
	return []map[string]any{{"text/plain": plainText(v)}}
}

func (s *stand) Call(f func()) error { return s.engine.Call(context.Background(), f) }

func (s *stand) Show(data, _ map[string]any, id string, update bool) {
	s.shown = append(s.shown, shown{data, id, update})
}

func (s *stand) Clear(bool) {}

func (s *stand) Send(kind, id, target string, data, metadata any, _ [][]byte) error {
	m := sent{kind, id, target, decoded(s.t, data), decoded(s.t, metadata)}
	s.sent = append(s.sent, m)
	if m.data["method"] != "update_states" {
		if err := s.log.Check(kind, id, target, m.data, m.metadata); err != nil {
			s.t.Error(err)
		}
	}
	return nil
}

func (s *stand) Hear(name string, f func(Message)) {
	if f == nil {
		delete(s.heard, name)
		return
	}
	s.heard[name] = f
}

// decoded is what a front end reads of a message.
func decoded(t testing.TB, v any) map[string]any {
	t.Helper()
	text, err := json.Marshal(v)
	var m map[string]any
	if err == nil {
		err = json.Unmarshal(text, &m)
	}
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// run runs cells, which must not fail.
func (s *stand) run(cells ...string) {
	s.t.Helper()
	for _, c := range cells {
		if _, _, err := s.engine.Run(context.Background(), c); err != nil {
			s.t.Fatalf("%s\n%v", c, err)
		}
	}
}

// fails runs a cell that must fail, and gives its sentence.
func (s *stand) fails(cell string) string {
	s.t.Helper()
	_, _, err := s.engine.Run(context.Background(), cell)
	if err == nil {
		s.t.Fatalf("%s does not fail", cell)
	}
	return plainError(err)
}

// model finds the id of the n-th opened model of a kind.
func (s *stand) model(name string, n int) string {
	s.t.Helper()
	for _, m := range s.sent {
		if m.kind != "open" || m.data["state"].(map[string]any)["_model_name"] != name {
			continue
		}
		if n == 0 {
			return m.id
		}
		n--
	}
	s.t.Fatalf("no %s", name)
	return ""
}

// tell lets a front end say something, and drops what was sent and shown
// before.
func (s *stand) tell(id string, data any, more bool) {
	s.t.Helper()
	text, err := json.Marshal(data)
	if err != nil {
		s.t.Fatal(err)
	}
	s.sent, s.shown = nil, nil
	s.heard[id](Message{ID: id, Kind: "msg", Data: text, More: more})
}

func moved(key string, value any) map[string]any {
	return map[string]any{"method": "update", "state": map[string]any{key: value}, "buffer_paths": []any{}}
}

// updates gives what of one model's state was sent by a method.
func (s *stand) updates(id, method string) []widget.State {
	var all []widget.State
	for _, m := range s.sent {
		if m.id == id && m.data["method"] == method {
			all = append(all, m.data["state"].(map[string]any))
		}
	}
	return all
}
