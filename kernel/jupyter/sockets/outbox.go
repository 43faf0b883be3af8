package sockets

import (
	"sync"
	"time"
)

// outgoing is a message that waits to be sent, or the answer to a ping.
type outgoing struct {
	frames [][]byte
	pong   bool
}

func (m outgoing) size() int {
	n := 0
	for _, f := range m.frames {
		n += len(f)
	}
	return n
}

// An outbox is one peer's queue.
type outbox struct {
	mu     sync.Mutex
	queue  []outgoing
	size   int // bytes queued and not yet sent
	busy   bool
	closed bool
	filled chan struct{} // tells the writer; never blocks
	room   chan struct{} // tells those who wait for room
	gone   chan struct{} // closed with the outbox
}

func newOutbox() *outbox {
	return &outbox{filled: make(chan struct{}, 1), room: make(chan struct{}, 1), gone: make(chan struct{})}
}

// put queues a message and reports whether it, or its peer, is done with. A
// message larger than the whole queue is taken when the queue is empty.
func (o *outbox) put(m outgoing) bool {
	n := m.size()
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.closed {
		return true
	}
	if o.size > 0 && o.size+n > maxQueue {
		return false
	}
	o.queue = append(o.queue, m)
	o.size += n
	signal(o.filled)
	return true
}

// waitForRoom waits until something leaves the queue, or for the time.
func (o *outbox) waitForRoom(d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-o.room:
	case <-o.gone:
	case <-t.C:
	}
}

// take waits for messages and gives all there are; nil once closed.
func (o *outbox) take() []outgoing {
	for {
		o.mu.Lock()
		if batch := o.queue; len(batch) > 0 && !o.closed {
			o.queue, o.busy = nil, true
			o.mu.Unlock()
			return batch
		}
		o.mu.Unlock()
		select {
		case <-o.filled:
		case <-o.gone:
			return nil
		}
	}
}

// sent says that a message was written.
func (o *outbox) sent(m outgoing) {
	o.mu.Lock()
	o.size -= m.size()
	o.mu.Unlock()
	signal(o.room)
}

// rest says that everything taken has left.
func (o *outbox) rest() {
	o.mu.Lock()
	o.busy = false
	o.mu.Unlock()
}

func (o *outbox) idle() bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.closed || len(o.queue) == 0 && !o.busy
}

func (o *outbox) close() {
	o.mu.Lock()
	defer o.mu.Unlock()
	if !o.closed {
		o.closed, o.queue = true, nil
		close(o.gone)
	}
}

func signal(c chan struct{}) {
	select {
	case c <- struct{}{}:
	default:
	}
}
