package worker

import (
	"context"
	"errors"
	"fmt"
	"os"
	"reflect"
	"strings"
	"sync"

	"tautline/kernel/engine"
	"tautline/kernel/words"
)

// Exit codes by which a worker says why it ends itself.
const (
	exitStuck  = 97 // a cell could not be stopped
	exitMemory = 98 // a cell took more memory than it may
)

// cells is the worker's side: the engine, and the way back to the one who asked.
type cells struct {
	engine *engine.Engine
	out    *frameWriter
	tape   *tape // what is printed
	errs   *tape // what print and println write
	memory int64
	folder string

	mu      sync.Mutex
	id      uint64 // of the call that runs, 0 for none
	ctx     context.Context
	cancel  context.CancelCauseFunc
	stopped uint64 // the last call that was told to stop
	late    bool
	heard   map[string]func(words.Message)
}

var (
	errInterrupted = errors.New("interrupted")
	errMemory      = errors.New("memory")
)

// moreWords lets a test add words to its workers.
var moreWords func(engine.Words)

// newCells starts an engine that knows the words.
func newCells(out *frameWriter, s startup) (*cells, error) {
	c := &cells{out: out, memory: s.Memory, folder: s.Folder, ctx: context.Background(),
		heard: map[string]func(words.Message){}}
	c.tape = &tape{limit: s.OutputLimit, send: func(text string) {
		c.say(message{Kind: stream, Name: "stdout", Text: text})
	}}
	c.errs = &tape{limit: s.OutputLimit, send: func(text string) {
		c.say(message{Kind: stream, Name: "stderr", Text: text})
	}}
	w := words.In(c)
	if s.Controls != "" {
		w = words.Named(c, s.Controls)
	}
	w.Binds["Show"] = reflect.ValueOf(c.showAll)
	w.Binds["Clear"] = reflect.ValueOf(func() { c.Clear(false) })
	w.Binds["Again"] = reflect.ValueOf(func() {
		panic(errors.New("Again() stands alone in its cell: it runs the earlier cells again"))
	})
	if moreWords != nil {
		moreWords(w)
	}
	var err error
	if c.engine, err = engine.New(w, beside{c.tape, c.errs}); err != nil {
		return nil, err
	}
	c.engine.ErrorsTo(beside{c.errs, c.tape})
	c.engine.Teach(words.Help())
	return c, nil
}

// say sends something that the running call shows. When the pipe is gone the
// process is about to end.
func (c *cells) say(m message) {
	c.mu.Lock()
	m.ID = c.id
	c.mu.Unlock()
	c.send(m)
}

func (c *cells) send(m message) {
	if err := c.out.send(m); errors.Is(err, errTooLarge) {
		c.out.send(message{Kind: stream, ID: m.ID, Name: "stderr", Text: "(one result is larger than " + size(maxFrame) + " and is left out)\n"})
	}
}

// begin makes a call the running one; end must be called when it is over.
func (c *cells) begin(id uint64) (ctx context.Context, end func()) {
	ctx, cancel := context.WithCancelCause(context.Background())
	c.mu.Lock()
	c.id, c.ctx, c.cancel = id, ctx, cancel
	if c.stopped == id {
		cancel(c.cause())
	}
	c.mu.Unlock()
	c.tape.begin()
	c.errs.begin()
	stopWatch := c.watch(cancel)
	return ctx, func() {
		stopWatch()
		c.flush()
		c.mu.Lock()
		c.id, c.ctx, c.cancel = 0, context.Background(), nil
		c.mu.Unlock()
		cancel(nil)
	}
}

// stop interrupts a call, also one that has not begun yet.
func (c *cells) stop(id uint64, late bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.stopped, c.late = id, late
	if c.id == id && c.cancel != nil {
		c.cancel(c.cause())
	}
}

func (c *cells) cause() error {
	if c.late {
		return context.DeadlineExceeded
	}
	return errInterrupted
}

