package api

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"tautline/kernel/jupyter"
	"tautline/kernel/page/rehearsal"
	"tautline/kernel/page/sessions"
	"tautline/kernel/page/shelf"
	"tautline/kernel/worker"
)

// The test binary is its own worker.
func TestMain(m *testing.M) {
	worker.ServeIfAsked()
	os.Exit(m.Run())
}

// A desk is an API with a folder of its own, asked over HTTP. Who may ask is
// the door's to decide and not tried here.
type desk struct {
	t      *testing.T
	folder string
	house  *sessions.House
	api    *API
	url    string
}

const lesson = `{"cells":[{"cell_type":"markdown","id":"a","metadata":{},"source":["# First look\n","text"]}],"metadata":{},"nbformat":4,"nbformat_minor":5}`

func newDesk(t *testing.T, o jupyter.Options) *desk {
	d := &desk{t: t, folder: t.TempDir()}
	base := fstest.MapFS{"lesson.ipynb": {Data: []byte(lesson)}}
	s, err := shelf.Open(d.folder, t.TempDir(), base)
	if err != nil {
		t.Fatal(err)
	}
	d.house = sessions.New(t.Context(), func(string) jupyter.Options { return o })
	d.api = &API{Shelf: s, House: d.house, Version: "1", Folder: func(string) string { return d.folder },
		Start: map[string]any{"caution": "Look."}, Logos: fstest.MapFS{"logo-svg.svg": {Data: []byte("<svg/>")}}}
	mux := http.NewServeMux()
	d.api.Register(mux)
	server := httptest.NewServer(mux)
	d.url = server.URL
	t.Cleanup(func() {
		d.house.Close()
		server.CloseClientConnections()
		server.Close()
	})
	return d
}

func rehearsed(t *testing.T) *desk { return newDesk(t, jupyter.Options{Start: rehearsal.Start}) }

// said is an answer.
type said struct {
	status int
	header http.Header
	body   string
	m      map[string]any // of a JSON object
}

// ask sends a request with a JSON body, or none, and headers as "Name: value".
func (d *desk) ask(method, path, body string, headers ...string) said {
	d.t.Helper()
	r, err := http.NewRequest(method, d.url+path, strings.NewReader(body))
	if err != nil {
		d.t.Fatal(err)
	}
	for _, line := range headers {
		name, value, _ := strings.Cut(line, ": ")
		r.Header.Set(name, value)
	}
	w, err := http.DefaultTransport.RoundTrip(r)
	if err != nil {
		d.t.Fatal(err)
	}
	defer w.Body.Close()
	data, err := io.ReadAll(w.Body)
	if err != nil {
		d.t.Fatal(err)
	}
	s := said{status: w.StatusCode, header: w.Header, body: string(data)}
	json.Unmarshal(data, &s.m)
	return s
}

// want asks and fails on another status.
func (d *desk) want(status int, method, path, body string, headers ...string) said {
	d.t.Helper()
	s := d.ask(method, path, body, headers...)
	if s.status != status {
		d.t.Errorf("%s %s: %d, want %d: %.300s", method, path, s.status, status, s.body)
	}
	if status >= 400 && s.m["message"] == nil {
		d.t.Errorf("%s %s: a refusal that is not JSON with a message: %.300s", method, path, s.body)
	}
	return s
}

func (s said) text(name string) string { t, _ := s.m[name].(string); return t }

