package jupyter

import (
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"tautline/kernel/worker"
)

// Text is sent when this much has come together or this long after its first
// piece. Assumed: too short to be seen, and long enough that a loop that
// prints costs some messages and not thousands.
const (
	streamSize = 64 << 10
	streamTime = 20 * time.Millisecond
)

// An output publishes what one request shows. It holds text back for a moment
// so that many small prints are one message.
type output struct {
	k      *kernel
	m      *message
	count  int
	silent bool

	mu     sync.Mutex
	stream string // the name of the stream that text belongs to
	text   []byte
	timer  *time.Timer
	result string // text of the value shown
}

func newOutput(k *kernel, m *message, count int, silent bool) *output {
	return &output{k: k, m: m, count: count, silent: silent}
}

// Stream takes text of stdout or stderr.
func (o *output) Stream(name, text string) {
	if o.silent || text == "" {
		return
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	if name != o.stream {
		o.send(true)
		o.stream = name
	}
	o.text = append(o.text, text...)
	switch {
	case len(o.text) >= streamSize:
		o.send(false)
	case o.timer == nil:
		o.timer = time.AfterFunc(streamTime, o.late)
	}
}

func (o *output) late() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.send(false)
}

// send publishes the text so far. The first bytes of a character whose rest is
// still to come wait for it, unless nothing more will follow.
func (o *output) send(all bool) {
	if o.timer != nil {
		o.timer.Stop()
		o.timer = nil
	}
	n := len(o.text)
	if !all {
		n = wholeCharacters(o.text)
	}
	if n == 0 {
		return
	}
	o.k.publish(o.m, "stream", map[string]string{"name": o.stream, "text": string(o.text[:n])})
	o.text = append(o.text[:0], o.text[n:]...)
	if cap(o.text) > 2*streamSize {
		o.text = append([]byte(nil), o.text...)
	}
}

// wholeCharacters leaves out the beginning of a character at the end.
func wholeCharacters(b []byte) int {
	for back := 1; back <= min(utf8.UTFMax-1, len(b)); back++ {
		if at := len(b) - back; utf8.RuneStart(b[at]) {
			if !utf8.FullRune(b[at:]) {
				return at
			}
			break
		}
	}
	return len(b)
}

// flush sends all text that is held back.
func (o *output) flush() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.send(true)
}

// show publishes anything but text, after the text before it.
func (o *output) show(e envelope, content any) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.send(true)
	if err := o.k.publishWith(o.m, e, content); err != nil {
		o.k.publish(o.m, "stream", map[string]string{"name": "stderr", "text": "This could not be shown: " + err.Error() + "\n"})
	}
}

type bundleContent struct {
	Count     *int           `json:"execution_count,omitempty"`
	Data      map[string]any `json:"data"`
	Metadata  map[string]any `json:"metadata"`
	Transient map[string]any `json:"transient,omitempty"`
}

func bundle(b worker.Bundle) bundleContent {
	c := bundleContent{Data: b.Data, Metadata: b.Metadata}
	if c.Data == nil {
		c.Data = map[string]any{}
	}
	if c.Metadata == nil {
		c.Metadata = map[string]any{}
	}
	return c
}

// Result takes the value of the cell.
func (o *output) Result(b worker.Bundle) {
	if o.silent {
		return
	}
	text, _ := b.Data["text/plain"].(string)
	o.mu.Lock()
	o.result = text
	o.mu.Unlock()
	c := bundle(b)
	c.Count = &o.count
	o.show(envelope{kind: "execute_result"}, c)
}

// Display shows something, or shows it anew where id was shown before.
func (o *output) Display(b worker.Bundle, id string, update bool) {
	if o.silent {
		return
	}
	c, kind := bundle(b), "display_data"
	if id != "" {
		c.Transient = map[string]any{"display_id": id}
	}
	if update {
		kind = "update_display_data"
	}
	o.show(envelope{kind: kind}, c)
}

// Clear takes back what the cell has shown so far.
func (o *output) Clear(wait bool) {
	if !o.silent {
		o.show(envelope{kind: "clear_output"}, map[string]bool{"wait": wait})
	}
}

// Comm sends a comm message to the front ends; a silent cell may do that too,
// since it is no output.
func (o *output) Comm(c worker.Comm) {
	o.show(envelope{kind: "comm_" + c.Kind, metadata: c.Metadata, buffers: c.Buffers}, commContentOf(c))
}

func (o *output) resultText() string {
	o.mu.Lock()
	defer o.mu.Unlock()
	return strings.ToValidUTF8(o.result, "\ufffd")
}
