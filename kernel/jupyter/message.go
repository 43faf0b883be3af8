package jupyter

import (
	"bytes"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"os/user"
	"sync"
	"time"
	"unicode/utf8"
)

// ProtocolVersion is the version of "Messaging in Jupyter"
// (https://jupyter-client.readthedocs.io) that this package speaks.
const ProtocolVersion = "5.4"

// maxHeader bounds what every answer repeats. Assumed: a real header takes
// about 300 bytes.
const maxHeader = 64 << 10

// A Letter is one message, in or out, without what a particular wire puts
// round it.
type Letter struct {
	Header, Parent, Metadata, Content json.RawMessage
	Buffers                           [][]byte
}

// A Front is whoever asked: the answer to a request goes back there.
type Front interface {
	// Reply must not block for long; to a front end that has left it does
	// nothing.
	Reply(Letter)
}

// A message is a request as it came in.
type message struct {
	from     Front
	id, kind string
	header   json.RawMessage // as sent, for the answers' parent header
	metadata json.RawMessage
	content  json.RawMessage
	buffers  [][]byte
	aborted  bool     // an earlier cell failed while this one waited; see abort
	next     *message // the comm message that waited right behind this one, if any
}

// newMessage takes a request off any wire.
func newMessage(from Front, l Letter) (*message, error) {
	m := &message{from: from, header: l.Header, metadata: l.Metadata, content: l.Content, buffers: l.Buffers}
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
	kind     string
	parent   json.RawMessage
	metadata json.RawMessage // nil for none
	buffers  [][]byte
}

// write makes a message in the name of a session.
func (e envelope) write(session string, content any) (Letter, error) {
	head, err := plainJSON(header{NewID(), session, username(), time.Now().UTC().Format("2006-01-02T15:04:05.000000Z"), e.kind, ProtocolVersion})
	if err != nil {
		return Letter{}, err
	}
	body, err := plainJSON(content)
	if err != nil {
		return Letter{}, err
	}
	return Letter{Header: head, Parent: object(e.parent), Metadata: object(e.metadata), Content: body, Buffers: e.buffers}, nil
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

// NewID makes an identifier in the shape of a UUID, version 4 (RFC 9562).
func NewID() string {
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
