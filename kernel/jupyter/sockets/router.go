package sockets

import (
	"net"
	"sync"

	"github.com/go-zeromq/zmq4"
)

// A Router takes requests from any number of front ends and carries each reply
// to the one that asked.
type Router struct {
	*socket
	take func(Peer, [][]byte)

	namesLock sync.Mutex
	names     map[string]*peer // the latest connection under each identity
}

// A Peer is where a reply goes.
type Peer struct {
	p *peer
	r *Router
}

// NewRouter serves a listener. Take is called with the frames of every request,
// in the order of each peer's, by several goroutines at once.
func NewRouter(l net.Listener, take func(from Peer, frames [][]byte)) *Router {
	r := &Router{take: take, names: map[string]*peer{}}
	r.socket = newSocket(l, zmq4.Router, func(p *peer, frames [][]byte) { r.take(Peer{p, r}, frames) })
	r.socket.met = r.meet
	r.socket.start()
	return r
}

// meet notes a peer's name: one that has connected anew under its old name
// gets the replies to what it asked before.
func (r *Router) meet(p *peer) {
	if p.identity == "" {
		return
	}
	r.namesLock.Lock()
	defer r.namesLock.Unlock()
	// Names of peers that have left are forgotten here, so that the table
	// stays as small as the number of those present.
	for name, old := range r.names {
		if old.out.idle() && old.isClosed() {
			delete(r.names, name)
		}
	}
	r.names[p.identity] = p
}

// Send carries frames to a peer; to one that has left, nowhere.
func (to Peer) Send(frames [][]byte) {
	p, r := to.p, to.r
	if p.identity != "" {
		r.namesLock.Lock()
		if now, ok := r.names[p.identity]; ok {
			p = now
		}
		r.namesLock.Unlock()
	}
	p.send(frames)
}

func (p *peer) isClosed() bool {
	select {
	case <-p.out.gone:
		return true
	default:
		return false
	}
}

// An Echo sends every message back to where it came from: a kernel's heartbeat.
type Echo struct{ *socket }

// NewEcho serves a listener.
func NewEcho(l net.Listener) *Echo {
	// As a router, the frames in front of a request come back unchanged too.
	e := &Echo{newSocket(l, zmq4.Router, func(p *peer, frames [][]byte) { p.send(frames) })}
	e.socket.start()
	return e
}
