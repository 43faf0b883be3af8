package api

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net/http"
	"path"
	"strings"
	"unicode/utf8"

	"tautline/kernel/notebook"
	"tautline/kernel/page/shelf"
)

// A model is a file or folder as the API writes it. What is not asked for is
// there and null: clients check that.
type model struct {
	Name         string  `json:"name"`
	Path         string  `json:"path"`
	Type         string  `json:"type"`
	Writable     bool    `json:"writable"`
	Created      string  `json:"created"`
	LastModified string  `json:"last_modified"`
	Size         *int64  `json:"size"`
	MIME         *string `json:"mimetype"`
	Content      any     `json:"content"`
	Format       *string `json:"format"`
	Hash         *string `json:"hash"`
	HashKind     *string `json:"hash_algorithm"`
	// BuiltIn marks what comes with the program; ours alone, as is Title.
	BuiltIn bool `json:"built_in,omitempty"`
	// Title is a notebook's first heading, in lists.
	Title string `json:"title,omitempty"`
}

func text(s string) *string { return &s }

func modelOf(e shelf.Entry) model {
	m := model{Name: e.Name, Path: e.Path, Type: "file", Writable: e.Writable, Created: moment(e.Modified),
		LastModified: moment(e.Modified), BuiltIn: e.BuiltIn}
	switch {
	case e.Folder:
		m.Type = "directory"
	case path.Ext(e.Path) == ".ipynb":
		m.Type = "notebook"
	}
	if !e.Folder {
		size := e.Size
		m.Size = &size
	}
	return m
}

// filled adds the content of a file in the form that a client asks for.
func filled(f shelf.File, kind, format string) (model, error) {
	m := modelOf(f.Entry)
	m.Hash, m.HashKind = text(f.Hash), text("sha256")
	if kind != "" && kind != m.Type && !(kind == "file" && m.Type == "notebook") {
		return m, refusal{http.StatusBadRequest, fmt.Sprintf("%s is a %s, not a %s", f.Path, m.Type, kind)}
	}
	switch {
	case m.Type == "notebook" && kind != "file":
		if !json.Valid(f.Data) {
			return m, refusal{http.StatusBadRequest, f.Path + " is not a notebook: its content is no JSON. Open it with a text editor, or take an earlier copy."}
		}
		m.Content, m.Format = json.RawMessage(f.Data), text("json")
	case format != "base64" && utf8.Valid(f.Data):
		m.Content, m.Format, m.MIME = string(f.Data), text("text"), text("text/plain")
	case format == "text":
		return m, refusal{http.StatusBadRequest, f.Path + " is not text in UTF-8"}
	default:
		m.Content, m.Format, m.MIME = base64.StdEncoding.EncodeToString(f.Data), text("base64"), text("application/octet-stream")
	}
	return m, nil
}

func (a *API) getContents(r *http.Request) (answer, error) {
	p, q := r.PathValue("path"), r.URL.Query()
	if name, ok := checkpointPath(p); ok {
		return a.listCheckpoints(name)
	}
	e, err := a.Shelf.Stat(p)
	if err != nil {
		return answer{}, err
	}
	if e.Folder {
		return a.folder(e, q.Get("content") != "0")
	}
	if q.Get("content") == "0" && q.Get("hash") != "1" {
		return ok(modelOf(e))
	}
	f, err := a.Shelf.Read(p)
	if err != nil {
		return answer{}, err
	}
	m, err := filled(f, q.Get("type"), q.Get("format"))
	if err == nil && q.Get("content") == "0" {
		m.Content, m.Format, m.MIME = nil, nil, nil
	}
	return answer{status: http.StatusOK, body: m}, err
}

func (a *API) folder(e shelf.Entry, content bool) (answer, error) {
	m := modelOf(e)
	if !content {
		return ok(m)
	}
	list, err := a.Shelf.List(e.Path)
	if err != nil {
		return answer{}, err
	}
	models := []model{}
	for i, e := range list {
		m := modelOf(e)
		if i < mostTitled && m.Type == "notebook" {
			m.Title = a.titles.of(a.Shelf, e)
		}
		models = append(models, m)
	}
	m.Content, m.Format = models, text("json")
	return ok(m)
}