// TestRoutes holds every route to its status and to the names that clients
// look for.
func TestRoutes(t *testing.T) {
	d := rehearsed(t)
	kernel := d.want(201, "POST", "/api/kernels", `{}`).text("id")
	session := d.want(201, "POST", "/api/sessions", `{"path":"lesson.ipynb","type":"notebook","name":"","kernel":{"name":"tautline"}}`).text("id")
	for _, c := range []struct {
		status             int
		method, path, body string
		names              string // that the answer has
	}{
		{200, "GET", "/api", "", "version"},
		{200, "GET", "/api/status", "", "kernels connections started last_activity"},
		{200, "GET", "/api/me", "", "identity permissions"},
		{200, "GET", "/api/kernelspecs", "", "default kernelspecs"},
		{200, "GET", "/api/kernelspecs/tautline", "", "name resources spec"},
		{404, "GET", "/api/kernelspecs/other", "", ""},
		{200, "GET", "/api/kernels", "", ""},
		{200, "GET", "/api/kernels/" + kernel, "", "id name last_activity execution_state connections"},
		{404, "GET", "/api/kernels/none", "", ""},
		{404, "GET", "/api/kernels/none/channels", "", ""},
		{204, "POST", "/api/kernels/" + kernel + "/interrupt", "", ""},
		{404, "POST", "/api/kernels/none/interrupt", "", ""},
		{200, "POST", "/api/kernels/" + kernel + "/restart", "", "id name execution_state"},
		{404, "POST", "/api/kernels/none/restart", "", ""},
		{400, "POST", "/api/kernels", `{"name":"other"}`, ""},
		{400, "POST", "/api/kernels", `{`, ""},
		{200, "GET", "/api/sessions", "", ""},
		{200, "GET", "/api/sessions/" + session, "", "id path name type kernel notebook"},
		{404, "GET", "/api/sessions/none", "", ""},
		{400, "POST", "/api/sessions", `{}`, ""},
		{400, "POST", "/api/sessions", `{"path":"a.ipynb","kernel":{"name":"other"}}`, ""},
		{200, "PATCH", "/api/sessions/" + session, `{"path":"b/moved.ipynb"}`, "id path name kernel"},
		{404, "PATCH", "/api/sessions/none", `{}`, ""},
		{204, "DELETE", "/api/sessions/" + session, "", ""},
		{404, "DELETE", "/api/sessions/" + session, "", ""},
		{204, "DELETE", "/api/kernels/" + kernel, "", ""},
		{404, "DELETE", "/api/kernels/" + kernel, "", ""},
		{200, "GET", "/api/contents", "", "name path type writable created last_modified mimetype content format"},
		{200, "GET", "/api/contents/", "", "content"},
		{200, "GET", "/api/contents/lesson.ipynb", "", "name path type writable created last_modified size mimetype content format hash hash_algorithm"},
		{404, "GET", "/api/contents/none.ipynb", "", ""},
		{400, "GET", "/api/contents/lesson.ipynb?type=directory", "", ""},
		{200, "GET", "/api/contents/lesson.ipynb/checkpoints", "", ""},
		{404, "POST", "/api/contents/lesson.ipynb/checkpoints/checkpoint", "", ""},
		{404, "DELETE", "/api/contents/lesson.ipynb/checkpoints/other", "", ""},
		{200, "GET", "/tautline/start", "", "version folder drafts caution"},
		{404, "POST", "/tautline/undelete", `{"undo":"none"}`, ""},
		{404, "POST", "/tautline/undelete", `{"undo":"../../etc"}`, ""},
		{404, "GET", "/tautline/drafts/lesson.ipynb", "", ""},
		{204, "DELETE", "/tautline/drafts/lesson.ipynb", "", ""},
		{200, "GET", "/tautline/original/lesson.ipynb", "", "content hash"},
		{404, "GET", "/tautline/original/none.ipynb", "", ""},
		{200, "POST", "/tautline/names", `{"cells":["a := 3*N","b := a"]}`, "cells"},
		{200, "POST", "/tautline/page", `{"name":"a","content":` + lesson + `}`, "html"},
		{400, "POST", "/tautline/page", `{"name":"a","content":[]}`, ""},
		{404, "GET", "/api/terminals", "", ""},
		{404, "GET", "/api/nbconvert", "", ""},
	} {
		s := d.want(c.status, c.method, c.path, c.body)
		for _, name := range strings.Fields(c.names) {
			if _, ok := s.m[name]; !ok {
				t.Errorf("%s %s: no %s in %.300s", c.method, c.path, name, s.body)
			}
		}
	}
	if s := d.ask("GET", "/kernelspecs/tautline/logo-svg.svg", ""); s.status != 200 || s.header.Get("Content-Type") != "image/svg+xml" {
		t.Errorf("the logo: %d %q", s.status, s.header.Get("Content-Type"))
	}
	if s := d.ask("GET", "/kernelspecs/tautline/none.svg", ""); s.status != 404 {
		t.Errorf("no logo: %d", s.status)
	}
}

