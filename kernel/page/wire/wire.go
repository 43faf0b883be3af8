// Package wire carries a kernel's messages over a websocket, in the two ways
// that Jupyter servers know: the protocol v1.kernel.websocket.jupyter.org, and
// the older one of JSON texts for clients that name no protocol
// (https://jupyter-server.readthedocs.io, "Websocket protocols").
package wire

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"

	"tautline/kernel/jupyter"
)

// V1 is the name of the newer protocol, as a client asks for it.
const V1 = "v1.kernel.websocket.jupyter.org"

// MaxMessage bounds one message. Assumed: a cell's text and a control's state
// stay far below.
const MaxMessage = 16 << 20

// mostParts bounds the buffers of one message. Assumed: our controls use none.
const mostParts = 1000

var errBroken = errors.New("a message whose parts do not fit")

// A Packet is what goes over the socket: text or bytes.
type Packet struct {
	Text bool
	Data []byte
}

// Pack makes the packet of a message that belongs to a channel.
func Pack(protocol, channel string, l jupyter.Letter) (Packet, error) {
	if protocol == V1 {
		return Packet{Data: packV1(channel, l)}, nil
	}
	return packOld(channel, l)
}

// Unpack takes a packet apart.
func Unpack(protocol string, p Packet) (channel string, l jupyter.Letter, err error) {
	if len(p.Data) > MaxMessage {
		return "", l, errors.New("a message that is too long")
	}
	if protocol == V1 {
		return unpackV1(p.Data)
	}
	return unpackOld(p)
}

// packV1 writes the number of offsets, the offsets, and the parts. All numbers
// are 64 bits, the least significant byte first; the last offset is the end.
func packV1(channel string, l jupyter.Letter) []byte {
	parts := append([][]byte{[]byte(channel), l.Header, l.Parent, l.Metadata, l.Content}, l.Buffers...)
	at := 8 * (len(parts) + 2)
	out := binary.LittleEndian.AppendUint64(nil, uint64(len(parts)+1))
	for _, p := range parts {
		out = binary.LittleEndian.AppendUint64(out, uint64(at))
		at += len(p)
	}
	out = binary.LittleEndian.AppendUint64(out, uint64(at))
	return append(out, bytes.Join(parts, nil)...)
}

func unpackV1(data []byte) (string, jupyter.Letter, error) {
	if len(data) < 8 {
		return "", jupyter.Letter{}, errBroken
	}
	parts, err := cut(data, binary.LittleEndian.Uint64(data), 8, func(at int) uint64 { return binary.LittleEndian.Uint64(data[at:]) })
	if err != nil || len(parts) < 5 {
		return "", jupyter.Letter{}, errBroken
	}
	l := jupyter.Letter{Header: parts[1], Parent: parts[2], Metadata: parts[3], Content: parts[4], Buffers: parts[5:]}
	return string(parts[0]), l, whole(l)
}

// cut finds the parts of a message by a table of n offsets, each of a width.
// Without the end among them, the last part reaches to the end of the data.
func cut(data []byte, n uint64, width int, offset func(at int) uint64) ([][]byte, error) {
	if n < 1 || n > mostParts || uint64(len(data)) < uint64(width)*(n+1) {
		return nil, errBroken
	}
	var parts [][]byte
	last := uint64(width) * (n + 1)
	for i := range int(n) {
		at := offset(width * (i + 1))
		if at < last || at > uint64(len(data)) {
			return nil, errBroken
		}
		if i > 0 {
			parts = append(parts, data[last:at])
		}
		last = at
	}
	return parts, nil
}

// whole refuses parts that are no JSON objects: everything behind relies on it.
func whole(l jupyter.Letter) error {
	for _, part := range [][]byte{l.Header, l.Parent, l.Metadata, l.Content} {
		if !json.Valid(part) || bytes.TrimSpace(part)[0] != '{' {
			return errors.New("a message with a part that is not a JSON object")
		}
	}
	return nil
}

// An old message is all in one JSON object.
type old struct {
	Channel  string          `json:"channel"`
	Header   json.RawMessage `json:"header"`
	Parent   json.RawMessage `json:"parent_header"`
	Metadata json.RawMessage `json:"metadata"`
	Content  json.RawMessage `json:"content"`
	Buffers  []struct{}      `json:"buffers"`
	ID       string          `json:"msg_id,omitempty"`
	Type     string          `json:"msg_type,omitempty"`
}

// packOld writes the object as text; with buffers as bytes, the object first,
// after a table of 32-bit offsets, the most significant byte first.
func packOld(channel string, l jupyter.Letter) (Packet, error) {
	var h struct {
		ID   string `json:"msg_id"`
		Type string `json:"msg_type"`
	}
	if err := json.Unmarshal(l.Header, &h); err != nil {
		return Packet{}, fmt.Errorf("the header: %w", err)
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(old{channel, l.Header, l.Parent, l.Metadata, l.Content, []struct{}{}, h.ID, h.Type}); err != nil {
		return Packet{}, err
	}
	text := bytes.TrimSuffix(b.Bytes(), []byte("\n"))
	if len(l.Buffers) == 0 {
		return Packet{Text: true, Data: text}, nil
	}
	parts := append([][]byte{text}, l.Buffers...)
	at := 4 * (len(parts) + 1)
	out := binary.BigEndian.AppendUint32(nil, uint32(len(parts)))
	for _, p := range parts {
		out = binary.BigEndian.AppendUint32(out, uint32(at))
		at += len(p)
	}
	return Packet{Data: append(out, bytes.Join(parts, nil)...)}, nil
}

func unpackOld(p Packet) (string, jupyter.Letter, error) {
	text, buffers := p.Data, [][]byte(nil)
	if !p.Text {
		if len(p.Data) < 4 {
			return "", jupyter.Letter{}, errBroken
		}
		parts, err := cut(p.Data, uint64(binary.BigEndian.Uint32(p.Data)), 4,
			func(at int) uint64 { return uint64(binary.BigEndian.Uint32(p.Data[at:])) })
		if err != nil {
			return "", jupyter.Letter{}, err
		}
		// The table has no end: what is left after the last offset is the last part.
		last := binary.BigEndian.Uint32(p.Data[4*int(binary.BigEndian.Uint32(p.Data)):])
		parts = append(parts, p.Data[last:])
		text, buffers = parts[0], parts[1:]
	}
	var m old
	m.Parent, m.Metadata = json.RawMessage("{}"), json.RawMessage("{}")
	if err := json.Unmarshal(text, &m); err != nil {
		return "", jupyter.Letter{}, fmt.Errorf("a message that is no JSON: %w", err)
	}
	l := jupyter.Letter{Header: m.Header, Parent: m.Parent, Metadata: m.Metadata, Content: m.Content, Buffers: buffers}
	return m.Channel, l, whole(l)
}
