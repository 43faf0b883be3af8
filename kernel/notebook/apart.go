package notebook

import (
	"context"
	"errors"
	"time"

	"tautline/kernel/engine"
	"tautline/kernel/widget"
	"tautline/kernel/worker"
)

// RunApart executes all code cells in order by a runner, which has them in a
// process of their own, and replaces their outputs. It stops at the first
// error, like Run.
func (n *Notebook) RunApart(ctx context.Context, r worker.Runner, o Options) error {
	out := newOutputs()
	defer func() { n.keepWidgets(&out.widgets) }()
	code := n.clear()
	for i, c := range code {
		if o.Progress != nil {
			o.Progress(i+1, len(code))
		}
		if err := c.runApart(ctx, r, out, i+1, o.Timeout); err != nil {
			return &CellError{i + 1, err}
		}
	}
	return nil
}

func (c *Cell) runApart(ctx context.Context, r worker.Runner, out *outputs, count int, timeout time.Duration) error {
	if timeout > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, timeout)
		defer cancel()
	}
	c.Count, out.cell, out.clear = count, c, false
	outcome := r.Execute(ctx, worker.Request{Code: c.Source}, out)
	f := outcome.Err
	if f == nil {
		return nil
	}
	if outcome.Lost != "" {
		f.Value, f.Traceback = f.Text, []string{f.Text} // nobody is there to run the rest again
	}
	c.Outputs = append(c.Outputs, &Output{Kind: Failure, Name: f.Name, Value: f.Value, Trace: f.Traceback})
	if f.Line == 0 {
		return errors.New(f.Text)
	}
	return &engine.Error{Line: f.Line, Column: f.Column, Text: f.Text}
}

// outputs keeps in the running cell what it shows.
type outputs struct {
	cell    *Cell
	ids     map[string]*Output // what can be shown anew
	clear   bool               // when something new comes
	widgets widget.Saved
}

func newOutputs() *outputs { return &outputs{ids: map[string]*Output{}} }

func (o *outputs) add(out *Output) {
	if o.clear {
		o.cell.Outputs, o.clear = nil, false
	}
	o.cell.Outputs = append(o.cell.Outputs, out)
}

// Stream adds to the last output if that is of the same stream.
func (o *outputs) Stream(name, text string) {
	all := o.cell.Outputs
	if n := len(all); n > 0 && !o.clear && all[n-1].Kind == Stream && all[n-1].Stream == name {
		all[n-1].Text += text
		return
	}
	o.add(&Output{Kind: Stream, Stream: name, Text: text})
}

// Result keeps the value of the last line.
func (o *outputs) Result(b worker.Bundle) {
	o.add(&Output{Kind: Result, Data: b.Data, Count: o.cell.Count})
}

// Display keeps something shown in the midst of a cell, or changes it.
func (o *outputs) Display(b worker.Bundle, id string, update bool) {
	if old := o.ids[id]; old != nil && update {
		old.Data = b.Data
		return
	}
	out := &Output{Kind: Display, Data: b.Data}
	if id != "" {
		o.ids[id] = out
	}
	if !update {
		o.add(out)
	}
}

// Clear forgets what was shown.
func (o *outputs) Clear(wait bool) {
	if o.clear = wait; !wait {
		o.cell.Outputs = nil
	}
}

// Comm keeps the states of controls. There is nobody to move them.
func (o *outputs) Comm(m worker.Comm) {
	// What is no widget's message is not kept.
	_ = o.widgets.Note(m.Kind, m.ID, m.Target, m.Data)
}
