package page

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/coder/websocket"

	"tautline/kernel/jupyter"
	"tautline/kernel/page/door"
	"tautline/kernel/page/shelf"
	"tautline/kernel/page/wire"
	"tautline/kernel/worker"
)

// An echo runs cells by printing them; "loop" runs until it is interrupted.
type echo struct{ stop chan struct{} }

func (e *echo) Execute(ctx context.Context, r worker.Request, out worker.Output) worker.Outcome {
	if r.Code == "loop" {
		select {
		case <-e.stop:
		case <-ctx.Done():
		}
		return worker.Outcome{Err: &worker.Failure{Name: "interrupted", Value: "stopped"}}
	}
	out.Stream("stdout", r.Code+"\n")
	return worker.Outcome{}
}
func (e *echo) Complete(context.Context, string, int) (worker.Completion, error) {
	return worker.Completion{Matches: []string{"Mask"}}, nil
}
func (e *echo) Inspect(context.Context, string, int, int) (worker.Inspection, error) {
	return worker.Inspection{}, nil
}
func (e *echo) IsComplete(context.Context, string) (worker.Completeness, error) {
	return worker.Completeness{Status: "complete"}, nil
}
func (e *echo) Comm(context.Context, worker.Comm, worker.Output) error { return nil }
func (e *echo) Comms() map[string]string                              { return nil }
func (e *echo) Interrupt() {
	select {
	case e.stop <- struct{}{}:
	default:
	}
}
func (e *echo) Restart(context.Context) error { return nil }
func (e *echo) Close() error                  { return nil }

func echoKernel(string) jupyter.Options {
	return jupyter.Options{Start: func(context.Context) (worker.Runner, error) { return &echo{make(chan struct{}, 1)}, nil }}
}

const tiny = `{"cells":[],"metadata":{},"nbformat":4,"nbformat_minor":5}`

// A site is a served folder with a browser that came in.
type site struct {
	t      *testing.T
	s      *Server
	dir    string
	cookie string
}

func serve(t *testing.T) *site {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "a.ipynb"), []byte(tiny), 0o644); err != nil {
		t.Fatal(err)
	}
	return serveFolder(t, dir, t.TempDir())
}

func serveFolder(t *testing.T, dir, own string) *site {
	t.Helper()
	base := fstest.MapFS{"01-lesson.ipynb": {Data: []byte(tiny)}}
	sh, err := shelf.Open(dir, own, base)
	if err != nil {
		t.Fatal(err)
	}
	l, err := Listen("127.0.0.1", 0)
	if err != nil {
		t.Fatal(err)
	}
	s, err := Start(t.Context(), l, Options{Shelf: sh, Memory: door.Remember(filepath.Join(own, "door.json")), Kernel: echoKernel,
		Folder: Beside(sh, ""), BuiltIn: true, Version: "test", Caution: "Look first."})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	x := &site{t: t, s: s, dir: dir}
	w := x.ask("GET", strings.TrimPrefix(s.Link(), s.Address()), nil)
	c := w.Cookies()
	if len(c) != 1 {
		t.Fatalf("no cookie: %d", w.StatusCode)
	}
	x.cookie = c[0].Name + "=" + c[0].Value
	return x
}

var plainClient = &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }, Timeout: 20 * time.Second}

// ask sends a request with headers as "Name: value"; Host and Cookie count too.
func (x *site) ask(method, path string, body any, headers ...string) *http.Response {
	x.t.Helper()
	var b io.Reader
	switch v := body.(type) {
	case nil:
	case string:
		b = strings.NewReader(v)
	default:
		data, _ := json.Marshal(v)
		b = bytes.NewReader(data)
	}
	r, err := http.NewRequestWithContext(x.t.Context(), method, x.s.Address()+path, b)
	if err != nil {
		x.t.Fatal(err)
	}
	if x.cookie != "" {
		r.Header.Set("Cookie", x.cookie)
	}
	for _, h := range headers {
		name, value, _ := strings.Cut(h, ": ")
		if name == "Host" {
			r.Host = value
			continue
		}
		r.Header.Set(name, value)
	}
	w, err := plainClient.Do(r)
	if err != nil {
		x.t.Fatalf("%s %s: %v", method, path, err)
	}
	x.t.Cleanup(func() { w.Body.Close() })
	return w
}

