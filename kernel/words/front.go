package words

import (
	"context"
	"reflect"

	"tautline/kernel/engine"
)

// A Front is what the words see of the place where a cell is read: they ask it
// whether the cell is to stop, and show things and hear of controls while the
// cell runs.
type Front interface {
	// Context is that of the running cell.
	Context() context.Context
	// Show shows something at once. With an id it can be shown anew in its
	// place.
	Show(data, metadata map[string]any, id string, update bool)
	// Clear takes away what the cell has shown; with wait, once something new
	// comes.
	Clear(wait bool)
	// Send sends a comm's message: kind is "open", "msg" or "close".
	Send(kind, id, target string, data, metadata any, buffers [][]byte) error
	// Hear has f called, like a cell, with each message of a comm; nil ends
	// that.
	Hear(id string, f func(kind string, data []byte, buffers [][]byte))
}

// In lists the words for cells that are read at a front: long ones stop when
// the cell is to stop.
func In(front Front) engine.Words {
	w := All()
	p := &place{front}
	w.Binds["PutOn"] = reflect.ValueOf(func(m Mask, f Face, settings ...Setting) Fitting {
		on := putOn(m, f, settings...)
		on.at = p
		return on
	})
	return w
}

// A place is where a fitting was made; it is shared, so that fittings stay
// comparable.
type place struct{ front Front }

// context is that of the cell that runs now; a fitting outlives the cell that
// made it.
func (p *place) context() context.Context {
	if p == nil {
		return context.Background()
	}
	return p.front.Context()
}
