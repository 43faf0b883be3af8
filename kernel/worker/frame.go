package worker

import (
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"sync"
)

// version of the messages between the two processes. Both are the same binary,
// but one may have been replaced on disk while the other runs.
const version = 1

// maxFrame bounds one message, buffers included.
const maxFrame = 64 << 20

var errTooLarge = fmt.Errorf("a message of more than %d MB", maxFrame>>20)

// A message is what the two processes say to each other: a kind, the number of
// the call that it belongs to, and what that kind carries.
type message struct {
	Kind kind   `json:"kind"`
	ID   uint64 `json:"id,omitempty"`

	Start      *startup    `json:"start,omitempty"`
	Protection *Protection `json:"protection,omitempty"`
	Version    int         `json:"version,omitempty"`

	Request      *Request      `json:"request,omitempty"`
	Outcome      *Outcome      `json:"outcome,omitempty"`
	Assist       *assist       `json:"assist,omitempty"`
	Completion   *Completion   `json:"completion,omitempty"`
	Inspection   *Inspection   `json:"inspection,omitempty"`
	Completeness *Completeness `json:"completeness,omitempty"`

	Name    string  `json:"name,omitempty"` // of a stream; of a display
	Text    string  `json:"text,omitempty"` // of a stream; what went wrong
	Bundle  *Bundle `json:"bundle,omitempty"`
	Flag    bool    `json:"flag,omitempty"` // update; wait; too late
	Comm    *Comm   `json:"comm,omitempty"`
	Buffers []int   `json:"buffers,omitempty"` // sizes of what follows the JSON
}

type kind string

// What is said to the worker, and what it says.
const (
	start        kind = "start"
	execute      kind = "execute"
	complete     kind = "complete"
	inspect      kind = "inspect"
	completeness kind = "is_complete"
	comm         kind = "comm" // both ways
	interrupt    kind = "interrupt"

	ready   kind = "ready"
	stream  kind = "stream"
	result  kind = "result"
	display kind = "display"
	wipe    kind = "clear"
	done    kind = "done" // ends the call
)

// startup tells a worker what it may do.
type startup struct {
	Version     int    `json:"version"`
	Folder      string `json:"folder"`
	Controls    string `json:"controls,omitempty"`
	Memory      int64  `json:"memory"`
	OutputLimit int64  `json:"output_limit"`
	Namespaces  bool   `json:"namespaces"` // it was started in ones of its own
}

// assist is a question about a text that is being typed.
type assist struct {
	Code   string `json:"code"`
	Cursor int    `json:"cursor"`
	Detail int    `json:"detail"`
}

// A frameWriter writes messages, each in one piece.
type frameWriter struct {
	mu sync.Mutex
	w  io.Writer
}

// send writes the length of the JSON, the JSON and the buffers.
func (f *frameWriter) send(m message) error {
	var buffers [][]byte
	if m.Comm != nil {
		plain := *m.Comm
		buffers, plain.Buffers = plain.Buffers, nil
		m.Comm, m.Buffers = &plain, sizes(buffers)
	}
	text, err := json.Marshal(m)
	if err != nil {
		return err
	}
	size := 4 + len(text)
	for _, b := range buffers {
		size += len(b)
	}
	if size > maxFrame {
		return errTooLarge
	}
	frame := binary.BigEndian.AppendUint32(make([]byte, 0, size), uint32(len(text)))
	frame = append(frame, text...)
	for _, b := range buffers {
		frame = append(frame, b...)
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	_, err = f.w.Write(frame)
	return err
}

func sizes(buffers [][]byte) []int {
	var n []int
	for _, b := range buffers {
		n = append(n, len(b))
	}
	return n
}

var errMalformed = errors.New("a message that is not one")

// receive reads one message. No length that it is told is believed beyond the
// bound.
func receive(r io.Reader) (message, error) {
	var m message
	var head [4]byte
	if _, err := io.ReadFull(r, head[:]); err != nil {
		return m, err
	}
	text, err := readBytes(r, int(binary.BigEndian.Uint32(head[:])))
	if err != nil {
		return m, err
	}
	if json.Unmarshal(text, &m) != nil || len(m.Buffers) > 0 && m.Comm == nil {
		return m, errMalformed
	}
	room := maxFrame - len(text)
	for _, n := range m.Buffers {
		if room -= max(n, 0); n < 0 || room < 0 {
			return m, errMalformed
		}
		b, err := readBytes(r, n)
		if err != nil {
			return m, err
		}
		m.Comm.Buffers = append(m.Comm.Buffers, b)
	}
	return m, nil
}

func readBytes(r io.Reader, n int) ([]byte, error) {
	if n > maxFrame {
		return nil, errMalformed
	}
	b := make([]byte, n)
	if _, err := io.ReadFull(r, b); err != nil {
		return nil, io.ErrUnexpectedEOF
	}
	return b, nil
}
