package api

import (
	"encoding/json"
	"fmt"
	"net/http"
	"sync"
	"time"
)

// events tells all open pages what happens to files and to the server, as
// server-sent events (WHATWG HTML, "Server-sent events").
type events struct {
	mu   sync.Mutex
	open map[chan event]struct{}
}

type event struct {
	kind string
	data []byte
}

// quiet is how long nothing is sent before a comment that keeps the connection.
const quiet = 20 * time.Second

// tell sends to every page; one that does not read misses it.
func (e *events) tell(kind string, about any) {
	data, err := json.Marshal(about)
	if err != nil {
		return
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	for c := range e.open {
		select {
		case c <- event{kind, data}:
		default:
		}
	}
}

func (e *events) join() chan event {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.open == nil {
		e.open = map[chan event]struct{}{}
	}
	c := make(chan event, 100)
	e.open[c] = struct{}{}
	return c
}

func (e *events) leave(c chan event) {
	e.mu.Lock()
	defer e.mu.Unlock()
	delete(e.open, c)
}

// Closing asks all open pages to save, and tells how many there are.
func (a *API) Closing() int {
	a.events.tell("closing", struct{}{})
	a.events.mu.Lock()
	defer a.events.mu.Unlock()
	return len(a.events.open)
}

// listen serves one page until it leaves.
func (a *API) listen(w http.ResponseWriter, r *http.Request) {
	c := a.events.join()
	defer a.events.leave(c)
	w.Header().Set("Content-Type", "text/event-stream")
	out := http.NewResponseController(w)
	tick := time.NewTicker(quiet)
	defer tick.Stop()
	fmt.Fprint(w, "event: here\ndata: {}\n\n")
	for out.Flush() == nil {
		select {
		case <-r.Context().Done():
			return
		case <-tick.C:
			fmt.Fprint(w, ": still here\n\n")
		case e := <-c:
			fmt.Fprintf(w, "event: %s\ndata: %s\n\n", e.kind, e.data)
		}
	}
}