// blank is a new notebook: one empty cell.
func blank() []byte {
	return []byte(`{"cells":[{"cell_type":"code","execution_count":null,"id":"first","metadata":{},"outputs":[],"source":[]}],` +
		`"metadata":{"kernelspec":{"display_name":"Tautline","language":"go","name":"tautline"},"language_info":{"name":"go","file_extension":".go","mimetype":"text/x-go"}},` +
		`"nbformat":4,"nbformat_minor":5}`)
}

func (a *API) postContents(r *http.Request) (answer, error) {
	p := r.PathValue("path")
	if name, id, ok := checkpointID(p); ok {
		return a.restore(name, id)
	}
	if name, ok := checkpointPath(p); ok {
		return a.makeCheckpoint(name)
	}
	q := struct {
		Type, Ext string
		CopyFrom  string `json:"copy_from"`
	}{Type: "notebook"}
	if err := read(r, &q); err != nil {
		return answer{}, err
	}
	var e shelf.Entry
	var f shelf.File
	var err error
	switch {
	case q.CopyFrom != "":
		f, err = a.Shelf.Copy(q.CopyFrom, p)
		e = f.Entry
	case q.Type == "directory":
		e, err = a.Shelf.AddFolder(p, "new folder")
	case q.Type == "file":
		if q.Ext == "" {
			q.Ext = ".txt"
		}
		f, err = a.Shelf.Add(p, "untitled", "."+strings.TrimPrefix(q.Ext, "."), nil)
		e = f.Entry
	default:
		var data []byte
		if data, err = tidy("untitled.ipynb", blank()); err == nil {
			f, err = a.Shelf.Add(p, "untitled", ".ipynb", data)
			e = f.Entry
		}
	}
	if err != nil {
		return answer{}, err
	}
	return answer{status: http.StatusCreated, body: modelOf(e), headers: map[string]string{"Location": "/api/contents/" + e.Path}}, nil
}

// tidy writes a notebook the way all are written: one key a line, source as
// lines, so that two versions can be compared.
func tidy(name string, data []byte) ([]byte, error) {
	n, err := notebook.Read(name, data)
	if err != nil {
		return nil, refusal{http.StatusBadRequest, err.Error()}
	}
	return n.Write()
}

// putContents saves. The page says in If-Match which content it has seen; other
// programs compare the time of the last change themselves, before they ask.
func (a *API) putContents(r *http.Request) (answer, error) {
	p := r.PathValue("path")
	var u upload
	if err := read(r, &u); err != nil {
		return answer{}, err
	}
	data, err := u.bytes(p)
	if err != nil {
		return answer{}, err
	}
	match := strings.Trim(r.Header.Get("If-Match"), `"`)
	if match == "" {
		match = shelf.Anything
	}
	if r.Header.Get("If-None-Match") == "*" {
		match = shelf.New
	}
	existed := true
	if _, err := a.Shelf.Stat(p); err != nil {
		existed = false
	}
	f, err := a.Shelf.Save(p, data, match)
	if err != nil {
		return answer{}, err
	}
	a.Shelf.DropDraft(p)
	a.events.tell("saved", map[string]string{"path": f.Path, "hash": f.Hash, "by": r.Header.Get("Tautline-Page")})
	m := modelOf(f.Entry)
	m.Hash, m.HashKind = text(f.Hash), text("sha256")
	status := http.StatusOK
	if !existed {
		status = http.StatusCreated
	}
	return answer{status: status, body: m}, nil
}

// An upload is the body of a save.
type upload struct {
	Type, Format string
	Content      json.RawMessage
}

