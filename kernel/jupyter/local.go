package jupyter

import (
	"context"
	"fmt"
	"sync"
)

// The channels of a kernel, by the names that the protocol gives them.
const (
	Shell   = "shell"
	Control = "control"
	Stdin   = "stdin"
	IOPub   = "iopub"
)

// A Local is a kernel without sockets, for a front end in the same program.
type Local struct {
	k    *kernel
	done chan struct{}
}

// StartLocal starts a kernel that tells all front ends what it shows by calling
// show, one letter at a time and never for long. It works until the context
// ends or a front end asks for the end.
func StartLocal(ctx context.Context, o Options, show func(Letter)) *Local {
	k := newKernel(ctx, o)
	var order sync.Mutex // several requests show at once
	k.show = func(_ string, l Letter) {
		order.Lock()
		defer order.Unlock()
		show(l)
	}
	l := &Local{k, make(chan struct{})}
	go func() {
		defer close(l.done)
		defer k.cancel()
		k.work()
	}()
	return l
}

// Take hands the kernel a request that came by a channel. Answers go to from.
func (l *Local) Take(channel string, from Front, letter Letter) error {
	switch channel {
	case Shell:
		return l.k.take(l.k.shellQueue, from, letter)
	case Control:
		return l.k.take(l.k.controlQueue, from, letter)
	case Stdin: // nothing in a cell can ask for input
		return nil
	}
	return fmt.Errorf("there is no channel %q to ask on", channel)
}

// Interrupt stops the running cell and keeps what the cells declared.
func (l *Local) Interrupt() { l.k.interrupt() }

// Close ends the kernel and its worker, also in the midst of a cell.
func (l *Local) Close() {
	l.k.stopCell()
	l.k.cancel()
	<-l.done
}

// Done is closed when the kernel has ended.
func (l *Local) Done() <-chan struct{} { return l.done }
