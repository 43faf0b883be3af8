package words

import (
	"context"
	"reflect"

	"tautline/kernel/engine"
	"tautline/kernel/widget"
	"tautline/model/explain"
)

// A Front is what the words see of the place where a cell is read: they ask it
// whether the cell is to stop, and show things and hear of controls while the
// cell runs.
type Front interface {
	// Context is that of the running cell.
	Context() context.Context
	// Bundles gives what a value looks like, by media type.
	Bundles(value any) []map[string]any
	// Call calls f like a cell, outside of one: what a cell declared may be
	// called in it, and a panic becomes an error.
	Call(f func()) error
	// Show shows something at once. With an id it can be shown anew in its
	// place.
	Show(data, metadata map[string]any, id string, update bool)
	// Clear takes away what the cell has shown; with wait, once something new
	// comes.
	Clear(wait bool)
	// Send sends a comm's message: kind is "open", "msg" or "close".
	Send(kind, id, target string, data, metadata any, buffers [][]byte) error
	// Hear has f called, between cells, with each message of a comm, given by
	// its id, or of comms that a front end opens, given by their target; nil
	// ends that.
	Hear(name string, f func(Message))
}

// A Message is what a front end says through a comm.
type Message struct {
	ID   string // of the comm
	Kind string // "open", "msg" or "close"
	Data []byte // JSON
	// More says that another message for the same front is waiting already, so
	// that work which that one would undo can be left.
	More bool
}

// In lists the words for cells that are read at a front: long ones stop when
// the cell is to stop, and controls move.
func In(front Front) engine.Words { return within(front, widget.NewID()) }

// Named is In, where the controls' ids follow from a name: the same cells give
// the same ids.
func Named(front Front, name string) engine.Words { return within(front, name) }

func within(front Front, name string) engine.Words {
	w := All()
	p := &place{front: front}
	w.Binds["PutOn"] = reflect.ValueOf(func(m Mask, f Face, settings ...Setting) Fitting {
		on := putOn(m, f, settings...)
		on.at = p
		return on
	})
	w.Binds["Readings"], w.Binds["VentCurve"] = reflect.ValueOf(p.readings), reflect.ValueOf(p.ventCurve)
	w.Binds["Explain"] = reflect.ValueOf(p.explain)
	w.Binds["Population"] = reflect.ValueOf(p.population)
	w.Binds["Plan"], w.Binds["Facts"], w.Binds["Stock"] = reflect.ValueOf(p.planFor), reflect.ValueOf(p.facts), reflect.ValueOf(p.stock)
	d := newDesk(front, name)
	w.Binds["Live"], w.Binds["Bedside"] = reflect.ValueOf(d.live), reflect.ValueOf(d.bedsideForm)
	w.Binds["BedsidePlan"] = reflect.ValueOf(d.planForm)
	return w
}

// A place is where a fitting was made; it is shared, so that fittings stay
// comparable.
type place struct {
	front Front
	banks []*explain.Bank // simulated leaks, the newest last
}

// context is that of the cell that runs now; a fitting outlives the cell that
// made it.
func (p *place) context() context.Context {
	if p == nil {
		return context.Background()
	}
	return p.front.Context()
}
