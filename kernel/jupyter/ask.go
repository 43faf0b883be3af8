package jupyter

import (
	"unicode/utf8"

	"tautline/kernel/worker"
)

// A question is about a place in a text.
type question struct {
	Code   string `json:"code"`
	Cursor *int   `json:"cursor_pos"`
	Detail int    `json:"detail_level"`
}

// ask reads a question and finds the worker that can answer. The cursor counts
// code points; beyond either end it means that end, and without one the end.
func (k *kernel) ask(m *message) (q question, cursor int, w worker.Runner, err error) {
	if err = m.decode(&q); err != nil {
		return
	}
	end := utf8.RuneCountInString(q.Code)
	cursor = end
	if q.Cursor != nil {
		cursor = min(max(*q.Cursor, 0), end)
	}
	w, err = k.worker()
	return
}

// complete offers words for the text at the cursor.
func (k *kernel) complete(m *message) (any, error) {
	q, cursor, w, err := k.ask(m)
	if err != nil {
		return nil, err
	}
	c, err := w.Complete(k.ctx, q.Code, cursor)
	if err != nil {
		return nil, err
	}
	if c.Matches == nil {
		c.Matches = []string{}
		c.Start, c.End = cursor, cursor
	}
	if c.Metadata == nil {
		c.Metadata = map[string]any{}
	}
	return map[string]any{"status": "ok", "matches": c.Matches, "cursor_start": c.Start, "cursor_end": c.End,
		"metadata": c.Metadata}, nil
}

// inspect tells what the name at the cursor means.
func (k *kernel) inspect(m *message) (any, error) {
	q, cursor, w, err := k.ask(m)
	if err != nil {
		return nil, err
	}
	i, err := w.Inspect(k.ctx, q.Code, cursor, min(max(q.Detail, 0), 1))
	if err != nil {
		return nil, err
	}
	b := bundle(i.Bundle)
	return map[string]any{"status": "ok", "found": i.Found, "data": b.Data, "metadata": b.Metadata}, nil
}

// isComplete says whether a console should run the text or wait for more. When
// that cannot be told, the protocol has a word for it, and no error.
func (k *kernel) isComplete(m *message) (any, error) {
	unknown := map[string]string{"status": "unknown"}
	q, _, w, err := k.ask(m)
	if err != nil {
		return unknown, nil
	}
	c, err := w.IsComplete(k.ctx, q.Code)
	if err != nil {
		return unknown, nil
	}
	answer := map[string]string{"status": c.Status}
	if c.Status == "incomplete" {
		answer["indent"] = c.Indent
	}
	return answer, nil
}
