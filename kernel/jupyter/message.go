package jupyter

import (
	"bytes"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os/user"
	"sync"
	"time"
	"unicode/utf8"

	"tautline/kernel/jupyter/sockets"
)

// ProtocolVersion is the version of "Messaging in Jupyter"
// (https://jupyter-client.readthedocs.io) that this package speaks.
const ProtocolVersion = "5.4"

// delimiter stands between a message's routing frames and the message.
const delimiter = "<IDS|MSG>"

// Frames after the delimiter: signature, header, parent header, metadata and
// content; what follows are buffers.
const fixedFrames = 5

// maxHeader bounds what every answer repeats. Assumed: a real header takes
// about 300 bytes.
const maxHeader = 64 << 10

// A message is a request as it came in.
type message struct {
	from     sockets.Peer
	route    [][]byte
	id, kind string
	header   json.RawMessage // as sent, for the answers' parent header
	metadata json.RawMessage
	content  json.RawMessage
	buffers  [][]byte
	aborted  bool     // an earlier cell failed while this one waited; see abort
	next     *message // the comm message that waited right behind this one, if any
}

// A signer signs and checks messages. An empty key means neither.
type signer struct{ key []byte }

func (s signer) sign(parts ...[]byte) []byte {
	if len(s.key) == 0 {
		return []byte{}
	}
	h := hmac.New(sha256.New, s.key)
	for _, p := range parts {
		h.Write(p)
	}
	return []byte(hex.EncodeToString(h.Sum(nil)))
}

func (s signer) holds(signature []byte, parts ...[]byte) bool {
	return len(s.key) == 0 || hmac.Equal(signature, s.sign(parts...))
}

var (
	errDelimiter = errors.New("no delimiter")
	errFrames    = errors.New("frames are missing")
	errSignature = errors.New("the signature is not ours")
)

// decode reads a message off the wire. What it refuses is none, and gets no
// answer: its sender is unknown or does not hold the key.
func (s signer) decode(frames [][]byte) (*message, error) {
	at := 0
	for at < len(frames) && string(frames[at]) != delimiter {
		at++
	}
	if at == len(frames) {
		return nil, errDelimiter
	}
	rest := frames[at+1:]
	if len(rest) < fixedFrames {
		return nil, errFrames
	}
	if !s.holds(rest[0], rest[1:fixedFrames]...) {
		return nil, errSignature
	}
	m := &message{route: frames[:at], header: rest[1], metadata: rest[3], content: rest[4], buffers: rest[fixedFrames:]}
	return m, m.readHeader()
}

func (m *message) readHeader() error {
	var h struct {
		ID   string `json:"msg_id"`
		Type string `json:"msg_type"`
	}
	if len(m.header) > maxHeader || !utf8.Valid(m.header) {
		return errors.New("a header that is too long or not UTF-8")
	}
	if err := json.Unmarshal(m.header, &h); err != nil {
		return fmt.Errorf("the header: %w", err)
	}
	if h.Type == "" {
		return errors.New("a header without msg_type")
	}
	m.id, m.kind = h.ID, h.Type
	return nil
}

// header is that of a message we send.
type header struct {
	ID       string `json:"msg_id"`
	Session  string `json:"session"`
	Username string `json:"username"`
	Date     string `json:"date"`
	Type     string `json:"msg_type"`
	Version  string `json:"version"`
}

// An envelope is what goes round the content of a message we send.
type envelope struct {
	front    [][]byte // routing frames, or the topic
	kind     string
	parent   json.RawMessage
	metadata json.RawMessage // nil for none
	buffers  [][]byte
}

// encode makes the frames of a message in the name of a session.
func (s signer) encode(session string, e envelope, content any) ([][]byte, error) {
	head, err := plainJSON(header{newID(), session, username(), time.Now().UTC().Format("2006-01-02T15:04:05.000000Z"), e.kind, ProtocolVersion})
	if err != nil {
		return nil, err
	}
	body, err := plainJSON(content)
	if err != nil {
		return nil, err
	}
	parts := [][]byte{head, object(e.parent), object(e.metadata), body}
	frames := make([][]byte, 0, len(e.front)+2+len(parts)+len(e.buffers))
	frames = append(frames, e.front...)
	frames = append(frames, []byte(delimiter), s.sign(parts...))
	frames = append(frames, parts...)
	return append(frames, e.buffers...), nil
}

func object(raw json.RawMessage) []byte {
	if len(raw) == 0 {
		return []byte("{}")
	}
	return raw
}

// plainJSON leaves <, > and & alone: pictures are full of them.
func plainJSON(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}

// newID makes an identifier in the shape of a UUID, version 4 (RFC 9562).
func newID() string {
	var b [16]byte
	rand.Read(b[:])
	b[6] = b[6]&0x0f | 0x40
	b[8] = b[8]&0x3f | 0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:])
}

// username is who runs the kernel, for front ends shared by several people.
var username = sync.OnceValue(func() string {
	if u, err := user.Current(); err == nil {
		return u.Username
	}
	return "kernel"
})