func notebookBody(source string) string {
	return `{"type":"notebook","format":"json","content":{"cells":[{"cell_type":"code","id":"a","metadata":{},"outputs":[],"execution_count":null,"source":["` +
		source + `"]}],"metadata":{"other":{"kept":true}},"nbformat":4,"nbformat_minor":5}}`
}

func TestTheFirstSaveOfALessonMakesACopy(t *testing.T) {
	d := rehearsed(t)
	if s := d.want(200, "GET", "/api/contents/lesson.ipynb", ""); s.m["built_in"] != true {
		t.Error("a lesson is not told from a file")
	} else {
		d.want(200, "PUT", "/api/contents/lesson.ipynb", notebookBody("a"), "If-Match: "+s.text("hash"))
	}
	if _, err := os.Stat(filepath.Join(d.folder, "lesson.ipynb")); err != nil {
		t.Error(err)
	}
	if s := d.want(200, "GET", "/tautline/original/lesson.ipynb", ""); !strings.Contains(s.body, "First look") {
		t.Error("the original is lost")
	}
}

func TestNothingIsOverwrittenUnseen(t *testing.T) {
	d := rehearsed(t)
	first := d.want(201, "PUT", "/api/contents/a.ipynb", notebookBody("one"), "If-None-Match: *")
	d.want(409, "PUT", "/api/contents/a.ipynb", notebookBody("other"), "If-None-Match: *")
	second := d.want(200, "PUT", "/api/contents/a.ipynb", notebookBody("two"), `If-Match: "`+first.text("hash")+`"`)
	if s := d.want(409, "PUT", "/api/contents/a.ipynb", notebookBody("three"), "If-Match: "+first.text("hash")); s.text("reason") != "conflict" {
		t.Errorf("a page is not told why: %s", s.body)
	}
	os.WriteFile(filepath.Join(d.folder, "a.ipynb"), []byte(lesson), 0o644) // by another program
	d.want(409, "PUT", "/api/contents/a.ipynb", notebookBody("four"), "If-Match: "+second.text("hash"))
	if s := d.want(200, "GET", "/api/contents/a.ipynb", ""); !strings.Contains(s.body, "First look") {
		t.Error("the other program's change is lost")
	}
	d.want(200, "PUT", "/api/contents/a.ipynb", notebookBody("five")) // clients that look at the time themselves
	if s := d.want(200, "GET", "/api/contents/a.ipynb", ""); !strings.Contains(s.body, `"kept":true`) && !strings.Contains(s.body, `"kept": true`) {
		t.Error("what other programs wrote into the notebook is lost")
	}
	for what, body := range map[string]string{"no notebook": `{"type":"notebook","content":[]}`, "a folder": `{"type":"directory"}`, "no JSON": `{"type"`} {
		if s := d.ask("PUT", "/api/contents/a.ipynb", body); s.status != 400 {
			t.Errorf("%s: %d %s", what, s.status, s.body)
		}
	}
}

