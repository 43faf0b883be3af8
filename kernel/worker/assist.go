package worker

import (
	"strings"

	"tautline/kernel/engine"
)

// assist answers questions about a text that is being typed. It touches nothing
// of a cell that runs: the engine answers from what was declared before.
func (c *cells) assist(m message, reply *message) {
	a := m.Assist
	switch m.Kind {
	case complete:
		matches, start, end := c.engine.Complete(a.Code, a.Cursor)
		if matches == nil {
			matches = []string{}
		}
		reply.Completion = &Completion{Matches: matches, Start: start, End: end, Metadata: map[string]any{}}
	case inspect:
		about, ok := c.engine.Inspect(a.Code, a.Cursor, a.Detail)
		reply.Inspection = &Inspection{Found: ok, Bundle: Bundle{Data: forms(about, ok), Metadata: map[string]any{}}}
	case completeness:
		reply.Completeness = state(a.Code)
	}
}

// helpAtOnce answers a question without waiting for the cell that runs. It
// writes no mark of a call's end: that would cut in two what the cell writes.
func (c *cells) helpAtOnce(m message) {
	reply := message{Kind: done, ID: m.ID}
	if fault := held(func() { c.assist(m, &reply) }); fault != "" {
		reply.Text = fault
	}
	c.out.send(reply)
}

func forms(about engine.About, ok bool) map[string]any {
	if !ok {
		return map[string]any{}
	}
	return map[string]any{"text/plain": about.Text, "text/html": about.HTML}
}

// page answers ?name with the pager that front ends open beside the notebook.
func (c *cells) page(name string) Outcome {
	return Outcome{Payload: []map[string]any{{"source": "page", "data": forms(c.engine.Page(name), true), "start": 0}}}
}

// isAnswer tells the answer to such a question from the end of a cell.
func (m message) isAnswer() bool {
	return m.Completion != nil || m.Inspection != nil || m.Completeness != nil
}

// clamp keeps a cursor inside the text.
func clamp(cursor int, code string) int { return min(max(cursor, 0), len([]rune(code))) }

// state tells whether a cell is a whole one.
func state(code string) *Completeness {
	depth, err := engine.Unfinished(code)
	_, asks := engine.Asked(code)
	switch {
	case asks:
		return &Completeness{Status: "complete"}
	case depth > 0:
		return &Completeness{Status: "incomplete", Indent: strings.Repeat("\t", depth-1)}
	case err != nil:
		return &Completeness{Status: "invalid"}
	}
	return &Completeness{Status: "complete"}
}
