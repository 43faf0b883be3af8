package api

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/coder/websocket"

	"tautline/kernel/jupyter"
	"tautline/kernel/page/wire"
	"tautline/kernel/worker"
)

// A phone is a front end's end of a socket.
type phone struct {
	t   *testing.T
	c   *websocket.Conn
	ctx context.Context
}

func (d *desk) call(kernel string, protocols ...string) *phone {
	d.t.Helper()
	ctx, cancel := context.WithTimeout(d.t.Context(), 60*time.Second)
	c, _, err := websocket.Dial(ctx, "ws"+strings.TrimPrefix(d.url, "http")+"/api/kernels/"+kernel+"/channels?session_id=s&page=1",
		&websocket.DialOptions{Subprotocols: protocols})
	if err != nil {
		d.t.Fatal(err)
	}
	c.SetReadLimit(-1)
	d.t.Cleanup(func() { c.CloseNow(); cancel() })
	return &phone{d.t, c, ctx}
}

func (p *phone) say(channel, kind, content string) {
	p.t.Helper()
	l := jupyter.Letter{Header: json.RawMessage(`{"msg_id":"` + kind + `","msg_type":"` + kind + `","session":"s","username":"","version":"5.3"}`),
		Parent: json.RawMessage("{}"), Metadata: json.RawMessage("{}"), Content: json.RawMessage(content)}
	packet, err := wire.Pack(p.c.Subprotocol(), channel, l)
	if err != nil {
		p.t.Fatal(err)
	}
	p.send(packet.Text, packet.Data)
}

func (p *phone) send(text bool, data []byte) {
	p.t.Helper()
	kind := websocket.MessageBinary
	if text {
		kind = websocket.MessageText
	}
	if err := p.c.Write(p.ctx, kind, data); err != nil {
		p.t.Fatal(err)
	}
}

// hear waits for a message of a kind that holds a text.
func (p *phone) hear(channel, kind, text string) string {
	p.t.Helper()
	for {
		binary, data, err := p.c.Read(p.ctx)
		if err != nil {
			p.t.Fatalf("waiting for %s with %q: %v", kind, text, err)
		}
		ch, l, err := wire.Unpack(p.c.Subprotocol(), wire.Packet{Text: binary == websocket.MessageText, Data: data})
		if err != nil {
			p.t.Fatal(err)
		}
		if ch == channel && strings.Contains(string(l.Header), `"`+kind+`"`) && strings.Contains(string(l.Content), text) {
			return string(l.Content)
		}
	}
}

// ended waits for the server to hang up, and tells why.
func (p *phone) ended() websocket.StatusCode {
	for {
		if _, _, err := p.c.Read(p.ctx); err != nil {
			return websocket.CloseStatus(err)
		}
	}
}

func (d *desk) startKernel() string {
	d.t.Helper()
	return d.want(201, "POST", "/api/kernels", "{}").text("id")
}

// TestARealKernelInBothProtocols runs cells of Go.
func TestARealKernelInBothProtocols(t *testing.T) {
	d := newDesk(t, jupyter.Options{Start: func(ctx context.Context) (worker.Runner, error) {
		return worker.Start(ctx, worker.Options{})
	}})
	kernel := d.startKernel()
	for n, protocols := range [][]string{{wire.V1}, nil} {
		p := d.call(kernel, protocols...)
		if want := strings.Join(protocols, ""); p.c.Subprotocol() != want {
			t.Fatalf("protocol %q, want %q", p.c.Subprotocol(), want)
		}
		p.say(jupyter.Shell, "kernel_info_request", "{}")
		p.hear(jupyter.Shell, "kernel_info_reply", `"ok"`)
		p.say(jupyter.Shell, "execute_request", fmt.Sprintf(`{"code":"3*N + %d*N"}`, n))
		p.hear(jupyter.IOPub, "status", "busy")
		p.hear(jupyter.IOPub, "execute_result", fmt.Sprintf("%d N", 3+n))
		p.hear(jupyter.Shell, "execute_reply", `"ok"`)
		p.say(jupyter.Shell, "execute_request", `{"code":"import \"fmt\"\nfmt.Println(\"at it\")\nfor { }"}`)
		p.hear(jupyter.IOPub, "stream", "at it")
		d.want(204, "POST", "/api/kernels/"+kernel+"/interrupt", "")
		p.hear(jupyter.Shell, "execute_reply", "Interrupted")
		p.c.CloseNow()
	}
}

func TestASocketOutlivesARestartAndHearsTheEnd(t *testing.T) {
	d := rehearsed(t)
	kernel := d.startKernel()
	p := d.call(kernel, wire.V1)
	p.say(jupyter.Shell, "execute_request", `{"code":"print one"}`)
	p.hear(jupyter.IOPub, "stream", "one")
	d.want(200, "POST", "/api/kernels/"+kernel+"/restart", "")
	p.hear(jupyter.IOPub, "status", "restarting")
	p.say(jupyter.Shell, "execute_request", `{"code":"print two"}`)
	p.hear(jupyter.IOPub, "stream", "two")
	d.want(204, "DELETE", "/api/kernels/"+kernel, "")
	p.hear(jupyter.IOPub, "status", "dead")
}

