package engine

import (
	"context"
	"errors"
	"fmt"
	"go/token"
	"reflect"
	"runtime"
	"strings"

	"github.com/cosmos72/gomacro/base"
	"github.com/cosmos72/gomacro/fast"
)

// maxDepth bounds the calls inside calls. Each takes about a kilobyte of the
// process's stack, of which Go allows 1 GB.
const maxDepth = 20_000

var errTooDeep = fmt.Errorf("functions call each other more than %d deep; is there a call without an end?", maxDepth)

// enter is what guard calls at the start of each function. Once the cell is
// told to stop no further function begins, or functions that defer themselves
// would go on for ever.
func (e *Engine) enter() {
	if e.leaving.Load() {
		panic(base.SigInterrupt)
	}
	if in := e.interp; in.run.CurrEnv != nil && in.run.CurrEnv.CallDepth > maxDepth {
		panic(errTooDeep)
	}
}

// recovered stands round every recover of a cell: what stops the cell cannot
// be caught by it.
func (e *Engine) recovered(p any) any {
	if p == base.SigInterrupt || e.leaving.Load() {
		panic(base.SigInterrupt)
	}
	return asRuntimeError(p)
}

// A runtimeError is what Go's own run time panics with; the interpreter does so
// with a text in some places.
type runtimeError string

func (r runtimeError) Error() string { return "runtime error: " + string(r) }
func (r runtimeError) RuntimeError() {}

func asRuntimeError(p any) any {
	switch p := p.(type) {
	case string:
		if strings.HasPrefix(p, "reflect: ") && strings.Contains(p, "out of range") {
			return runtimeError("index out of range")
		}
	case *reflect.ValueError:
		return runtimeError("invalid memory address or nil pointer dereference")
	}
	return p
}

// failure turns what a running cell panicked with into an error that points at
// the line of the cell.
func (e *Engine) failure(p any, c *cell, at token.Pos) *Error {
	if p == base.SigInterrupt || e.context().Err() != nil {
		return e.stopped(c, at)
	}
	where := e.failedAt(c, at)
	text, ok := said(p)
	if !ok && e.context().Err() != nil {
		return e.stopped(c, at)
	}
	err := e.errorPos(where, Failed, text)
	err.Column = 0 // statements are known, not places inside them
	return err
}

// said words what went wrong. An error of a cell's own type runs its Error
// method for that, which may go wrong itself.
func said(p any) (text string, ok bool) {
	defer func() {
		if recover() != nil {
			text, ok = "the cell failed with an error that cannot say what it is", false
		}
	}()
	return panicSentence(p), true
}

func (e *Engine) stopped(c *cell, at token.Pos) *Error {
	err := e.errorPos(e.failedAt(c, at), Stopped, "the cell was stopped")
	if errors.Is(context.Cause(e.context()), context.DeadlineExceeded) {
		err.Text = "the cell took too long and was stopped; is there a loop without an end?"
	}
	err.Column = 0
	return err
}

// failedAt walks from the innermost call outwards to the first statement that
// belongs to the cell; functions of earlier cells are passed over.
func (e *Engine) failedAt(c *cell, at token.Pos) token.Pos {
	for env := e.interp.run.CurrEnv; env != nil; env = callerOf(env) {
		if env.Outer == nil || env.FileEnv == env || env.IP < 0 || env.IP >= len(env.DebugPos) {
			continue
		}
		pos := env.DebugPos[env.IP]
		if in, _, ok := e.locate(pos); ok && in == c {
			return pos
		}
	}
	return at
}

// callerOf finds who called the function that an environment belongs to;
// blocks inside a function have environments of their own, without a caller.
func callerOf(env *fast.Env) *fast.Env {
	for env != nil && env.Caller == nil {
		env = env.Outer
	}
	if env == nil {
		return nil
	}
	return env.Caller
}

// panicSentence words what went wrong.
func panicSentence(p any) string {
	switch p := p.(type) {
	case *reflect.ValueError:
		return "something that was never set (nil) is used here"
	case runtime.Error:
		return plainRuntime(p.Error())
	case error:
		if p == errTooDeep {
			return p.Error()
		}
		return plainRuntime(p.Error())
	case string:
		return plainRuntime(p)
	case fmt.Stringer:
		return p.String()
	}
	return fmt.Sprint(p)
}

var plain = []struct{ part, sentence string }{
	{"invalid memory address or nil pointer dereference", "something that was never set (nil) is used here"},
	{"on zero Value", "something that was never set (nil) is used here"},
	{"index out of range", "there is no such element: an index is counted from 0 and ends below the length"},
	{"slice bounds out of range", "the slice reaches beyond the list"},
	{"slice index out of bounds", "the slice reaches beyond the list"},
	{"integer divide by zero", "a whole number is divided by zero"},
	{"division by zero", "a whole number is divided by zero"},
	{"assignment to entry in nil map", "this map was never made; write make(map[...]...) first"},
	{"makeslice: len out of range", "this list would be too long"},
}

func plainRuntime(text string) string {
	for _, p := range plain {
		if strings.Contains(text, p.part) {
			return p.sentence
		}
	}
	return strings.TrimPrefix(tidy(text), "runtime error: ")
}