// get asks and reads JSON; the status must be the one wanted.
func (x *site) get(want int, method, path string, body any, headers ...string) map[string]any {
	x.t.Helper()
	w := x.ask(method, path, body, headers...)
	data, _ := io.ReadAll(w.Body)
	if w.StatusCode != want {
		x.t.Fatalf("%s %s: %d, want %d: %s", method, path, w.StatusCode, want, data)
	}
	m := map[string]any{}
	if len(data) > 0 && data[0] == '{' {
		if err := json.Unmarshal(data, &m); err != nil {
			x.t.Fatalf("%s %s: %v", method, path, err)
		}
	}
	return m
}

func upload(source string) map[string]any {
	return map[string]any{"type": "notebook", "format": "json", "content": map[string]any{"nbformat": 4, "nbformat_minor": 5,
		"metadata": map[string]any{}, "cells": []any{map[string]any{"cell_type": "markdown", "id": "m", "metadata": map[string]any{}, "source": source}}}}
}

func TestFilesOverTheAPI(t *testing.T) {
	x := serve(t)
	root := x.get(200, "GET", "/api/contents", nil)
	if n := len(root["content"].([]any)); n != 2 {
		t.Fatalf("%d entries", n)
	}
	f := x.get(200, "GET", "/api/contents/a.ipynb?type=notebook", nil)
	hash := f["hash"].(string)
	saved := x.get(200, "PUT", "/api/contents/a.ipynb", upload("one"), "If-Match: "+hash)
	x.get(409, "PUT", "/api/contents/a.ipynb", upload("two"), "If-Match: "+hash)
	if r := x.get(409, "PUT", "/api/contents/a.ipynb", upload("two"), "If-Match: "+hash); r["reason"] != "conflict" {
		t.Errorf("a conflict says %v", r)
	}
	x.get(200, "PUT", "/api/contents/a.ipynb", upload("three"), "If-Match: "+saved["hash"].(string))
	x.get(409, "PUT", "/api/contents/a.ipynb", upload("x"), "If-None-Match: *")
	x.get(201, "PUT", "/api/contents/new.ipynb", upload("x"), "If-None-Match: *")
	x.get(400, "PUT", "/api/contents/a.ipynb", map[string]any{"type": "notebook", "content": "no notebook"})
	if e := x.get(201, "POST", "/api/contents", nil); e["name"] != "untitled.ipynb" {
		t.Errorf("new: %v", e["name"])
	}
	if e := x.get(201, "POST", "/api/contents", map[string]any{"copy_from": "a.ipynb"}); e["name"] != "a copy.ipynb" {
		t.Errorf("copy: %v", e["name"])
	}
	x.get(200, "PATCH", "/api/contents/a.ipynb", map[string]any{"path": "b.ipynb"})
	w := x.ask("DELETE", "/api/contents/b.ipynb", nil)
	if w.StatusCode != 204 || w.Header.Get("Tautline-Undo") == "" {
		t.Fatalf("delete: %d", w.StatusCode)
	}
	x.get(404, "GET", "/api/contents/b.ipynb", nil)
	if e := x.get(200, "POST", "/tautline/undelete", map[string]any{"undo": w.Header.Get("Tautline-Undo")}); e["path"] != "b.ipynb" {
		t.Errorf("undelete: %v", e)
	}
	x.get(201, "POST", "/api/contents/b.ipynb/checkpoints", nil)
	x.get(200, "PUT", "/api/contents/b.ipynb", upload("later"))
	x.get(204, "POST", "/api/contents/b.ipynb/checkpoints/checkpoint", nil)
	if f := x.get(200, "GET", "/api/contents/b.ipynb", nil); !strings.Contains(fmt.Sprint(f["content"]), "three") {
		t.Errorf("the checkpoint gives %v", f["content"])
	}
	x.get(204, "DELETE", "/api/contents/b.ipynb/checkpoints/checkpoint", nil)
	x.get(404, "POST", "/api/contents/b.ipynb/checkpoints/checkpoint", nil)
}

