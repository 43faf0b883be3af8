package notebook

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"

	"tautline/kernel/engine"
	"tautline/kernel/worker"
)

// An Engine runs cells and keeps what they declare.
type Engine interface {
	Run(ctx context.Context, cell string) (value any, has bool, err error)
}

// Options adjust a run.
type Options struct {
	// Timeout stops a cell that takes longer; zero means no limit.
	Timeout time.Duration
	// Progress is told before each code cell which one it is and of how many.
	Progress func(cell, of int)
}

// A CellError says which cell failed, counting code cells from 1, and why.
type CellError struct {
	Cell int
	Err  error
}

// Error gives the cell, the line and the sentence.
func (e *CellError) Error() string { return fmt.Sprintf("code cell %d, %v", e.Cell, e.Err) }

// Unwrap gives the engine's error.
func (e *CellError) Unwrap() error { return e.Err }

// maxPrinted bounds what is kept of what one cell prints.
const maxPrinted = 1 << 20

// Run executes all code cells in order and replaces their outputs. It stops at
// the first error, which is a *CellError and stands in that cell's outputs too;
// the cells below then have no outputs. The start function makes the engine,
// which prints and shows on the stage that it is given.
func (n *Notebook) Run(ctx context.Context, start func(*Stage) (Engine, error), o Options) error {
	stage := &Stage{outputs: newOutputs()}
	e, err := start(stage)
	if err != nil {
		return err
	}
	if c, ok := e.(interface{ Close() }); ok {
		defer c.Close()
	}
	defer func() { n.keepWidgets(&stage.outputs.widgets) }()
	code := n.clear()
	for i, c := range code {
		if o.Progress != nil {
			o.Progress(i+1, len(code))
		}
		if err := c.run(ctx, e, stage, i+1, o.Timeout); err != nil {
			return &CellError{i + 1, err}
		}
	}
	return nil
}

// clear removes all outputs, so that none from another run remains, and lists
// the code cells.
func (n *Notebook) clear() []*Cell {
	var code []*Cell
	for _, c := range n.Cells {
		if c.Kind == Code {
			c.Outputs, c.Count = nil, 0
			code = append(code, c)
		}
	}
	return code
}

func (c *Cell) run(ctx context.Context, e Engine, stage *Stage, count int, timeout time.Duration) error {
	if timeout > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, timeout)
		defer cancel()
	}
	stage.begin(ctx, c)
	value, has, err := e.Run(ctx, c.Source)
	c.Count = count
	stage.flush()
	if err != nil {
		c.Outputs = append(c.Outputs, c.failure(err))
		return err
	}
	if has {
		c.show(value, count)
	}
	return nil
}

// show adds the value's bundles; the last one is the cell's result.
func (c *Cell) show(value any, count int) {
	all := worker.Bundles(value)
	for i, data := range all {
		out := &Output{Kind: Display, Data: data}
		if i == len(all)-1 {
			out.Kind, out.Count = Result, count
		}
		c.Outputs = append(c.Outputs, out)
	}
}

// failure shows the sentence below the line that it is about.
func (c *Cell) failure(err error) *Output {
	out := &Output{Kind: Failure, Name: "Error", Value: err.Error(), Trace: []string{}}
	e := (*engine.Error)(nil)
	if !errors.As(err, &e) {
		return out
	}
	out.Name = e.Kind.String()
	if all := strings.Split(c.Source, "\n"); e.Line > 0 && e.Line <= len(all) {
		out.Trace = append(out.Trace, all[e.Line-1])
		if e.Column > 0 {
			out.Trace = append(out.Trace, strings.Repeat(" ", e.Column-1)+"^")
		}
	}
	out.Trace = append(out.Trace, err.Error())
	return out
}

// A tape keeps what a cell prints, up to a limit.
type tape struct {
	mu   sync.Mutex
	text strings.Builder
	more bool
}

// Write never fails: a cell that prints too much goes on, unheard.
func (t *tape) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	room := maxPrinted - t.text.Len()
	if len(p) > room {
		t.more = true
		t.text.Write(p[:max(room, 0)])
		return len(p), nil
	}
	return t.text.Write(p)
}

// take gives what was printed since the last time.
func (t *tape) take() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	text := strings.ToValidUTF8(t.text.String(), "\uFFFD")
	if t.more {
		text += fmt.Sprintf("\n(the cell printed more than %d MB; the rest is left out)\n", maxPrinted>>20)
	}
	t.text.Reset()
	t.more = false
	return text
}
