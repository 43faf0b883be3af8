package sessions

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"tautline/kernel/jupyter"
	"tautline/kernel/page/rehearsal"
)

func newHouse(t *testing.T) *House {
	h := New(t.Context(), func(string) jupyter.Options { return jupyter.Options{Start: rehearsal.Start} })
	t.Cleanup(h.Close)
	return h
}

// An ear is a listener that waits for what it wants to hear.
type ear struct {
	mu    sync.Mutex
	heard []string
	more  chan struct{}
}

func newEar() *ear { return &ear{more: make(chan struct{}, 1)} }

func (e *ear) Hear(_ string, l jupyter.Letter) {
	var h struct {
		Type string `json:"msg_type"`
	}
	json.Unmarshal(l.Header, &h)
	e.mu.Lock()
	e.heard = append(e.heard, h.Type+" "+string(l.Content))
	e.mu.Unlock()
	select {
	case e.more <- struct{}{}:
	default:
	}
}

func (e *ear) all() []string {
	e.mu.Lock()
	defer e.mu.Unlock()
	return slices.Clone(e.heard)
}

// waits until something with a text was heard.
func (e *ear) waits(t *testing.T, text string) {
	t.Helper()
	for end := time.After(20 * time.Second); ; {
		if slices.ContainsFunc(e.all(), func(s string) bool { return strings.Contains(s, text) }) {
			return
		}
		select {
		case <-e.more:
		case <-end:
			t.Fatalf("%q was not heard, but %q", text, e.all())
		}
	}
}

func ask(t *testing.T, k *Kernel, from Listener, kind, content string) {
	t.Helper()
	err := k.Ask(from, jupyter.Shell, jupyter.Letter{Header: json.RawMessage(`{"msg_id":"1","session":"s","msg_type":"` + kind + `"}`),
		Parent: json.RawMessage("{}"), Metadata: json.RawMessage("{}"), Content: json.RawMessage(content)})
	if err != nil {
		t.Fatal(err)
	}
}

func run(t *testing.T, k *Kernel, from Listener, code string) {
	t.Helper()
	text, _ := json.Marshal(map[string]string{"code": code})
	ask(t, k, from, "execute_request", string(text))
}

