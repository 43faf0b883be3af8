// Package sockets carries frames between a kernel and its front ends. The
// ZeroMQ protocol is zmq4's; accepting, queues and deadlines are ours, because
// a peer that never speaks, that stops reading or that sends nonsense must
// hold up and harm nobody else.
package sockets

import (
	"net"
	"sync"
	"time"

	"github.com/go-zeromq/zmq4"
)

// How long and how much a peer may keep us waiting. All are assumed: long
// enough for a busy machine, short enough that nobody notices.
const (
	handshakeTime = 10 * time.Second       // to say who it is
	patience      = 2 * time.Second        // without reading anything while its queue is full
	acceptPause   = 50 * time.Millisecond  // after a failed accept, as when file descriptors run out
	maxQueue      = 64 << 20               // bytes unread by one peer
	maxMessage    = 256 << 20              // bytes of one message
	maxCommand    = 4 << 10                // bytes of a command of the ZeroMQ protocol itself
	drainStep     = 500 * time.Microsecond // between looks whether a queue is empty
)

// A socket is a listening socket with its peers.
type socket struct {
	kind     zmq4.SocketType
	listener net.Listener
	took     func(p *peer, frames [][]byte) // called on the peer's own goroutine
	met      func(p *peer)                  // a new peer, before its first frames; may be nil

	mu     sync.Mutex
	peers  map[*peer]struct{}
	closed bool
	done   sync.WaitGroup
}

func newSocket(l net.Listener, kind zmq4.SocketType, took func(*peer, [][]byte)) *socket {
	return &socket{kind: kind, listener: l, took: took, peers: map[*peer]struct{}{}}
}

func (s *socket) start() {
	s.done.Add(1)
	go s.accept()
}

// accept gives every peer a goroutine of its own, so that none waits for
// another's handshake.
func (s *socket) accept() {
	defer s.done.Done()
	for {
		conn, err := s.listener.Accept()
		if s.isClosed() {
			if err == nil {
				conn.Close()
			}
			return
		}
		if err != nil {
			time.Sleep(acceptPause)
			continue
		}
		p := newPeer(conn)
		if !s.add(p) {
			conn.Close()
			return
		}
		go s.serve(p)
	}
}

// serve reads one peer until it leaves or breaks the protocol.
func (s *socket) serve(p *peer) {
	defer s.done.Done()
	defer s.remove(p)
	if err := p.shakeHands(s.kind); err != nil {
		return
	}
	if s.met != nil {
		s.met(p)
	}
	var writing sync.WaitGroup
	writing.Go(p.write)
	for {
		msg, err := p.zmq.RecvMsg()
		if err != nil {
			break
		}
		s.took(p, msg.Frames)
	}
	p.close()
	writing.Wait()
}

func (s *socket) isClosed() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.closed
}

func (s *socket) add(p *peer) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return false
	}
	s.peers[p] = struct{}{}
	s.done.Add(1)
	return true
}

func (s *socket) remove(p *peer) {
	p.close()
	s.mu.Lock()
	delete(s.peers, p)
	s.mu.Unlock()
}

// all lists the peers of the moment.
func (s *socket) all() []*peer {
	s.mu.Lock()
	defer s.mu.Unlock()
	list := make([]*peer, 0, len(s.peers))
	for p := range s.peers {
		list = append(list, p)
	}
	return list
}

// Close gives every peer until the deadline to read what is queued for it, and
// ends the socket.
func (s *socket) Close(deadline time.Time) {
	s.mu.Lock()
	s.closed = true
	s.mu.Unlock()
	s.listener.Close()
	for _, p := range s.all() {
		p.drain(deadline)
		p.close()
	}
	s.done.Wait()
}
