package sockets

import (
	"net"
	"strings"
	"sync"

	"github.com/go-zeromq/zmq4"
)

// A Publisher sends what a kernel shows to every front end that subscribed.
type Publisher struct {
	*socket
	order sync.Mutex // one message reaches all before the next
}

// NewPublisher serves a listener.
func NewPublisher(l net.Listener) *Publisher {
	p := &Publisher{socket: newSocket(l, zmq4.Pub, func(p *peer, frames [][]byte) { p.subscribe(frames) })}
	p.socket.start()
	return p
}

// Send publishes a message; its first frame is the topic.
func (p *Publisher) Send(frames [][]byte) {
	p.order.Lock()
	defer p.order.Unlock()
	for _, to := range p.all() {
		if to.wants(string(frames[0])) {
			to.send(frames)
		}
	}
}

// subscribe takes a subscriber's one frame: 1 or 0 and a topic. Anything else
// is nothing to us.
func (p *peer) subscribe(frames [][]byte) {
	if len(frames) != 1 || len(frames[0]) == 0 {
		return
	}
	topic := string(frames[0][1:])
	p.topicsLock.Lock()
	defer p.topicsLock.Unlock()
	switch frames[0][0] {
	case 1:
		p.topics[topic]++
	case 0:
		if p.topics[topic]--; p.topics[topic] <= 0 {
			delete(p.topics, topic)
		}
	}
}

func (p *peer) wants(topic string) bool {
	p.topicsLock.Lock()
	defer p.topicsLock.Unlock()
	for t := range p.topics {
		if strings.HasPrefix(topic, t) {
			return true
		}
	}
	return false
}
