package sockets

import (
	"bufio"
	"fmt"
	"net"
	"sync"
	"sync/atomic"
	"time"

	"github.com/go-zeromq/zmq4"
	"github.com/go-zeromq/zmq4/security/null"
)

// A peer is one connection of a front end.
type peer struct {
	conn     net.Conn
	zmq      *zmq4.Conn
	identity string // what the peer calls itself; may be empty
	out      *outbox
	buffered *bufio.Writer
	moved    atomic.Int64 // when the peer last took anything, Unix nanoseconds
	once     sync.Once

	topicsLock sync.Mutex
	topics     map[string]int // a subscriber's, with how often each was asked for
}

func newPeer(conn net.Conn) *peer {
	p := &peer{conn: conn, out: newOutbox(), topics: map[string]int{}}
	p.buffered = bufio.NewWriter(progress{p})
	return p
}

// shakeHands exchanges greetings. The library indexes a peer's words without
// looking at their length first, hence the recover.
func (p *peer) shakeHands(kind zmq4.SocketType) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("malformed greeting: %v", r)
		}
	}()
	p.conn.SetDeadline(time.Now().Add(handshakeTime))
	g := newGuard(p)
	if p.zmq, err = zmq4.Open(g, null.Security(), kind, nil, true, nil); err != nil {
		return err
	}
	g.met = true
	p.identity = p.zmq.Peer.Meta["Identity"]
	return p.conn.SetDeadline(time.Time{})
}

// send queues a message. It waits while the peer's queue is full and moving;
// a peer that has long read nothing of a full queue is given up.
func (p *peer) send(frames [][]byte) {
	m := outgoing{frames: frames}
	for !p.out.put(m) {
		left := patience - time.Since(time.Unix(0, p.moved.Load()))
		if left <= 0 {
			p.close()
			return
		}
		p.out.waitForRoom(left)
	}
}

func (p *peer) mark() { p.moved.Store(time.Now().UnixNano()) }

// pong answers the ZeroMQ protocol's own heartbeat.
func (p *peer) pong() { p.out.put(outgoing{pong: true}) }

// write sends what is queued until the peer closes.
func (p *peer) write() {
	for {
		batch := p.out.take()
		if batch == nil {
			return
		}
		p.mark()
		for _, m := range batch {
			if err := p.writeOne(m); err != nil {
				p.close()
				return
			}
			p.out.sent(m)
		}
		// One system call for a burst of small messages.
		if err := p.buffered.Flush(); err != nil {
			p.close()
			return
		}
		p.out.rest()
	}
}

func (p *peer) writeOne(m outgoing) error {
	if m.pong {
		return p.zmq.SendCmd(zmq4.CmdPong, nil)
	}
	return p.zmq.SendMsg(zmq4.NewMsgFrom(m.frames...))
}

// drain waits until everything queued has left, or the deadline.
func (p *peer) drain(deadline time.Time) {
	for !p.out.idle() && time.Now().Before(deadline) {
		time.Sleep(drainStep)
	}
}

func (p *peer) close() {
	p.once.Do(func() {
		p.out.close()
		p.conn.Close()
	})
}

// progress writes in pieces and notes when, so that a slow peer can be told
// from a stopped one in the midst of a large message.
type progress struct{ p *peer }

const pieceSize = 64 << 10

func (w progress) Write(b []byte) (int, error) {
	done := 0
	for done < len(b) {
		n, err := w.p.conn.Write(b[done:min(done+pieceSize, len(b))])
		done += n
		w.p.mark()
		if err != nil {
			return done, err
		}
	}
	return done, nil
}
