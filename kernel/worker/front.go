package worker

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"tautline/kernel/engine"
	"tautline/kernel/words"
)

// The words reach the front end through these.

// Context is that of the running cell: it ends when the cell is to stop.
func (c *cells) Context() context.Context {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.ctx
}

// Show shows something in the midst of a cell. With an id it can be shown anew
// in its place.
func (c *cells) Show(data, metadata map[string]any, id string, update bool) {
	if metadata == nil {
		metadata = map[string]any{}
	}
	c.give(message{Kind: display, Bundle: &Bundle{Data: data, Metadata: metadata}, Name: id, Flag: update})
}

// showAll is the word Show.
func (c *cells) showAll(values ...any) {
	for _, v := range values {
		for _, data := range c.Bundles(v) {
			c.Show(data, nil, "", false)
		}
	}
}

// Clear takes away what the cell has shown; with wait, only once something new
// comes.
func (c *cells) Clear(wait bool) {
	c.flush()
	c.say(message{Kind: wipe, Flag: wait})
}

// Send sends a message of a comm: kind is "open", "msg" or "close".
func (c *cells) Send(kind, id, target string, data, metadata any, buffers [][]byte) error {
	m := Comm{Kind: kind, ID: id, Target: target, Buffers: buffers}
	var err error
	if m.Data, err = json.Marshal(data); err != nil {
		return err
	}
	if metadata != nil {
		if m.Metadata, err = json.Marshal(metadata); err != nil {
			return err
		}
	}
	n := len(m.Data) + len(m.Metadata)
	for _, b := range buffers {
		n += len(b)
	}
	if !c.tape.room(n) {
		return fmt.Errorf("%s", limitSentence(c.tape.limit))
	}
	c.flush()
	c.say(message{Kind: comm, Comm: &m})
	return nil
}

// Bundles gives what a value looks like.
func (c *cells) Bundles(value any) []map[string]any { return Bundles(c.engine.Present(value)) }

// mostRead bounds a file of readings or of a vent's curve.
const mostRead = 16 << 20

// Read gives the content of a file in the notebook's folder.
func (c *cells) Read(name string) ([]byte, error) {
	if c.folder == "" {
		return nil, fmt.Errorf("there is no notebook's folder to read %q from; type the numbers in", name)
	}
	if !filepath.IsLocal(name) {
		return nil, fmt.Errorf("%q is not in the notebook's folder; copy it there and name it without a path", name)
	}
	root, err := os.OpenRoot(c.folder)
	if err != nil {
		return nil, fmt.Errorf("the notebook's folder cannot be read")
	}
	defer root.Close()
	info, err := root.Stat(name)
	switch {
	case err != nil:
		return nil, unreadable(root, name, err)
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s is not a file that could be read", name)
	case info.Size() > mostRead:
		return nil, fmt.Errorf("%s is larger than %s; is it the right file?", name, size(mostRead))
	}
	data, err := root.ReadFile(name)
	if err != nil {
		return nil, unreadable(root, name, err)
	}
	return data, nil
}

// unreadable says why a file cannot be read, and offers one that has a name
// like it.
func unreadable(root *os.Root, name string, err error) error {
	if !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s cannot be read here", name)
	}
	var files []string
	entries, _ := fs.ReadDir(root.FS(), ".")
	for _, f := range entries {
		if !f.IsDir() {
			files = append(files, f.Name())
		}
	}
	if near := engine.Nearest(name, files); near != "" {
		return fmt.Errorf("there is no file %s in the notebook's folder; did you mean %s?", name, near)
	}
	return fmt.Errorf("there is no file %s in the notebook's folder", name)
}

// Call calls f like a cell, between cells.
func (c *cells) Call(f func()) error {
	ctx := c.Context()
	err := c.engine.Call(ctx, f)
	c.leaveIfStuck(ctx)
	return err
}

// Hear has f called with each message of a comm, given by its id or, where a
// front end opens it, by its target; nil ends that.
func (c *cells) Hear(name string, f func(words.Message)) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if f == nil {
		delete(c.heard, name)
		return
	}
	c.heard[name] = f
}

// hears finds who hears a comm. One that a front end opens is heard by whoever
// hears its target.
func (c *cells) hears(m Comm) func(words.Message) {
	c.mu.Lock()
	defer c.mu.Unlock()
	f := c.heard[m.ID]
	if f == nil && m.Kind == "open" {
		if f = c.heard[m.Target]; f != nil {
			c.heard[m.ID] = f
		}
	}
	return f
}

// comm hands on what the front end says. What nobody here knows is closed, as
// the protocol wants it.
func (c *cells) comm(id uint64, m Comm) string {
	_, end := c.begin(id)
	defer end()
	f := c.hears(m)
	if f == nil {
		if m.Kind == "open" {
			c.say(message{Kind: comm, Comm: &Comm{Kind: "close", ID: m.ID, Data: json.RawMessage("{}")}})
		}
		return ""
	}
	fault := held(func() { f(words.Message{ID: m.ID, Kind: m.Kind, Data: m.Data, More: m.More}) })
	if m.Kind == "close" {
		c.Hear(m.ID, nil)
	}
	return fault
}

// held keeps a fault of ours from ending the process.
func held(f func()) (fault string) {
	defer func() {
		if p := recover(); p != nil {
			fault = fmt.Sprintf("a control failed, please report it: %v", p)
		}
	}()
	f()
	return ""
}

// endMark is written to the process's error stream when a call is over, so
// that what was written there before can be told from what comes after.
func endMark(id uint64) string { return fmt.Sprintf("\x00\x01end of %d\x00", id) }

func (c *cells) finish(m message) {
	os.Stderr.WriteString(endMark(m.ID))
	if err := c.out.send(m); err != nil && m.Outcome != nil {
		// The expressions may be too large; how the cell ended never is.
		m.Outcome.Expressions = nil
		c.out.send(m)
	}
}
