package api

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"sync"
	"time"

	"github.com/coder/websocket"

	"tautline/kernel/jupyter"
	"tautline/kernel/page/sessions"
	"tautline/kernel/page/wire"
)

// What a front end may leave unread. Assumed: far more than a page that draws
// slowly, far less than a machine's memory.
const (
	mostUnread  = 20_000
	unreadBytes = 128 << 20
)

// pingEvery keeps a socket open through quiet times and notices when the other
// end has gone to sleep.
const pingEvery = 30 * time.Second

// channels ties a front end to a kernel by a socket.
func (a *API) channels(w http.ResponseWriter, r *http.Request) {
	k, err := a.find(r)
	if err != nil {
		write(w, no(err))
		return
	}
	c, err := websocket.Accept(w, r, &websocket.AcceptOptions{Subprotocols: []string{wire.V1}})
	if err != nil {
		return // answered already
	}
	c.SetReadLimit(wire.MaxMessage)
	s := &socket{c: c, protocol: c.Subprotocol(), own: r.URL.Query().Has("page"), filled: make(chan struct{}, 1)}
	ctx, cancel := context.WithCancel(r.Context())
	defer cancel()
	k.Attach(s)
	defer k.Detach(s)
	go s.write(ctx, cancel)
	s.read(ctx, k)
}

// A socket is one front end's. What it is to hear waits in a queue, so that a
// slow one holds up nobody.
type socket struct {
	c        *websocket.Conn
	protocol string
	own      bool // of our page

	mu     sync.Mutex
	unread []wire.Packet
	size   int
	filled chan struct{} // a token when there may be something
	full   bool
}

// Hear queues a message. A front end that does not read is let go: it can come
// back and ask for what is saved.
func (s *socket) Hear(channel string, l jupyter.Letter) {
	// Jupyter's front ends take this for a kernel that died and came back by
	// itself, and say so; whoever asked for a restart knows of it already.
	if !s.own && sessions.StateIn(l) == "restarting" {
		return
	}
	p, err := wire.Pack(s.protocol, channel, l)
	if err != nil {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.full {
		return
	}
	if len(s.unread) >= mostUnread || s.size > unreadBytes {
		s.full, s.unread = true, nil
	} else {
		s.unread = append(s.unread, p)
		s.size += len(p.Data)
	}
	select {
	case s.filled <- struct{}{}:
	default:
	}
}

// take gives all that waits.
func (s *socket) take() (all []wire.Packet, full bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	all, s.unread, s.size = s.unread, nil, 0
	return all, s.full
}

// write sends what waits, and a ping when nothing does.
func (s *socket) write(ctx context.Context, cancel func()) {
	defer cancel()
	tick := time.NewTicker(pingEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			s.c.Close(websocket.StatusGoingAway, "")
			return
		case <-tick.C:
			if s.alive(ctx) != nil {
				return
			}
		case <-s.filled:
			all, full := s.take()
			if slices.ContainsFunc(all, func(p wire.Packet) bool { return s.send(ctx, p) != nil }) {
				return
			}
			if full {
				s.c.Close(websocket.StatusTryAgainLater, "too much is waiting unread")
				return
			}
		}
	}
}

func (s *socket) send(ctx context.Context, p wire.Packet) error {
	ctx, cancel := context.WithTimeout(ctx, pingEvery)
	defer cancel()
	kind := websocket.MessageBinary
	if p.Text {
		kind = websocket.MessageText
	}
	return s.c.Write(ctx, kind, p.Data)
}

func (s *socket) alive(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, pingEvery)
	defer cancel()
	return s.c.Ping(ctx)
}

// read passes on what the front end asks until it leaves. Nonsense is left out;
// a front end that sends nothing else is let go.
func (s *socket) read(ctx context.Context, k *sessions.Kernel) {
	for odd := 0; odd < 100; {
		kind, data, err := s.c.Read(ctx)
		if err != nil {
			if errors.Is(err, websocket.ErrMessageTooBig) {
				s.c.Close(websocket.StatusMessageTooBig, "this message is too long")
			}
			return
		}
		channel, l, err := wire.Unpack(s.protocol, wire.Packet{Text: kind == websocket.MessageText, Data: data})
		if err == nil {
			err = k.Ask(s, channel, l)
		}
		if err != nil {
			odd++
		}
	}
	s.c.Close(websocket.StatusPolicyViolation, "these are no messages")
}
