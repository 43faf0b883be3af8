package jupyter

import (
	"context"
	"time"

	"tautline/kernel/jupyter/sockets"
)

// wires are the five sockets of a connection file.
type wires struct {
	signer                signer
	shell, control, stdin *sockets.Router
	iopub                 *sockets.Publisher
	heartbeat             *sockets.Echo
}

// Serve opens the sockets of a connection and serves them until the context
// ends or a front end asks for the end.
func Serve(ctx context.Context, c Connection, o Options) error {
	k := newKernel(ctx, o)
	defer k.cancel()
	k.ports = c.ports()
	w := &wires{signer: signer{[]byte(c.Key)}}
	if err := w.open(k, c); err != nil {
		return err
	}
	k.work()
	w.close()
	return nil
}

// open binds all five sockets before the first is served, so that a port in
// use leaves nothing behind.
func (w *wires) open(k *kernel, c Connection) error {
	ports := []int{c.Shell, c.Control, c.Stdin, c.IOPub, c.Heartbeat}
	listeners, err := c.listenAll(ports)
	if err != nil {
		return err
	}
	w.iopub = sockets.NewPublisher(listeners[3])
	k.show = func(kind string, l Letter) {
		w.iopub.Send(w.signer.encode([][]byte{[]byte("kernel." + k.session + "." + kind)}, l))
	}
	w.heartbeat = sockets.NewEcho(listeners[4])
	// Nothing in a cell can ask for input, so what comes in here answers nothing.
	w.stdin = sockets.NewRouter(listeners[2], func(sockets.Peer, [][]byte) {})
	w.control = sockets.NewRouter(listeners[1], w.taker(k, k.controlQueue))
	w.shell = sockets.NewRouter(listeners[0], w.taker(k, k.shellQueue))
	return nil
}

// close ends the sockets last, so that front ends read the last words.
func (w *wires) close() {
	deadline := time.Now().Add(closeTime)
	w.shell.Close(deadline)
	w.control.Close(deadline)
	w.stdin.Close(deadline)
	w.iopub.Close(deadline)
	w.heartbeat.Close(deadline)
}
