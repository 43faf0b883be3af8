package api

import (
	"io"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"

	"tautline/kernel/jupyter"
	"tautline/kernel/page/sessions"
)

// stamp is a time as the API writes it.
const stamp = "2006-01-02T15:04:05.000000Z"

func moment(t time.Time) string { return t.UTC().Format(stamp) }

var started = moment(time.Now())

func (a *API) lastActive() time.Time {
	last := time.Now().Add(-time.Second)
	for _, k := range a.House.Kernels() {
		if t := k.Active(); t.After(last) {
			last = t
		}
	}
	return last
}

// specName is the one kernel that this server has.
const specName = "tautline"

func (a *API) specModel() map[string]any {
	resources := map[string]string{}
	if a.Logos != nil {
		all, _ := fs.ReadDir(a.Logos, ".")
		for _, f := range all {
			resources[strings.TrimSuffix(f.Name(), path.Ext(f.Name()))] = "/kernelspecs/" + specName + "/" + f.Name()
		}
	}
	lang := jupyter.Language()["name"]
	return map[string]any{"name": specName, "resources": resources, "spec": map[string]any{
		"argv": []string{"tautline", "kernel", "{connection_file}"}, "display_name": "Tautline", "language": lang,
		"env": map[string]string{}, "metadata": map[string]any{}, "interrupt_mode": "message"}}
}

func (a *API) specs(*http.Request) (answer, error) {
	return ok(map[string]any{"default": specName, "kernelspecs": map[string]any{specName: a.specModel()}})
}

func (a *API) spec(r *http.Request) (answer, error) {
	if r.PathValue("name") != specName {
		return answer{}, refusal{http.StatusNotFound, "this server has one kernel: " + specName}
	}
	return ok(a.specModel())
}

func (a *API) logo(w http.ResponseWriter, r *http.Request) {
	if a.Logos == nil || r.PathValue("name") != specName {
		http.NotFound(w, r)
		return
	}
	f, err := a.Logos.Open(r.PathValue("file"))
	if err != nil {
		http.NotFound(w, r)
		return
	}
	defer f.Close()
	kind := map[string]string{".png": "image/png", ".svg": "image/svg+xml"}[path.Ext(r.PathValue("file"))]
	w.Header().Set("Content-Type", kind)
	io.Copy(w, f)
}

func kernelModel(k *sessions.Kernel) map[string]any {
	return map[string]any{"id": k.ID, "name": k.Name, "last_activity": moment(k.Active()),
		"execution_state": k.State(), "connections": k.Listeners()}
}

func (a *API) kernels(*http.Request) (answer, error) {
	list := []any{}
	for _, k := range a.House.Kernels() {
		list = append(list, kernelModel(k))
	}
	return ok(list)
}

// find gives the kernel that a request names.
func (a *API) find(r *http.Request) (*sessions.Kernel, error) {
	k, found := a.House.Kernel(r.PathValue("id"))
	if !found {
		return nil, refusal{http.StatusNotFound, "there is no such kernel: it has ended, or the server was started anew"}
	}
	return k, nil
}

func (a *API) kernel(r *http.Request) (answer, error) {
	k, err := a.find(r)
	if err != nil {
		return answer{}, err
	}
	return ok(kernelModel(k))
}

func checkName(name string) error {
	if name != "" && name != specName {
		return refusal{http.StatusBadRequest, "this server has no kernel " + short(name) + ": its own is " + specName}
	}
	return nil
}

func (a *API) startKernel(r *http.Request) (answer, error) {
	var q struct{ Name, Path string }
	if err := read(r, &q); err != nil {
		return answer{}, err
	}
	if err := checkName(q.Name); err != nil {
		return answer{}, err
	}
	k, err := a.House.StartKernel(a.Folder(q.Path))
	if err != nil {
		return answer{}, err
	}
	return answer{status: http.StatusCreated, body: kernelModel(k), headers: map[string]string{"Location": "/api/kernels/" + k.ID}}, nil
}

func (a *API) deleteKernel(r *http.Request) (answer, error) {
	k, err := a.find(r)
	if err == nil {
		a.House.CloseKernel(k.ID)
	}
	return done, err
}

func (a *API) interrupt(r *http.Request) (answer, error) {
	k, err := a.find(r)
	if err == nil {
		k.Interrupt()
	}
	return done, err
}

func (a *API) restart(r *http.Request) (answer, error) {
	k, err := a.find(r)
	if err != nil {
		return answer{}, err
	}
	k.Restart()
	return ok(kernelModel(k))
}

func sessionModel(s sessions.Session) map[string]any {
	m := map[string]any{"id": s.ID, "path": s.Path, "name": s.Name, "type": s.Type, "kernel": kernelModel(s.Kernel)}
	if s.Type == "notebook" {
		m["notebook"] = map[string]string{"path": s.Path, "name": s.Name}
	}
	return m
}

func (a *API) sessions(*http.Request) (answer, error) {
	list := []any{}
	for _, s := range a.House.Sessions() {
		list = append(list, sessionModel(s))
	}
	return ok(list)
}

// A sessionRequest is the body of requests about sessions.
type sessionRequest struct {
	Path, Name, Type string
	Kernel           struct{ ID, Name string }
}

func (a *API) openSession(r *http.Request) (answer, error) {
	q := sessionRequest{Type: "notebook"}
	if err := read(r, &q); err != nil {
		return answer{}, err
	}
	if q.Path == "" {
		return answer{}, refusal{http.StatusBadRequest, "a session wants the path of its notebook"}
	}
	if err := checkName(q.Kernel.Name); err != nil {
		return answer{}, err
	}
	s, err := a.House.Open(q.Path, q.Name, q.Type, q.Kernel.ID, a.Folder(q.Path))
	if err != nil {
		return answer{}, err
	}
	return answer{status: http.StatusCreated, body: sessionModel(s), headers: map[string]string{"Location": "/api/sessions/" + s.ID}}, nil
}

var errNoSession = refusal{http.StatusNotFound, "there is no such session: it has ended, or the server was started anew"}

func (a *API) session(r *http.Request) (answer, error) {
	s, found := a.House.Session(r.PathValue("id"))
	if !found {
		return answer{}, errNoSession
	}
	return ok(sessionModel(s))
}

func (a *API) moveSession(r *http.Request) (answer, error) {
	var q sessionRequest
	if err := read(r, &q); err != nil {
		return answer{}, err
	}
	s, found := a.House.Move(r.PathValue("id"), q.Path, q.Name, q.Type, q.Kernel.ID)
	if !found {
		return answer{}, errNoSession
	}
	return ok(sessionModel(s))
}

func (a *API) deleteSession(r *http.Request) (answer, error) {
	if !a.House.CloseSession(r.PathValue("id")) {
		return answer{}, errNoSession
	}
	return done, nil
}
