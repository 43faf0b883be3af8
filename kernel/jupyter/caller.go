package jupyter

import "tautline/kernel/jupyter/sockets"

// A caller is a front end at the other end of a socket.
type caller struct {
	signer signer
	peer   sockets.Peer
	route  [][]byte
}

// Reply signs an answer and sends it back the way the request came.
func (c caller) Reply(l Letter) { c.peer.Send(c.signer.encode(c.route, l)) }

// taker puts what a socket brings into a queue. Nonsense is noted and left.
func (w *wires) taker(k *kernel, q *queue) func(sockets.Peer, [][]byte) {
	return func(peer sockets.Peer, frames [][]byte) {
		route, l, err := w.signer.decode(frames)
		if err == nil {
			err = k.take(q, caller{w.signer, peer, route}, l)
		}
		if err != nil {
			k.logf("a message was ignored: %v", err)
		}
	}
}

// take queues a request off any wire.
func (k *kernel) take(q *queue, from Front, l Letter) error {
	m, err := newMessage(from, l)
	if err == nil {
		q.put(k.ctx, m)
	}
	return err
}