// execute runs a cell and shows the value of its last line.
func (c *cells) execute(id uint64, r Request) Outcome {
	ctx, end := c.begin(id)
	defer end()
	if name, ok := engine.Asked(r.Code); ok {
		return c.page(name)
	}
	value, has, err := c.engine.Run(ctx, r.Code)
	c.leaveIfStuck(ctx)
	var o Outcome
	if err == nil && has && !r.Silent {
		err = c.showResult(ctx, value)
	}
	if err != nil {
		o.Err = c.failure(ctx, err, r)
		return o
	}
	for name, code := range r.Expressions {
		if o.Expressions == nil {
			o.Expressions = map[string]any{}
		}
		o.Expressions[name] = c.expression(ctx, code)
	}
	return o
}

// leaveIfStuck ends the process when a call into compiled code goes on after
// the cell was told to stop. The supervisor knows the exit codes.
func (c *cells) leaveIfStuck(ctx context.Context) {
	if !c.engine.Stuck() {
		return
	}
	if context.Cause(ctx) == errMemory {
		os.Exit(exitMemory)
	}
	os.Exit(exitStuck)
}

// bundles asks a value how it shows itself, where a panic becomes an error and
// an interrupt is heeded.
func (c *cells) bundles(ctx context.Context, value any) (all []map[string]any, err error) {
	err = c.engine.Call(ctx, func() { all = Bundles(value) })
	c.leaveIfStuck(ctx)
	return all, err
}

func (c *cells) showResult(ctx context.Context, value any) error {
	all, err := c.bundles(ctx, value)
	if err != nil {
		return err
	}
	for i, data := range all {
		if i == len(all)-1 {
			c.give(message{Kind: result, Bundle: &Bundle{Data: data, Metadata: map[string]any{}}})
		} else {
			c.Show(data, nil, "", false)
		}
	}
	return nil
}

// give sends something shown, in its order after what was printed, as far as
// the limit of what a cell shows allows.
func (c *cells) give(m message) {
	if c.tape.room(weight(m.Bundle.Data)) {
		c.flush()
		c.say(m)
	}
}

// weight is about how many bytes a bundle takes.
func weight(data map[string]any) int {
	n := 0
	for _, v := range data {
		switch v := v.(type) {
		case string:
			n += len(v)
		case []byte:
			n += len(v)
		default:
			n += len(fmt.Sprint(v))
		}
	}
	return n
}

// expression answers one user expression as the protocol words it.
func (c *cells) expression(ctx context.Context, code string) map[string]any {
	value, has, err := c.engine.Run(ctx, code)
	c.leaveIfStuck(ctx)
	data := map[string]any{}
	if err == nil && has {
		var all []map[string]any
		if all, err = c.bundles(ctx, value); err == nil && len(all) > 0 {
			data = all[len(all)-1]
		}
	}
	if err != nil {
		f := c.failure(ctx, err, Request{Code: code})
		return map[string]any{"status": "error", "ename": f.Name, "evalue": f.Value, "traceback": f.Traceback}
	}
	return map[string]any{"status": "ok", "data": data, "metadata": map[string]any{}}
}

// failure shows the sentence below the line that it is about.
func (c *cells) failure(ctx context.Context, err error, r Request) *Failure {
	f := &Failure{Name: "Error", Text: err.Error(), Value: err.Error(), Traceback: []string{}}
	e := (*engine.Error)(nil)
	if errors.As(err, &e) {
		if e.Kind == engine.Stopped && context.Cause(ctx) == errMemory {
			e.Text = "the cell took more than the " + size(c.memory) + " of memory that it may have, and was stopped; " +
				"what earlier cells set up is kept"
		}
		f.Name, f.Line, f.Column, f.Text, f.Value = e.Kind.String(), e.Line, e.Column, e.Text, e.Error()
		f.Traceback = marked(e, r)
	}
	f.Traceback = append(f.Traceback, f.Value)
	return f
}

// marked gives the line of the cell, with a mark below the column.
func marked(e *engine.Error, r Request) []string {
	all := strings.Split(r.Code, "\n")
	if e.Line < 1 || e.Line > len(all) {
		return nil
	}
	var lines []string
	if r.Count > 0 {
		lines = append(lines, fmt.Sprintf("Cell %d, line %d:", r.Count, e.Line))
	}
	lines = append(lines, all[e.Line-1])
	if e.Column > 0 {
		lines = append(lines, strings.Repeat(" ", e.Column-1)+"^")
	}
	return lines
}
