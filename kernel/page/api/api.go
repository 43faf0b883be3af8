// Package api answers what Jupyter front ends ask of a server: files, kernels,
// sessions and the socket to a kernel (jupyter_server's api.yaml; a part of it
// that is whole in itself), and the few things besides that our own page asks.
package api

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"strings"
	"time"

	"tautline/kernel/page/sessions"
	"tautline/kernel/page/shelf"
)

// An API is what a server offers to programs.
type API struct {
	Shelf   *shelf.Shelf
	House   *sessions.House
	Version string
	// Start is what the page is told first, besides what the API knows itself.
	Start map[string]any
	// Logos are the kernel's pictures by file name, for front ends that show
	// them.
	Logos fs.FS
	// Folder gives the folder on the disk that the cells of a notebook may read.
	Folder func(path string) string

	events events
	titles titles
}

// A Mux takes routes, as http.ServeMux does.
type Mux interface {
	Handle(pattern string, h http.Handler)
}

// Register puts all routes on a mux.
func (a *API) Register(mux Mux) {
	for pattern, h := range map[string]func(r *http.Request) (answer, error){
		"GET /api":                          a.version,
		"GET /api/status":                   a.status,
		"GET /api/me":                       a.me,
		"GET /api/kernelspecs":              a.specs,
		"GET /api/kernelspecs/{name}":       a.spec,
		"GET /api/kernels":                  a.kernels,
		"POST /api/kernels":                 a.startKernel,
		"GET /api/kernels/{id}":             a.kernel,
		"DELETE /api/kernels/{id}":          a.deleteKernel,
		"POST /api/kernels/{id}/interrupt":  a.interrupt,
		"POST /api/kernels/{id}/restart":    a.restart,
		"GET /api/sessions":                 a.sessions,
		"POST /api/sessions":                a.openSession,
		"GET /api/sessions/{id}":            a.session,
		"PATCH /api/sessions/{id}":          a.moveSession,
		"DELETE /api/sessions/{id}":         a.deleteSession,
		"GET /api/contents":                 a.getContents,
		"GET /api/contents/{path...}":       a.getContents,
		"POST /api/contents":                a.postContents,
		"POST /api/contents/{path...}":      a.postContents,
		"PUT /api/contents/{path...}":       a.putContents,
		"PATCH /api/contents/{path...}":     a.patchContents,
		"DELETE /api/contents/{path...}":    a.deleteContents,
		"GET /tautline/start":               a.start,
		"POST /tautline/undelete":           a.undelete,
		"GET /tautline/drafts/{path...}":    a.getDraft,
		"PUT /tautline/drafts/{path...}":    a.putDraft,
		"DELETE /tautline/drafts/{path...}": a.deleteDraft,
		"POST /tautline/names":              a.names,
		"POST /tautline/page":               a.page,
		"GET /tautline/original/{path...}":  a.original,
	} {
		mux.Handle(pattern, handler(h, maxBody))
	}
	mux.Handle("GET /api/kernels/{id}/channels", http.HandlerFunc(a.channels))
	mux.Handle("GET /files/{path...}", http.HandlerFunc(a.files))
	mux.Handle("GET /kernelspecs/{name}/{file}", http.HandlerFunc(a.logo))
	mux.Handle("GET /tautline/events", http.HandlerFunc(a.listen))
	mux.Handle("/api/", handler(func(r *http.Request) (answer, error) {
		return answer{}, refusal{http.StatusNotFound, "this server has nothing at " + short(r.URL.Path)}
	}, maxBody))
}

func short(s string) string { return fmt.Sprintf("%.100q", s) }

// An answer is a status and what is written as JSON; nil writes nothing.
type answer struct {
	status  int
	body    any
	headers map[string]string
}

func ok(body any) (answer, error) { return answer{status: http.StatusOK, body: body}, nil }

var done = answer{status: http.StatusNoContent}

// A refusal is an answer that is no.
type refusal struct {
	status   int
	sentence string
}

func (r refusal) Error() string { return r.sentence }

// maxBody bounds what a request brings: a notebook, as JSON within JSON.
const maxBody = 2 * shelf.MaxSize

// bodyTime bounds how long it may take to bring it. Assumed: even a slow
// network carries a notebook in less.
const bodyTime = 2 * time.Minute