func TestDraftsLessonsAndNames(t *testing.T) {
	x := serve(t)
	x.get(404, "GET", "/tautline/drafts/a.ipynb", nil)
	x.get(204, "PUT", "/tautline/drafts/a.ipynb", map[string]any{"content": upload("typed")["content"], "match": "h"})
	if d := x.get(200, "GET", "/tautline/drafts/a.ipynb", nil); d["match"] != "h" || !strings.Contains(fmt.Sprint(d["content"]), "typed") {
		t.Errorf("draft %v", d)
	}
	if s := x.get(200, "GET", "/tautline/start", nil); fmt.Sprint(s["drafts"]) != "[a.ipynb]" || s["caution"] != "Look first." {
		t.Errorf("start %v", s)
	}
	x.get(204, "DELETE", "/tautline/drafts/a.ipynb", nil)
	x.get(404, "GET", "/tautline/drafts/a.ipynb", nil)

	l := x.get(200, "GET", "/api/contents/01-lesson.ipynb", nil)
	x.get(200, "PUT", "/api/contents/01-lesson.ipynb", upload("mine"), "If-Match: "+l["hash"].(string))
	if _, err := os.Stat(filepath.Join(x.dir, "01-lesson.ipynb")); err != nil {
		t.Errorf("the first edit made no copy: %v", err)
	}
	x.get(200, "GET", "/tautline/original/01-lesson.ipynb", nil)
	x.get(404, "GET", "/tautline/original/a.ipynb", nil)
	n := x.get(200, "POST", "/tautline/names", map[string]any{"cells": []string{"a := 1", "a + 1"}})
	if got := fmt.Sprint(n["cells"]); got != "[map[gives:[a] uses:[]] map[gives:[] uses:[a]]]" {
		t.Errorf("names %s", got)
	}
	if p := x.get(200, "POST", "/tautline/page", map[string]any{"name": "x.ipynb", "content": upload("# Hello")["content"]}); !strings.Contains(fmt.Sprint(p["html"]), "Hello") {
		t.Error("the page of a notebook lacks its text")
	}
}

// A line is a websocket to a kernel.
type line struct {
	t        *testing.T
	c        *websocket.Conn
	protocol string
}

func (x *site) dial(kernel, protocol string) *line {
	x.t.Helper()
	o := &websocket.DialOptions{HTTPHeader: http.Header{"Cookie": {x.cookie}}}
	if protocol != "" {
		o.Subprotocols = []string{protocol}
	}
	c, _, err := websocket.Dial(x.t.Context(), strings.Replace(x.s.Address(), "http", "ws", 1)+"/api/kernels/"+kernel+"/channels", o)
	if err != nil {
		x.t.Fatal(err)
	}
	c.SetReadLimit(wire.MaxMessage)
	x.t.Cleanup(func() { c.CloseNow() })
	return &line{x.t, c, c.Subprotocol()}
}

func (l *line) send(channel, kind, content string) {
	l.t.Helper()
	head := fmt.Sprintf(`{"msg_id":"m.%s","msg_type":%q,"session":"s","username":"u","version":"5.4"}`, kind, kind)
	p, err := wire.Pack(l.protocol, channel, jupyter.Letter{Header: json.RawMessage(head), Parent: json.RawMessage("{}"), Metadata: json.RawMessage("{}"), Content: json.RawMessage(content)})
	if err != nil {
		l.t.Fatal(err)
	}
	kinds := map[bool]websocket.MessageType{true: websocket.MessageText, false: websocket.MessageBinary}
	if err := l.c.Write(l.t.Context(), kinds[p.Text], p.Data); err != nil {
		l.t.Fatal(err)
	}
}

// wait reads until a message of a kind whose content holds a text.
func (l *line) wait(kind, text string) {
	l.t.Helper()
	ctx, cancel := context.WithTimeout(l.t.Context(), 20*time.Second)
	defer cancel()
	for {
		k, data, err := l.c.Read(ctx)
		if err != nil {
			l.t.Fatalf("waiting for %s %q: %v", kind, text, err)
		}
		_, m, err := wire.Unpack(l.protocol, wire.Packet{Text: k == websocket.MessageText, Data: data})
		if err != nil {
			l.t.Fatal(err)
		}
		if strings.Contains(string(m.Header), `"`+kind+`"`) && strings.Contains(string(m.Content), text) {
			return
		}
	}
}

