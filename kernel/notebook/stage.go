package notebook

import (
	"context"
	"encoding/json"

	"tautline/kernel/words"
	"tautline/kernel/worker"
)

// A Stage is where the cells of a run in this process are read: what they
// print and show becomes outputs. Nobody moves its controls, so they stay where
// they start.
type Stage struct {
	printed tape
	ctx     context.Context
	outputs *outputs
}

var _ words.Front = (*Stage)(nil)

// Write takes what the cells print.
func (s *Stage) Write(p []byte) (int, error) { return s.printed.Write(p) }

// begin makes a cell the one whose outputs are gathered.
func (s *Stage) begin(ctx context.Context, c *Cell) { s.ctx, s.outputs.cell = ctx, c }

// flush moves what was printed into the outputs, in its order.
func (s *Stage) flush() {
	if text := s.printed.take(); text != "" {
		s.outputs.Stream("stdout", text)
	}
}

// Context is that of the running cell.
func (s *Stage) Context() context.Context {
	if s.ctx == nil {
		return context.Background()
	}
	return s.ctx
}

// Bundles gives what a value looks like.
func (s *Stage) Bundles(value any) []map[string]any { return worker.Bundles(value) }

// Call has nothing to call between cells.
func (s *Stage) Call(f func()) error {
	f()
	return nil
}

// Show adds an output, or changes what an id has shown before.
func (s *Stage) Show(data, metadata map[string]any, id string, update bool) {
	s.flush()
	s.outputs.Display(worker.Bundle{Data: data, Metadata: metadata}, id, update)
}

// Clear takes away what the cell has shown.
func (s *Stage) Clear(wait bool) {
	s.flush()
	s.outputs.Clear(wait)
}

// Send keeps the states of controls, for a front end that opens the notebook.
func (s *Stage) Send(kind, id, target string, data, _ any, _ [][]byte) error {
	text, err := json.Marshal(data)
	s.outputs.Comm(worker.Comm{Kind: kind, ID: id, Target: target, Data: text})
	return err
}

// Hear never hears anything.
func (s *Stage) Hear(string, func(words.Message)) {}
