package jupyter

import (
	"context"
	"sync"
)

// maxWaiting bounds the requests that wait; beyond it their senders wait.
// Assumed: no notebook has as many cells.
const maxWaiting = 10_000

// A queue holds the requests of a channel in the order in which they came.
type queue struct {
	mu      sync.Mutex
	waiting []*message
	given   bool          // up: everything that runs code is aborted
	filled  chan struct{} // a token when there may be something
	room    chan struct{} // one token for each place
}

func newQueue() *queue {
	return &queue{filled: make(chan struct{}, 1), room: make(chan struct{}, maxWaiting)}
}

func (q *queue) put(ctx context.Context, m *message) {
	select {
	case q.room <- struct{}{}:
	case <-ctx.Done():
		return
	}
	q.mu.Lock()
	m.aborted = q.given
	q.waiting = append(q.waiting, m)
	q.mu.Unlock()
	select {
	case q.filled <- struct{}{}:
	default:
	}
}

// next waits for a request; false when the context has ended.
func (q *queue) next(ctx context.Context) (*message, bool) {
	for {
		q.mu.Lock()
		if len(q.waiting) > 0 {
			m := q.waiting[0]
			q.waiting[0] = nil
			q.waiting = q.waiting[1:]
			if len(q.waiting) > 0 && q.waiting[0].kind == "comm_msg" {
				m.next = q.waiting[0]
			}
			q.mu.Unlock()
			<-q.room
			return m, true
		}
		q.mu.Unlock()
		select {
		case <-q.filled:
		case <-ctx.Done():
			return nil, false
		}
	}
}

// abort marks all that wait now.
func (q *queue) abort() {
	q.mu.Lock()
	defer q.mu.Unlock()
	for _, m := range q.waiting {
		m.aborted = true
	}
}

// giveUp marks all that wait now or ever.
func (q *queue) giveUp() {
	q.mu.Lock()
	q.given = true
	q.mu.Unlock()
	q.abort()
}