// handler turns a function into one that speaks HTTP. A fault of ours is an
// answer too.
func handler(h func(*http.Request) (answer, error), limit int64) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.ContentLength > limit {
			w.Header().Set("Connection", "close") // without waiting for all of it
			write(w, no(&http.MaxBytesError{Limit: limit}))
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, limit)
		// A body that never comes whole must not keep its connection. Where this
		// cannot be set there is no connection: a test's.
		http.NewResponseController(w).SetReadDeadline(time.Now().Add(bodyTime))
		defer func() {
			if p := recover(); p != nil {
				write(w, answer{status: http.StatusInternalServerError, body: message(fmt.Sprintf("this is a fault in tautline, please report it: %v", p))})
			}
		}()
		a, err := h(r)
		if err != nil {
			a = no(err)
		}
		write(w, a)
	})
}

func message(sentence string) map[string]any {
	return map[string]any{"message": sentence, "reason": nil}
}

// statuses are those of the shelf's reasons.
var statuses = map[shelf.Reason]int{shelf.Missing: 404, shelf.Exists: 409, shelf.Conflict: 409, shelf.Odd: 400,
	shelf.TooLarge: 413, shelf.Refused: 403}

func no(err error) answer {
	status := http.StatusInternalServerError
	body := message(err.Error())
	if e := (*shelf.Error)(nil); errors.As(err, &e) {
		status = statuses[e.Reason]
		if e.Reason == shelf.Conflict {
			body["reason"] = "conflict"
		}
	}
	if e := (refusal{}); errors.As(err, &e) {
		status = e.status
	}
	if e := (*http.MaxBytesError)(nil); errors.As(err, &e) {
		status, body = http.StatusRequestEntityTooLarge, message("this is too large to be taken here")
	}
	if errors.Is(err, sessions.ErrFull) {
		status = http.StatusServiceUnavailable
	}
	return answer{status: status, body: body}
}

func write(w http.ResponseWriter, a answer) {
	for name, value := range a.headers {
		w.Header().Set(name, value)
	}
	if a.body == nil {
		w.WriteHeader(a.status)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(a.status)
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.Encode(a.body)
}

// read decodes the body of a request. None at all leaves the defaults.
func read(r *http.Request, into any) error {
	if kind := r.Header.Get("Content-Type"); kind != "" && !strings.HasPrefix(kind, "application/json") && maybeForm(r) {
		return refusal{http.StatusUnsupportedMediaType, "the request must be JSON"}
	}
	err := json.NewDecoder(r.Body).Decode(into)
	if err == io.EOF {
		return nil
	}
	if e := (*http.MaxBytesError)(nil); errors.As(err, &e) {
		return err
	}
	if err != nil {
		return refusal{http.StatusBadRequest, "the request is not the JSON that is wanted here: " + err.Error()}
	}
	return nil
}

// maybeForm tells whether a form of another site might have sent a request: a
// browser adds the cookie to it, and lets it be plain text without asking first.
// Programs send no cookie, or the token in a header, which no form can; those
// of Jupyter leave it to their library to call JSON plain text.
func maybeForm(r *http.Request) bool {
	kind, _, _ := strings.Cut(r.Header.Get("Authorization"), " ")
	token := strings.EqualFold(kind, "token") || strings.EqualFold(kind, "bearer")
	return !token && r.Header.Get("Cookie") != "" && r.Header.Get("Sec-Fetch-Mode") != ""
}

func (a *API) version(*http.Request) (answer, error) {
	return ok(map[string]string{"version": "2.14.0"})
}

func (a *API) status(*http.Request) (answer, error) {
	listeners := 0
	for _, k := range a.House.Kernels() {
		listeners += k.Listeners()
	}
	return ok(map[string]any{"kernels": len(a.House.Kernels()), "connections": listeners, "started": started, "last_activity": moment(a.lastActive())})
}

// me names nobody: whoever holds the cookie or the token is the one user.
func (a *API) me(*http.Request) (answer, error) {
	who := map[string]any{"username": "user", "name": "User", "display_name": "User", "initials": "U", "avatar_url": nil, "color": nil}
	return ok(map[string]any{"identity": who, "permissions": map[string]any{}})
}
