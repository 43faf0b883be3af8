package sessions

import (
	"context"
	"errors"
	"path"
	"sort"
	"sync"
	"time"

	"tautline/kernel/jupyter"
)

// mostKernels bounds how many run at once: each has a process of its own of
// about 50 MB. Assumed.
const mostKernels = 30

// Abandoned is how long an idle kernel without a listener is kept. Assumed:
// longer than a lunch break with the laptop closed.
const Abandoned = 2 * time.Hour

// A Session ties a notebook to its kernel.
type Session struct {
	ID, Path, Name, Type string
	Kernel               *Kernel
}

// A House holds all kernels and sessions of a server.
type House struct {
	ctx     context.Context
	options func(folder string) jupyter.Options

	mu       sync.Mutex
	kernels  map[string]*Kernel
	sessions map[string]*Session
}

// New makes an empty house. Options gives those of a kernel whose notebook lies
// in a folder. All kernels end with the context.
func New(ctx context.Context, options func(folder string) jupyter.Options) *House {
	h := &House{ctx: ctx, options: options, kernels: map[string]*Kernel{}, sessions: map[string]*Session{}}
	go h.sweep()
	return h
}

// sweep ends kernels that nobody has listened to for long.
func (h *House) sweep() {
	for tick := time.NewTicker(Abandoned / 10); ; {
		select {
		case <-h.ctx.Done():
			tick.Stop()
			return
		case now := <-tick.C:
			h.closeAbandoned(now)
		}
	}
}

func (h *House) closeAbandoned(now time.Time) {
	for _, k := range h.Kernels() {
		if k.Listeners() == 0 && k.State() != "busy" && now.Sub(k.Active()) > Abandoned {
			h.CloseKernel(k.ID)
		}
	}
}

// ErrFull says that no more kernels are started.
var ErrFull = errors.New("too many notebooks are running at once: close one first (its kernel ends in the list of what runs)")

// StartKernel starts a kernel whose cells may read a folder.
func (h *House) StartKernel(folder string) (*Kernel, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.startKernel(folder)
}

func (h *House) startKernel(folder string) (*Kernel, error) {
	if len(h.kernels) >= mostKernels {
		return nil, ErrFull
	}
	k := &Kernel{ID: jupyter.NewID(), Name: "tautline", folder: folder, house: h, listeners: map[Listener]struct{}{},
		state: "starting", active: time.Now()}
	k.ctx, k.end = context.WithCancel(h.ctx)
	h.kernels[k.ID] = k
	k.start()
	return k, nil
}

// Kernel finds a kernel.
func (h *House) Kernel(id string) (*Kernel, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	k, ok := h.kernels[id]
	return k, ok
}

// Kernels lists all kernels.
func (h *House) Kernels() []*Kernel {
	h.mu.Lock()
	defer h.mu.Unlock()
	all := make([]*Kernel, 0, len(h.kernels))
	for _, k := range h.kernels {
		all = append(all, k)
	}
	sort.Slice(all, func(i, j int) bool { return all[i].ID < all[j].ID })
	return all
}

// CloseKernel ends a kernel and its sessions; false when there is none.
func (h *House) CloseKernel(id string) bool {
	k, ok := h.Kernel(id)
	if !ok {
		return false
	}
	h.forget(k)
	k.close()
	return true
}

// forget takes a kernel out of the house.
func (h *House) forget(k *Kernel) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.kernels, k.ID)
	for id, s := range h.sessions {
		if s.Kernel == k {
			delete(h.sessions, id)
		}
	}
}

// Close ends all kernels.
func (h *House) Close() {
	var all sync.WaitGroup
	for _, k := range h.Kernels() {
		all.Go(func() { h.CloseKernel(k.ID) })
	}
	all.Wait()
}

// Open gives the session of a notebook. There is one for each path: a second
// page on the same notebook shares its kernel. Without a kernel given it starts
// one. It is a copy: only the house changes one.
func (h *House) Open(p, name, kind, kernel, folder string) (Session, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, s := range h.sessions {
		if s.Path == p {
			return *s, nil
		}
	}
	k, ok := h.kernels[kernel]
	if !ok {
		var err error
		if k, err = h.startKernel(folder); err != nil {
			return Session{}, err
		}
	}
	s := &Session{ID: jupyter.NewID(), Path: p, Name: orBase(name, p), Type: kind, Kernel: k}
	h.sessions[s.ID] = s
	return *s, nil
}

func orBase(name, p string) string {
	if name == "" {
		return path.Base(p)
	}
	return name
}

// Session finds a session.
func (h *House) Session(id string) (Session, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	s, ok := h.sessions[id]
	if !ok {
		return Session{}, false
	}
	return *s, true
}

// Sessions lists all sessions.
func (h *House) Sessions() []Session {
	h.mu.Lock()
	defer h.mu.Unlock()
	all := make([]Session, 0, len(h.sessions))
	for _, s := range h.sessions {
		all = append(all, *s)
	}
	sort.Slice(all, func(i, j int) bool { return all[i].Path < all[j].Path })
	return all
}

// Move gives a session another path, name, kind or kernel, where given.
func (h *House) Move(id, p, name, kind, kernel string) (Session, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	s, ok := h.sessions[id]
	if !ok {
		return Session{}, false
	}
	if p != "" {
		s.Path, s.Name = p, path.Base(p)
	}
	if name != "" {
		s.Name = name
	}
	if kind != "" {
		s.Type = kind
	}
	if k, ok := h.kernels[kernel]; ok {
		s.Kernel = k
	}
	return *s, true
}

// CloseSession ends a session and its kernel; false when there is none.
func (h *House) CloseSession(id string) bool {
	s, ok := h.Session(id)
	return ok && h.CloseKernel(s.Kernel.ID)
}
