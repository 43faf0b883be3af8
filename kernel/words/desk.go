package words

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"

	"tautline/kernel/widget"
)

// A desk is where the messages of all controls of a notebook arrive. It lives
// on whatever goroutine runs cells: one thing at a time.
type desk struct {
	front Front
	name  string
	ids   int
	lives []*live
}

// mostLives is how many live pictures are kept; the oldest ends when another
// comes. Assumed: more than a lesson has, even when every cell is run again a
// few times.
const mostLives = 48

func newDesk(front Front, name string) *desk {
	d := &desk{front: front, name: name}
	front.Hear(widget.ControlTarget, d.control)
	return d
}

// id gives the next id.
func (d *desk) id() string {
	d.ids++
	sum := sha256.Sum256(fmt.Appendf(nil, "%s %d", d.name, d.ids))
	return hex.EncodeToString(sum[:16])
}

// send ends quietly what could not be sent: it was too large, or nobody is
// there any more, and the next move of a control tries again.
func (d *desk) send(error) {}

// keep has a live picture hear its controls.
func (d *desk) keep(l *live) {
	for i, m := range l.models {
		d.front.Hear(m.ID, func(msg Message) { d.hear(l, l.models[i], msg) })
	}
	d.lives = append(d.lives, l)
	if len(d.lives) > mostLives {
		d.end(d.lives[0])
		d.lives = slices.Delete(d.lives, 0, 1)
	}
}

func (d *desk) end(l *live) {
	for _, m := range slices.Backward(l.models) {
		d.front.Hear(m.ID, nil)
		d.send(m.Close(d.front))
	}
}

// hear takes in what a front end says to a model. The picture follows when no
// other message is waiting: of many positions only the last is drawn.
func (d *desk) hear(l *live, m *widget.Model, msg Message) {
	if said, err := widget.Read(msg.Data); err == nil && msg.Kind == "msg" {
		switch {
		case said.Method == "update":
			l.move(m, said.State)
		case said.Method == "request_state":
			d.send(m.SendState(d.front))
		case said.Clicked() && m == l.reset:
			l.goBack()
		}
	}
	if msg.More {
		return
	}
	for _, l := range d.lives {
		if l.stale {
			l.redraw()
		}
	}
}

// control answers a front end that wants all states at once, as one does that
// was loaded again.
func (d *desk) control(msg Message) {
	said, err := widget.Read(msg.Data)
	if err != nil || said.Method != "request_states" {
		return
	}
	var all []*widget.Model
	for _, l := range d.lives {
		all = append(all, l.models...)
	}
	d.send(widget.SendStates(d.front, msg.ID, all))
}

// move takes over a control's new value. One that cannot be is put right in
// the front end.
func (l *live) move(m *widget.Model, state widget.State) {
	i := slices.Index(l.knobs, m)
	if i < 0 {
		return
	}
	k := l.controls[i].knob
	raw, ok := state[k.key()]
	if !ok {
		return
	}
	v, ok := k.value(raw)
	if !ok {
		l.desk.send(m.Set(l.desk.front, k.key(), k.state(l.now[i])))
		return
	}
	m.Put(k.key(), raw)
	l.desk.send(m.Echo(l.desk.front, widget.State{k.key(): raw}))
	if v != l.now[i] {
		l.now[i], l.stale = v, true
	}
}

// goBack puts all controls to where they started.
func (l *live) goBack() {
	for i, c := range l.controls {
		l.now[i] = c.knob.start()
		l.desk.send(l.knobs[i].Set(l.desk.front, c.knob.key(), c.knob.state(l.now[i])))
	}
	l.stale = true
}
