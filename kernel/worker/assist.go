package worker

import (
	"strings"

	"tautline/kernel/engine"
)

// assist answers questions about a text that is being typed.
func (c *cells) assist(m message, reply *message) {
	_, end := c.begin(m.ID)
	defer end()
	switch m.Kind {
	case complete:
		at := clamp(m.Assist.Cursor, m.Assist.Code)
		reply.Completion = &Completion{Matches: []string{}, Start: at, End: at, Metadata: map[string]any{}}
	case inspect:
		reply.Inspection = &Inspection{Bundle: Bundle{Data: map[string]any{}, Metadata: map[string]any{}}}
	case completeness:
		reply.Completeness = state(m.Assist.Code)
	}
}

// clamp keeps a cursor inside the text.
func clamp(cursor int, code string) int { return min(max(cursor, 0), len([]rune(code))) }

// state tells whether a cell is a whole one.
func state(code string) *Completeness {
	depth, err := engine.Unfinished(code)
	switch {
	case depth > 0:
		return &Completeness{Status: "incomplete", Indent: strings.Repeat("\t", depth-1)}
	case err != nil:
		return &Completeness{Status: "invalid"}
	}
	return &Completeness{Status: "complete"}
}
