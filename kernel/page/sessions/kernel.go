// Package sessions keeps the kernels of a page's server: which notebook has
// which, who is listening to it, and what it said while nobody was.
package sessions

import (
	"context"
	"encoding/json"
	"errors"
	"sync"
	"time"

	"tautline/kernel/jupyter"
)

// A Listener is a front end that is attached to a kernel. Its methods must not
// block for long.
type Listener interface {
	// Hear takes what the kernel says, on the channel that it says it.
	Hear(channel string, l jupyter.Letter)
}

// What is kept for whoever comes next, while nobody listens. Assumed: a lesson
// run whole says a few hundred things of 100 kB at most.
const (
	mostMissed  = 5000
	missedBytes = 50 << 20
)

// A Kernel is one kernel with its listeners. It outlives its own restarts.
type Kernel struct {
	ID, Name string
	folder   string // of its notebook, which cells may read

	house *House
	ctx   context.Context
	end   context.CancelFunc
	turn  sync.Mutex // one restart or end at a time: two at once would start two kernels

	mu        sync.Mutex
	local     *jupyter.Local
	listeners map[Listener]struct{}
	missed    []jupyter.Letter
	size      int
	state     string
	active    time.Time
}

// State is what the kernel does: starting, idle, busy, restarting or dead.
func (k *Kernel) State() string {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.state
}

// Active is when the kernel last said something.
func (k *Kernel) Active() time.Time {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.active
}

// Listeners is how many front ends are attached.
func (k *Kernel) Listeners() int {
	k.mu.Lock()
	defer k.mu.Unlock()
	return len(k.listeners)
}

// start begins a kernel of its own, at first and after each restart.
func (k *Kernel) start() {
	var local *jupyter.Local
	made := make(chan struct{})
	local = jupyter.StartLocal(k.ctx, k.house.options(k.folder), func(l jupyter.Letter) {
		<-made
		k.say(local, l)
	})
	k.mu.Lock()
	k.local = local
	k.mu.Unlock()
	close(made)
	go k.watch(local)
}

// watch sees a kernel end that nobody restarted: a front end asked it to.
func (k *Kernel) watch(local *jupyter.Local) {
	<-local.Done()
	k.mu.Lock()
	current := k.local == local
	k.mu.Unlock()
	if current {
		k.announce("dead")
		k.house.forget(k)
	}
}

// say passes on what a kernel shows. What an earlier one still has to say after
// a restart is nobody's any more.
func (k *Kernel) say(from *jupyter.Local, l jupyter.Letter) {
	k.mu.Lock()
	if from != k.local {
		k.mu.Unlock()
		return
	}
	k.active = time.Now()
	if s := StateIn(l); s != "" {
		k.state = s
	}
	k.mu.Unlock()
	k.tell(l)
}

// tell reaches every listener in the same order; without any it is kept.
func (k *Kernel) tell(l jupyter.Letter) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if len(k.listeners) == 0 {
		k.miss(l)
	}
	for to := range k.listeners {
		to.Hear(jupyter.IOPub, l)
	}
}

func (k *Kernel) miss(l jupyter.Letter) {
	k.missed = append(k.missed, l)
	k.size += len(l.Content)
	for len(k.missed) > mostMissed || k.size > missedBytes {
		k.size -= len(k.missed[0].Content)
		k.missed = k.missed[1:]
	}
}

// StateIn reads the state out of a status message; empty for any other.
func StateIn(l jupyter.Letter) string {
	var h struct {
		Type string `json:"msg_type"`
	}
	var c struct {
		State string `json:"execution_state"`
	}
	if json.Unmarshal(l.Header, &h) != nil || h.Type != "status" || json.Unmarshal(l.Content, &c) != nil {
		return ""
	}
	return c.State
}

// announce says a state in the name of the server, for what a kernel that has
// ended cannot say itself.
func (k *Kernel) announce(state string) {
	k.mu.Lock()
	k.state, k.active = state, time.Now()
	k.mu.Unlock()
	head, _ := json.Marshal(map[string]string{"msg_id": jupyter.NewID(), "session": k.ID, "username": "server", "msg_type": "status",
		"version": jupyter.ProtocolVersion, "date": time.Now().UTC().Format("2006-01-02T15:04:05.000000Z")})
	body, _ := json.Marshal(map[string]string{"execution_state": state})
	k.tell(jupyter.Letter{Header: head, Parent: json.RawMessage("{}"), Metadata: json.RawMessage("{}"), Content: body})
}

// Attach lets a front end listen, first to what nobody has heard yet.
func (k *Kernel) Attach(to Listener) {
	k.mu.Lock()
	defer k.mu.Unlock()
	for _, l := range k.missed {
		to.Hear(jupyter.IOPub, l)
	}
	k.missed, k.size = nil, 0
	k.listeners[to] = struct{}{}
}

// Detach ends that.
func (k *Kernel) Detach(to Listener) {
	k.mu.Lock()
	defer k.mu.Unlock()
	delete(k.listeners, to)
	k.active = time.Now()
}

// An asker gets the answers to its own requests, on the channel that it asked.
type asker struct {
	to      Listener
	channel string
}

func (a asker) Reply(l jupyter.Letter) { a.to.Hear(a.channel, l) }

// Ask passes on a request of a front end.
func (k *Kernel) Ask(from Listener, channel string, l jupyter.Letter) error {
	local := k.now()
	if local == nil {
		return errors.New("the kernel is starting anew: ask again in a moment")
	}
	return local.Take(channel, asker{from, channel}, l)
}

// now is the kernel of the moment; nil in the midst of a restart.
func (k *Kernel) now() *jupyter.Local {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.local
}

// Interrupt stops the running cell and keeps what the cells declared.
func (k *Kernel) Interrupt() {
	if local := k.now(); local != nil {
		local.Interrupt()
	}
}

// Restart gives up what the cells declared and starts anew; whoever listens
// stays attached.
func (k *Kernel) Restart() {
	k.turn.Lock()
	defer k.turn.Unlock()
	k.mu.Lock()
	old := k.local
	k.local = nil // what it still says is not passed on
	k.mu.Unlock()
	k.announce("restarting")
	if old != nil {
		old.Close()
	}
	k.start()
}

// close ends the kernel for good.
func (k *Kernel) close() {
	k.turn.Lock()
	defer k.turn.Unlock()
	if local := k.now(); local != nil {
		local.Close()
	}
	k.end()
}
