package engine

import "fmt"

// A Kind tells at which stage a cell failed.
type Kind int

// The stages, in the order in which a cell passes through them.
const (
	Syntax   Kind = iota // it is not Go
	Refused              // Go that cells cannot use
	Mistyped             // a wrong name, type or unit
	Limit                // Go that the interpreter cannot run yet
	Failed               // it went wrong while running
	Stopped              // it was interrupted, or took too long
)

var kindNames = [...]string{"SyntaxError", "NotAllowed", "TypeError", "NotSupported", "RuntimeError", "Interrupted"}

// String is the kind's name as notebooks store it beside the sentence.
func (k Kind) String() string { return kindNames[k] }

// An Error tells in one sentence what is wrong with a cell and where. Line and
// Column count from 1, the column in characters; both are zero when unknown.
type Error struct {
	Kind         Kind
	Line, Column int
	Text         string
	Incomplete   bool // more lines could still complete the cell
}

// Error gives the place and the sentence.
func (e *Error) Error() string {
	switch {
	case e.Line == 0:
		return e.Text
	case e.Column == 0:
		return fmt.Sprintf("line %d: %s", e.Line, e.Text)
	}
	return fmt.Sprintf("line %d, column %d: %s", e.Line, e.Column, e.Text)
}