func open(t *testing.T, h *House, path string) Session {
	t.Helper()
	s, err := h.Open(path, "", "notebook", "", "")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestTwoPagesOnANotebookShareItsKernel(t *testing.T) {
	h := newHouse(t)
	a, b := open(t, h, "a/fit.ipynb"), open(t, h, "a/fit.ipynb")
	if a != b || a.Name != "fit.ipynb" || len(h.Kernels()) != 1 {
		t.Errorf("%+v and %+v", a, b)
	}
	if other := open(t, h, "b/fit.ipynb"); other.Kernel == a.Kernel {
		t.Error("two notebooks share a kernel")
	}
	one, two := newEar(), newEar()
	a.Kernel.Attach(one)
	a.Kernel.Attach(two)
	run(t, a.Kernel, one, "print hello")
	one.waits(t, "execute_reply")
	two.waits(t, "hello")
	if slices.ContainsFunc(two.all(), func(s string) bool { return strings.HasPrefix(s, "execute_reply") }) {
		t.Error("a page got an answer that it had not asked for")
	}
}

func TestWhatNobodyHeardIsSaidToWhoComesBack(t *testing.T) {
	k := open(t, newHouse(t), "a.ipynb").Kernel
	first := newEar()
	k.Attach(first)
	run(t, k, first, "print before")
	first.waits(t, "before")
	first.waits(t, "execute_reply")
	first.waits(t, `"idle"`)
	k.Detach(first)
	run(t, k, first, "print meanwhile")
	for k.mu.Lock(); !slices.ContainsFunc(k.missed, func(l jupyter.Letter) bool { return strings.Contains(string(l.Content), "meanwhile") }); k.mu.Lock() {
		k.mu.Unlock()
		time.Sleep(time.Millisecond)
	}
	k.mu.Unlock()
	again, late := newEar(), newEar()
	k.Attach(again)
	again.waits(t, "meanwhile")
	k.Attach(late)
	for _, s := range late.all() {
		if strings.Contains(s, "meanwhile") {
			t.Error("what was heard is said again")
		}
	}
}

func TestWhatIsKeptIsBounded(t *testing.T) {
	k := &Kernel{}
	for range mostMissed + 10 {
		k.miss(jupyter.Letter{Content: json.RawMessage("{}")})
	}
	if len(k.missed) != mostMissed {
		t.Errorf("%d messages kept", len(k.missed))
	}
	large := json.RawMessage(strings.Repeat(" ", missedBytes/2))
	for range 5 {
		k.miss(jupyter.Letter{Content: large})
	}
	if k.size > missedBytes || len(k.missed) != 2 {
		t.Errorf("%d bytes in %d messages kept", k.size, len(k.missed))
	}
}

func TestARestartKeepsWhoListens(t *testing.T) {
	k := open(t, newHouse(t), "a.ipynb").Kernel
	page := newEar()
	k.Attach(page)
	run(t, k, page, "loop")
	page.waits(t, "execute_input")
	var all sync.WaitGroup
	for range 3 { // as three impatient presses
		all.Go(k.Restart)
	}
	all.Wait()
	page.waits(t, `"restarting"`)
	run(t, k, page, "print anew")
	page.waits(t, "anew")
	if k.Listeners() != 1 || slices.ContainsFunc(page.all(), func(s string) bool { return strings.Contains(s, `"dead"`) }) {
		t.Errorf("%d listeners, %q", k.Listeners(), page.all())
	}
}

func TestAnInterruptEndsACell(t *testing.T) {
	k := open(t, newHouse(t), "a.ipynb").Kernel
	page := newEar()
	k.Attach(page)
	run(t, k, page, "loop")
	page.waits(t, "execute_input")
	k.Interrupt()
	page.waits(t, "interrupted")
	run(t, k, page, "print on")
	page.waits(t, "on")
}

func TestAnEndIsAnnounced(t *testing.T) {
	for what, end := range map[string]func(h *House, s Session, page *ear){
		"by its session":   func(h *House, s Session, _ *ear) { h.CloseSession(s.ID) },
		"by its kernel":    func(h *House, s Session, _ *ear) { h.CloseKernel(s.Kernel.ID) },
		"by a page":        func(_ *House, s Session, page *ear) { ask(t, s.Kernel, page, "shutdown_request", `{"restart":false}`) },
		"by the whole end": func(h *House, _ Session, _ *ear) { h.Close() },
	} {
		h := newHouse(t)
		s := open(t, h, "a.ipynb")
		page := newEar()
		s.Kernel.Attach(page)
		run(t, s.Kernel, page, "print up")
		page.waits(t, "up")
		end(h, s, page)
		page.waits(t, `"dead"`)
		for until := time.Now().Add(10 * time.Second); len(h.Kernels()) > 0 && time.Now().Before(until); {
			time.Sleep(time.Millisecond)
		}
		if _, found := h.Session(s.ID); found || len(h.Kernels()) != 0 {
			t.Errorf("%s: the house still has it", what)
		}
		if next := open(t, h, "a.ipynb"); next.Kernel == s.Kernel {
			t.Errorf("%s: the notebook gets its dead kernel again", what)
		}
	}
}

func TestAbandonedKernelsEnd(t *testing.T) {
	h := newHouse(t)
	kept, left := open(t, h, "kept.ipynb"), open(t, h, "left.ipynb")
	page := newEar()
	for _, s := range []Session{kept, left} {
		s.Kernel.Attach(page)
		run(t, s.Kernel, page, "print "+s.Path)
		page.waits(t, s.Path)
	}
	for left.Kernel.State() != "idle" {
		time.Sleep(time.Millisecond)
	}
	left.Kernel.Detach(page)
	h.closeAbandoned(time.Now())
	if len(h.Kernels()) != 2 {
		t.Error("a kernel is ended at once")
	}
	h.closeAbandoned(time.Now().Add(2 * Abandoned))
	if all := h.Kernels(); len(all) != 1 || all[0] != kept.Kernel {
		t.Errorf("%d kernels are left", len(all))
	}
}

func TestAHouseIsFullAtSomeTime(t *testing.T) {
	h := newHouse(t)
	for range mostKernels {
		if _, err := h.StartKernel(""); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := h.StartKernel(""); !errors.Is(err, ErrFull) {
		t.Errorf("one more: %v", err)
	}
}

func TestASessionMoves(t *testing.T) {
	h := newHouse(t)
	s := open(t, h, "a.ipynb")
	moved, ok := h.Move(s.ID, "b/c.ipynb", "", "", "")
	if !ok || moved.Path != "b/c.ipynb" || moved.Name != "c.ipynb" || moved.Kernel != s.Kernel {
		t.Errorf("%+v", moved)
	}
	k, err := h.StartKernel("")
	if err != nil {
		t.Fatal(err)
	}
	if moved, _ = h.Move(s.ID, "", "", "", k.ID); moved.Kernel != k {
		t.Error("the session keeps its kernel")
	}
	if _, ok := h.Move("none", "x", "", "", ""); ok {
		t.Error("what is not there moves")
	}
}