// bytes are what the file is to hold.
func (u upload) bytes(p string) ([]byte, error) {
	if u.Type == "notebook" || u.Type == "" && path.Ext(p) == ".ipynb" {
		return tidy(p, u.Content)
	}
	if u.Type == "directory" {
		return nil, refusal{http.StatusBadRequest, "a folder is made, not saved"}
	}
	var s string
	if err := json.Unmarshal(u.Content, &s); err != nil {
		return nil, refusal{http.StatusBadRequest, "the content of a file is sent as a text"}
	}
	if u.Format != "base64" {
		return []byte(s), nil
	}
	b, err := base64.StdEncoding.DecodeString(strings.Join(strings.Fields(s), ""))
	if err != nil {
		return nil, refusal{http.StatusBadRequest, "the content is not base64"}
	}
	return b, nil
}

func (a *API) patchContents(r *http.Request) (answer, error) {
	var q struct{ Path string }
	if err := read(r, &q); err != nil {
		return answer{}, err
	}
	from := r.PathValue("path")
	e, err := a.Shelf.Rename(from, q.Path)
	if err != nil {
		return answer{}, err
	}
	a.events.tell("renamed", map[string]string{"path": from, "to": e.Path, "by": r.Header.Get("Tautline-Page")})
	return ok(modelOf(e))
}

// deleteContents also gives the word for undo.
func (a *API) deleteContents(r *http.Request) (answer, error) {
	p := r.PathValue("path")
	if name, id, ok := checkpointID(p); ok {
		if id != checkpointName {
			return answer{}, errNoCheckpoint
		}
		a.Shelf.DropCheckpoint(name)
		return done, nil
	}
	undo, err := a.Shelf.Delete(p)
	if err != nil {
		return answer{}, err
	}
	a.events.tell("deleted", map[string]string{"path": p, "by": r.Header.Get("Tautline-Page")})
	gone := done
	gone.headers = map[string]string{"Tautline-Undo": undo}
	return gone, nil
}

// Each file has one checkpoint at most, under this name.
const checkpointName = "checkpoint"

var errNoCheckpoint = refusal{http.StatusNotFound, "there is no such checkpoint"}

// checkpointPath parts "a.ipynb/checkpoints".
func checkpointPath(p string) (string, bool) { return strings.CutSuffix(p, "/checkpoints") }

// checkpointID parts "a.ipynb/checkpoints/ID".
func checkpointID(p string) (name, id string, ok bool) {
	name, id = path.Split(p)
	name, ok = checkpointPath(strings.TrimSuffix(name, "/"))
	return name, id, ok
}

func checkpointModel(k shelf.Kept) map[string]string {
	return map[string]string{"id": checkpointName, "last_modified": moment(k.When)}
}

func (a *API) listCheckpoints(name string) (answer, error) {
	list := []any{}
	if k, found := a.Shelf.CheckpointOf(name); found {
		list = append(list, checkpointModel(k))
	}
	return ok(list)
}

func (a *API) makeCheckpoint(name string) (answer, error) {
	k, err := a.Shelf.Checkpoint(name)
	if err != nil {
		return answer{}, err
	}
	return answer{status: http.StatusCreated, body: checkpointModel(k)}, nil
}

func (a *API) restore(name, id string) (answer, error) {
	k, found := a.Shelf.CheckpointOf(name)
	if !found || id != checkpointName {
		return answer{}, errNoCheckpoint
	}
	_, err := a.Shelf.Save(name, k.Data, shelf.Anything)
	return done, err
}

// files gives a file as it is, to be kept by the browser and never shown by
// it: a page in the folder may be anybody's.
func (a *API) files(w http.ResponseWriter, r *http.Request) {
	f, err := a.Shelf.Read(r.PathValue("path"))
	if err != nil {
		write(w, no(err))
		return
	}
	w.Header().Set("Content-Type", "application/octet-stream")
	w.Header().Set("Content-Disposition", attachment(f.Name))
	http.ServeContent(w, r, "", f.Modified, bytes.NewReader(f.Data))
}
