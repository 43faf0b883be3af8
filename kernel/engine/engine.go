// Package engine runs the cells of a notebook: Go, with the model's names in
// scope, in an interpreter. Every cell is parsed by Go's parser and read by
// Go's type checker before any of it runs, so that a wrong name, type or unit
// is one sentence and no half-done work. Nothing a cell can say reaches files,
// network, other processes or memory, and no Go toolchain is used or looked
// for.
package engine

import (
	"context"
	"fmt"
	"go/token"
	"go/types"
	"io"
	"reflect"
	"sync/atomic"
	"time"

	"github.com/gopherdata/gophernotes/imports"
	"golang.org/x/tools/go/types/typeutil"
)

// An Engine holds what the cells of one notebook have declared. Its methods
// may be called from any goroutine, one at a time.
type Engine struct {
	out     io.Writer
	errors  io.Writer // where print and println go
	jobs    chan job
	current atomic.Pointer[context.Context] // of the running cell
	stuck   atomic.Bool                     // a cell could not be stopped
	grace   time.Duration                   // what a cell that is told to stop gets
	leaving atomic.Bool                     // the running cell is told to stop
	known   atomic.Pointer[knowledge]       // for questions while a cell runs
	help    atomic.Pointer[Help]

	// All below belongs to the engine's own goroutine.
	files      *token.FileSet
	pieces     map[*token.File]*piece
	table      Words
	words      *types.Package
	mirror     *mirror
	quantities map[types.Type]Quantity
	packages   map[string]imports.Package // those that a cell has imported
	interp     *interp
	scope      scope
	checked    scope                   // that of the cell being checked
	inner      map[types.Object]string // declared objects -> the interpreter's names
	renamed    map[string]int
	numbers    map[reflect.Type]int
	counters   int
	kinds      typeutil.Map // types of dressed values -> their *kind
	texts      map[*types.TypeName]*textFunc
	cellTypes  map[string]*types.TypeName    // the last declared of each name
	runtime    map[any]*types.TypeName       // the interpreter's types -> the checker's
	hidden     map[string]string             // what a hidden name stands for -> that name
	pending    map[string]func(string) error // hidden names -> how to declare them
}

// Values is what a cell gives whose last line has several results.
type Values []any

type job struct {
	ctx   context.Context
	text  string
	call  func() // instead of a text
	reply chan reply
}

type reply struct {
	value any
	has   bool
	err   error
}

// usualGrace is how long a cell that is told to stop may go on: a call into
// compiled code cannot be interrupted.
const usualGrace = 2 * time.Second

// New starts an engine that knows the words and prints to out.
func New(words Words, out io.Writer) (*Engine, error) {
	e := &Engine{out: out, errors: out, grace: usualGrace, jobs: make(chan job), table: words,
		files: token.NewFileSet(), pieces: map[*token.File]*piece{}, mirror: newMirror(),
		quantities: map[types.Type]Quantity{}, scope: newScope(),
		texts: map[*types.TypeName]*textFunc{}, cellTypes: map[string]*types.TypeName{}, runtime: map[any]*types.TypeName{},
		hidden: map[string]string{}, pending: map[string]func(string) error{},
		packages: map[string]imports.Package{}, inner: map[types.Object]string{}, renamed: map[string]int{}, numbers: map[reflect.Type]int{}}
	started := make(chan error)
	// The interpreter stops at once only on the goroutine that made it.
	go func() {
		err := e.start()
		started <- err
		if err == nil {
			e.serve()
		}
	}()
	if err := <-started; err != nil {
		return nil, fmt.Errorf("the cell engine does not start: %w", err)
	}
	return e, nil
}

// ErrorsTo has print and println write elsewhere than the cells' own output, as
// in Go. It is called before the first cell runs.
func (e *Engine) ErrorsTo(w io.Writer) { e.errors = w }

// Close ends the engine. It must not be used afterwards.
func (e *Engine) Close() { close(e.jobs) }

// Run runs one cell. The value is that of its last line, if that line is an
// expression with a result. An error is an *Error; what stood above the
// failing line has then been done, if the cell got as far as running.
func (e *Engine) Run(ctx context.Context, text string) (value any, has bool, err error) {
	r := e.do(job{ctx: ctx, text: text})
	return r.value, r.has, r.err
}

// Call calls f as a cell would: what a cell declared may be called in it, it
// stops when ctx ends, and a panic becomes an error.
func (e *Engine) Call(ctx context.Context, f func()) error {
	return e.do(job{ctx: ctx, call: f}).err
}

// Stuck tells whether a cell could not be stopped. The engine is of no use
// then: part of that cell may still be running.
func (e *Engine) Stuck() bool { return e.stuck.Load() }

func (e *Engine) do(j job) reply {
	if e.stuck.Load() {
		return reply{err: &Error{Kind: Stopped, Text: "an earlier cell could not be stopped; start again"}}
	}
	j.reply = make(chan reply, 1)
	e.jobs <- j
	select {
	case r := <-j.reply:
		return r
	case <-j.ctx.Done():
	}
	select {
	case r := <-j.reply:
		return r
	case <-time.After(e.grace):
		e.stuck.Store(true)
		return reply{err: &Error{Kind: Stopped, Text: "the cell could not be stopped; start again"}}
	}
}

// context is that of the cell that runs.
func (e *Engine) context() context.Context {
	if ctx := e.current.Load(); ctx != nil {
		return *ctx
	}
	return context.Background()
}

func (e *Engine) serve() {
	for j := range e.jobs {
		e.current.Store(&j.ctx)
		j.reply <- e.guarded(j)
	}
}

// guarded keeps a fault of the engine itself from ending the process.
func (e *Engine) guarded(j job) (r reply) {
	defer func() {
		if p := recover(); p != nil {
			r = reply{err: &Error{Kind: Failed, Text: fmt.Sprintf("the engine itself failed on this cell, please report it: %v", p)}}
		}
	}()
	if j.call != nil {
		return e.runCall(j.call)
	}
	defer e.publish()
	return e.runCell(&cell{j.text})
}

// start makes the interpreter and tells both it and the checker the words.
func (e *Engine) start() error {
	e.interp = newInterp()
	for t := range e.table.Quantities {
		e.mirror.plain[t.PkgPath()] = true
	}
	for _, t := range e.table.Types {
		e.mirror.plain[t.PkgPath()] = true
	}
	table := e.table.table()
	e.words = e.mirror.importPackage(wordsPath, table)
	for t, q := range e.table.Quantities {
		e.quantities[e.mirror.typ(t)] = q
	}
	if err := e.interp.importPackage(".", wordsPath, table); err != nil {
		return err
	}
	e.addBuiltins()
	e.publish()
	return nil
}

// addBuiltins replaces what the interpreter's own built-ins do wrong.
func (e *Engine) addBuiltins() {
	e.interp.declareFunc(guardName, e.enter)
	e.interp.declareFunc(recoverName, e.recovered)
	e.interp.declareFunc("print", e.print(false))
	e.interp.declareFunc("println", e.print(true))
}