func TestASocketThatComesBackHearsWhatWasSaid(t *testing.T) {
	d := rehearsed(t)
	kernel := d.startKernel()
	p := d.call(kernel, wire.V1)
	p.say(jupyter.Shell, "execute_request", `{"code":"print early\nloop\n"}`)
	p.hear(jupyter.IOPub, "stream", "early")
	p.c.Close(websocket.StatusNormalClosure, "asleep")
	k, _ := d.house.Kernel(kernel)
	for k.Listeners() > 0 {
		time.Sleep(time.Millisecond)
	}
	d.want(204, "POST", "/api/kernels/"+kernel+"/interrupt", "")
	d.call(kernel, wire.V1).hear(jupyter.IOPub, "error", "interrupted")
}

func TestAnEndThatDoesNotReadIsLetGo(t *testing.T) {
	s := &socket{protocol: wire.V1, filled: make(chan struct{}, 1)}
	l := jupyter.Letter{Header: json.RawMessage("{}"), Content: json.RawMessage(`"` + strings.Repeat("x", 1<<20) + `"`)}
	for range unreadBytes>>20 + 10 {
		s.Hear(jupyter.IOPub, l)
	}
	if all, full := s.take(); !full || len(all) != 0 {
		t.Errorf("%d messages wait, full %v", len(all), full)
	}
	few := &socket{protocol: wire.V1, filled: make(chan struct{}, 1)}
	for range mostUnread + 1 {
		few.Hear(jupyter.IOPub, jupyter.Letter{Header: json.RawMessage("{}")})
	}
	if _, full := few.take(); !full {
		t.Error("small messages pile up")
	}
	d := rehearsed(t)
	kernel := d.startKernel()
	deaf, other := d.call(kernel, wire.V1), d.call(kernel, wire.V1)
	other.say(jupyter.Shell, "execute_request", `{"code":"`+strings.Repeat(`bytes 8000000\n`, unreadBytes/8_000_000+4)+`"}`)
	other.hear(jupyter.Shell, "execute_reply", `"ok"`) // the others are not held up
	if code := deaf.ended(); code != websocket.StatusTryAgainLater {
		t.Errorf("let go with %d", code)
	}
}

func TestNonsenseOnASocket(t *testing.T) {
	d := rehearsed(t)
	kernel := d.startKernel()
	p := d.call(kernel, wire.V1)
	for _, odd := range []string{"", "{}", strings.Repeat("\xff", 64), "\x06\x00\x00\x00\x00\x00\x00\x00", `{"channel":"shell"}`} {
		p.send(false, []byte(odd))
		p.send(true, []byte(strings.ToValidUTF8(odd, "?")))
	}
	p.say("nowhere", "kernel_info_request", "{}")
	p.say(jupyter.Shell, "kernel_info_request", "{}") // still served
	p.hear(jupyter.Shell, "kernel_info_reply", "")
	for range 100 {
		p.c.Write(p.ctx, websocket.MessageText, []byte("?"))
	}
	if code := p.ended(); code != websocket.StatusPolicyViolation {
		t.Errorf("let go with %d", code)
	}
	long := d.call(kernel, wire.V1)
	go long.c.Write(long.ctx, websocket.MessageBinary, make([]byte, wire.MaxMessage+1))
	if code := long.ended(); code != websocket.StatusMessageTooBig {
		t.Errorf("too long a message: let go with %d", code)
	}
}

// TestPagesAreToldWhatHappens reads the events of a page.
func TestPagesAreToldWhatHappens(t *testing.T) {
	d := rehearsed(t)
	r, err := http.Get(d.url + "/tautline/events")
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	lines := bufio.NewScanner(r.Body)
	next := func(kind string) (data string) {
		t.Helper()
		for lines.Scan() && lines.Text() != "event: "+kind {
		}
		if !lines.Scan() {
			t.Fatalf("no %s", kind)
		}
		return lines.Text()
	}
	next("here")
	d.want(201, "PUT", "/api/contents/a.ipynb", notebookBody("x"), "Tautline-Page: me")
	if s := next("saved"); !strings.Contains(s, `"path":"a.ipynb"`) || !strings.Contains(s, `"by":"me"`) {
		t.Error(s)
	}
	d.want(200, "PATCH", "/api/contents/a.ipynb", `{"path":"b.ipynb"}`)
	if s := next("renamed"); !strings.Contains(s, `"to":"b.ipynb"`) {
		t.Error(s)
	}
	d.want(204, "DELETE", "/api/contents/b.ipynb", "")
	next("deleted")
	if n := d.api.Closing(); n != 1 {
		t.Errorf("%d pages are open", n)
	}
	next("closing")
}

// A page that does not read loses events, and holds up nobody.
func TestAnEventIsLostRatherThanWaitedFor(t *testing.T) {
	var e events
	c := e.join()
	for i := range 1000 {
		e.tell("saved", i)
	}
	if len(c) != cap(c) {
		t.Errorf("%d of %d wait", len(c), cap(c))
	}
	e.leave(c)
	e.tell("saved", 1)
	if len(c) != cap(c) {
		t.Error("told after it left")
	}
}