func TestFilesComeGoAndComeBack(t *testing.T) {
	d := rehearsed(t)
	p := d.want(201, "POST", "/api/contents", `{"type":"notebook"}`).text("path")
	if again := d.want(201, "POST", "/api/contents", `{}`).text("path"); p != "untitled.ipynb" || again != "untitled 2.ipynb" {
		t.Errorf("new notebooks: %q, %q", p, again)
	}
	if f := d.want(201, "POST", "/api/contents", `{"type":"directory"}`).text("path"); f != "new folder" {
		t.Errorf("a new folder: %q", f)
	}
	if f := d.want(201, "POST", "/api/contents/new%20folder", `{"type":"file","ext":"csv"}`).text("path"); f != "new folder/untitled.csv" {
		t.Errorf("a new file: %q", f)
	}
	d.want(200, "PATCH", "/api/contents/untitled.ipynb", `{"path":"new folder/fit.ipynb"}`)
	d.want(409, "PATCH", "/api/contents/untitled%202.ipynb", `{"path":"new folder/fit.ipynb"}`)
	d.want(400, "PATCH", "/api/contents/untitled%202.ipynb", `{"path":"program.exe"}`)
	if c := d.want(201, "POST", "/api/contents/new%20folder", `{"copy_from":"new folder/fit.ipynb"}`).text("path"); c != "new folder/fit copy.ipynb" {
		t.Errorf("a copy: %q", c)
	}
	undo := d.want(204, "DELETE", "/api/contents/new%20folder/fit.ipynb", "").header.Get("Tautline-Undo")
	d.want(404, "GET", "/api/contents/new%20folder/fit.ipynb", "")
	if b := d.want(200, "POST", "/tautline/undelete", `{"undo":"`+undo+`"}`).text("path"); b != "new folder/fit.ipynb" {
		t.Errorf("brought back: %q", b)
	}
	d.want(404, "POST", "/tautline/undelete", `{"undo":"`+undo+`"}`)
	d.want(403, "DELETE", "/api/contents/new%20folder", "")
	d.want(403, "DELETE", "/api/contents/lesson.ipynb", "")
}

func TestCheckpointsAndDraftsAreKept(t *testing.T) {
	d := rehearsed(t)
	saved := d.want(201, "PUT", "/api/contents/a.ipynb", notebookBody("one"))
	if id := d.want(201, "POST", "/api/contents/a.ipynb/checkpoints", "").text("id"); id != checkpointName {
		t.Errorf("checkpoint %q", id)
	}
	d.want(200, "PUT", "/api/contents/a.ipynb", notebookBody("two"))
	d.want(204, "POST", "/api/contents/a.ipynb/checkpoints/checkpoint", "")
	if s := d.want(200, "GET", "/api/contents/a.ipynb", ""); !strings.Contains(s.body, "one") || s.text("hash") != saved.text("hash") {
		t.Errorf("restored: %s", s.body)
	}
	d.want(204, "DELETE", "/api/contents/a.ipynb/checkpoints/checkpoint", "")
	if s := d.want(200, "GET", "/api/contents/a.ipynb/checkpoints", ""); strings.TrimSpace(s.body) != "[]" {
		t.Errorf("checkpoints after deleting: %s", s.body)
	}
	draft := strings.Replace(notebookBody("unsaved"), `"type":"notebook","format":"json"`, `"match":"`+saved.text("hash")+`"`, 1)
	d.want(204, "PUT", "/tautline/drafts/a.ipynb", draft)
	if s := d.want(200, "GET", "/tautline/drafts/a.ipynb", ""); !strings.Contains(s.body, "unsaved") || s.text("match") != saved.text("hash") {
		t.Errorf("draft: %s", s.body)
	}
	if s := d.want(200, "GET", "/tautline/start", ""); !strings.Contains(s.body, `"drafts":["a.ipynb"]`) {
		t.Errorf("the page is not told of it: %s", s.body)
	}
	d.want(200, "PUT", "/api/contents/a.ipynb", notebookBody("unsaved"))
	d.want(404, "GET", "/tautline/drafts/a.ipynb", "")
}

func TestListsShowTitles(t *testing.T) {
	d := rehearsed(t)
	file := filepath.Join(d.folder, "a.ipynb")
	os.WriteFile(file, []byte(strings.Replace(lesson, "First look", "Second look", 1)), 0o644)
	os.WriteFile(filepath.Join(d.folder, "broken.ipynb"), []byte("{"), 0o644)
	os.WriteFile(filepath.Join(d.folder, "large.ipynb"), append([]byte(lesson), bytes.Repeat([]byte(" "), titledSize)...), 0o644)
	titles := func() map[string]any {
		all := map[string]any{}
		for _, e := range d.want(200, "GET", "/api/contents", "").m["content"].([]any) {
			m := e.(map[string]any)
			all[m["name"].(string)] = m["title"]
		}
		return all
	}
	all := titles()
	if all["a.ipynb"] != "Second look" || all["lesson.ipynb"] != "First look" || all["broken.ipynb"] != nil || all["large.ipynb"] != nil {
		t.Errorf("titles %v", all)
	}
	os.WriteFile(file, []byte(strings.Replace(lesson, "First look", "Another look", 1)), 0o644)
	if all = titles(); all["a.ipynb"] != "Another look" {
		t.Errorf("after a change: %v", all)
	}
}