func (x *site) session(path string) (id, kernel string) {
	x.t.Helper()
	s := x.get(201, "POST", "/api/sessions", map[string]any{"path": path, "type": "notebook", "kernel": map[string]any{"name": "tautline"}})
	return s["id"].(string), s["kernel"].(map[string]any)["id"].(string)
}

func TestAKernelByBothProtocols(t *testing.T) {
	x := serve(t)
	_, k := x.session("a.ipynb")
	if _, again := x.session("a.ipynb"); again != k {
		t.Error("two pages on one notebook have two kernels")
	}
	one, two := x.dial(k, wire.V1), x.dial(k, "")
	one.send("shell", "execute_request", `{"code":"hello"}`)
	one.wait("stream", "hello")
	two.wait("stream", "hello")
	two.send("control", "kernel_info_request", `{}`)
	two.wait("kernel_info_reply", "tautline")
}

func TestInterruptRestartEnd(t *testing.T) {
	x := serve(t)
	id, k := x.session("a.ipynb")
	l := x.dial(k, wire.V1)
	l.send("shell", "execute_request", `{"code":"loop"}`)
	l.wait("execute_input", "loop")
	x.get(204, "POST", "/api/kernels/"+k+"/interrupt", nil)
	l.wait("execute_reply", "stopped")
	x.get(200, "POST", "/api/kernels/"+k+"/restart", nil)
	l.wait("status", "restarting")
	l.send("shell", "execute_request", `{"code":"after"}`)
	l.wait("stream", "after")
	x.get(204, "DELETE", "/api/sessions/"+id, nil)
	l.wait("status", "dead")
	x.get(404, "GET", "/api/kernels/"+k, nil)
}

// What a kernel says while nobody listens is heard by whoever comes next.
func TestWhatWasMissedIsHeardLater(t *testing.T) {
	x := serve(t)
	_, k := x.session("a.ipynb")
	l := x.dial(k, wire.V1)
	l.send("shell", "execute_request", `{"code":"loop"}`)
	l.wait("execute_input", "loop")
	l.c.CloseNow()
	for i := 0; i < 200; i++ {
		if m := x.get(200, "GET", "/api/kernels/"+k, nil); m["connections"] == 0.0 {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	x.get(204, "POST", "/api/kernels/"+k+"/interrupt", nil)
	x.dial(k, wire.V1).wait("error", "stopped")
}

// An open event stream hears of saves, and of the end, and does not hold it up.
func TestPagesAreAskedToSave(t *testing.T) {
	x := serve(t)
	w := x.ask("GET", "/tautline/events", nil)
	heard := make(chan string, 10)
	go func() {
		buffer := make([]byte, 4096)
		for {
			n, err := w.Body.Read(buffer)
			heard <- string(buffer[:n])
			if err != nil {
				return
			}
		}
	}()
	expect := func(text string) {
		t.Helper()
		for end := time.After(10 * time.Second); ; {
			select {
			case s := <-heard:
				if strings.Contains(s, text) {
					return
				}
			case <-end:
				t.Fatalf("%s was not heard", text)
			}
		}
	}
	expect("event: here")
	x.get(200, "PUT", "/api/contents/a.ipynb", upload("x"))
	expect("event: saved")
	ended := make(chan error, 1)
	go func() { ended <- x.s.Close() }()
	expect("event: closing")
	select {
	case <-ended:
	case <-time.After(15 * time.Second):
		t.Fatal("an open page keeps the server from ending")
	}
}

// A page finds the server of before at its place, and need not show a code.
func TestThePortOfLastTime(t *testing.T) {
	l, err := Listen("127.0.0.1", 0)
	if err != nil {
		t.Fatal(err)
	}
	var port int
	fmt.Sscanf(l.Addr().String(), "127.0.0.1:%d", &port)
	taken, err := Listen("127.0.0.1", port)
	if err != nil || taken.Addr().String() == l.Addr().String() {
		t.Fatalf("a taken port: %v, %v", taken, err)
	}
	taken.Close()
	l.Close()
	again, err := Listen("127.0.0.1", port)
	if err != nil || again.Addr().String() != l.Addr().String() {
		t.Errorf("the port of last time: %v, %v", again, err)
	}
	again.Close()
}
