// Package worker runs cells in a process of their own. The process that owns
// sockets or a page starts one, speaks to it over a pipe, and outlives whatever
// a cell does to it.
package worker

import (
	"context"
	"encoding/json"
)

// A Runner runs the cells of one notebook. Execute calls come one at a time;
// everything else may be called while one runs.
type Runner interface {
	// Execute runs one cell and sends what it shows to out while it runs.
	Execute(ctx context.Context, r Request, out Output) Outcome
	// Complete, Inspect and IsComplete take cursors in code points, clamped to
	// the text.
	Complete(ctx context.Context, code string, cursor int) (Completion, error)
	Inspect(ctx context.Context, code string, cursor, detail int) (Inspection, error)
	IsComplete(ctx context.Context, code string) (Completeness, error)
	// Comm hands a front end's comm message to the cells' sliders.
	Comm(ctx context.Context, m Comm, out Output) error
	// Comms lists the open comms by id, with their target names.
	Comms() map[string]string
	// Interrupt stops the running cell and keeps every variable.
	Interrupt()
	// Restart gives up what the cells declared and starts anew.
	Restart(ctx context.Context) error
	// Close ends everything, also in the midst of a cell.
	Close() error
}

// A Request is one cell to run.
type Request struct {
	Code        string
	Silent      bool
	Count       int               // the execution count that errors name
	Expressions map[string]string // user_expressions
}

// An Outcome is how a cell ended.
type Outcome struct {
	Err         *Failure
	Payload     []map[string]any // for example the pager of ?name
	Expressions map[string]any   // replies to Request.Expressions, as the protocol words them
	Lost        string           // one sentence when the worker died and a fresh one took over
}

// A Failure is an error as a front end shows it.
type Failure struct {
	Name      string   // kind: "wrong unit", "interrupted"
	Value     string   // the sentence, with its place
	Traceback []string // lines to show

	Line, Column int    // the place in the cell, from 1; 0 when unknown
	Text         string // the sentence alone, without place or offer
}

// A Bundle is one thing shown in several forms, by media type.
type Bundle struct {
	Data     map[string]any `json:"data"`
	Metadata map[string]any `json:"metadata"`
}

// An Output takes what a cell shows, in order. Its methods must not block for
// long.
type Output interface {
	Stream(name, text string) // "stdout" or "stderr"
	Result(b Bundle)          // the value of the last line
	Display(b Bundle, id string, update bool)
	Clear(wait bool)
	Comm(m Comm)
}

// A Comm is a message of a comm: Kind is "open", "msg" or "close".
type Comm struct {
	Kind     string          `json:"kind"`
	ID       string          `json:"id"`
	Target   string          `json:"target,omitempty"` // on open
	Data     json.RawMessage `json:"data"`
	Metadata json.RawMessage `json:"metadata,omitempty"`
	Buffers  [][]byte        `json:"buffers,omitempty"`
	// More says, to the cells, that a message of another comm of theirs is
	// waiting already: a picture that it would redraw can be left to it.
	More bool `json:"more,omitempty"`
}

// A Completion offers words for the text between Start and End (code points).
type Completion struct {
	Matches    []string
	Start, End int
	Metadata   map[string]any
}

// An Inspection tells what a name means.
type Inspection struct {
	Found  bool
	Bundle Bundle
}

// A Completeness is "complete", "incomplete", "invalid" or "unknown".
type Completeness struct {
	Status string
	Indent string // for the next line of an incomplete cell
}