func TestFilesOfSeveralKindsAreGiven(t *testing.T) {
	d := rehearsed(t)
	os.WriteFile(filepath.Join(d.folder, "a.csv"), []byte("x,y\n"), 0o644)
	os.WriteFile(filepath.Join(d.folder, "p.png"), []byte{0x89, 'P', 0xff}, 0o644)
	if s := d.want(200, "GET", "/api/contents/a.csv", ""); s.text("content") != "x,y\n" || s.text("format") != "text" {
		t.Error(s.body)
	}
	if s := d.want(200, "GET", "/api/contents/p.png", ""); s.text("content") != "iVD/" || s.text("format") != "base64" {
		t.Error(s.body)
	}
	d.want(400, "GET", "/api/contents/p.png?format=text", "")
	d.want(400, "GET", "/api/contents/a.csv?type=notebook", "")
	if s := d.want(200, "GET", "/api/contents/a.csv?content=0&hash=1", ""); s.m["content"] != nil || len(s.text("hash")) != 64 {
		t.Error(s.body)
	}
	if s := d.want(200, "GET", "/api/contents/lesson.ipynb?type=file", ""); s.text("content") != lesson {
		t.Error(s.body)
	}
	d.want(201, "PUT", "/api/contents/b.txt", `{"type":"file","format":"base64","content":"eHk="}`)
	if data, _ := os.ReadFile(filepath.Join(d.folder, "b.txt")); string(data) != "xy" {
		t.Errorf("from base64: %q", data)
	}
	d.want(400, "PUT", "/api/contents/b.txt", `{"type":"file","format":"base64","content":"?"}`)
	d.want(400, "PUT", "/api/contents/b.txt", `{"type":"file","content":3}`)
	if s := d.ask("GET", "/files/a.csv", ""); s.body != "x,y\n" || !strings.HasPrefix(s.header.Get("Content-Disposition"), "attachment") {
		t.Errorf("download: %v", s)
	}
	d.want(404, "GET", "/files/none.csv", "")
}

func TestNamesOfCells(t *testing.T) {
	d := rehearsed(t)
	s := d.want(200, "POST", "/tautline/names", `{"cells":["a := 3","b := a + 1","broken ("]}`)
	var got struct {
		Cells []struct{ Gives, Uses []string }
	}
	if json.Unmarshal([]byte(s.body), &got); len(got.Cells) != 3 || got.Cells[0].Gives[0] != "a" || got.Cells[1].Uses[0] != "a" {
		t.Errorf("%s", s.body)
	}
	d.want(413, "POST", "/tautline/names", `{"cells":[""`+strings.Repeat(`,""`, 10_000)+`]}`)
}

// A body that does not say how long it is ends where the limit is.
func TestABodyEndsAtTheLimit(t *testing.T) {
	h := handler(func(r *http.Request) (answer, error) {
		var any map[string]any
		return done, read(r, &any)
	}, 1000)
	for what, c := range map[string]struct {
		body   io.Reader
		length int64
		want   int
	}{
		"within":   {strings.NewReader(strings.Repeat(" ", 900) + "{}"), -1, 204},
		"beyond":   {strings.NewReader(strings.Repeat(" ", 2000) + "{}"), -1, 413},
		"declared": {strings.NewReader("{}"), 2000, 413},
	} {
		r, w := httptest.NewRequest("PUT", "/", c.body), httptest.NewRecorder()
		r.ContentLength = c.length
		h.ServeHTTP(w, r)
		if w.Code != c.want {
			t.Errorf("%s: %d %s", what, w.Code, w.Body)
		}
	}
}
