package jupyter

import (
	"bytes"
	"context"
	"encoding/json"
	"net"
	"strings"
	"testing"
	"time"

	"github.com/go-zeromq/zmq4"
)

// nonsense are messages that are none: each is ignored, and the socket hears
// the next good one.
func nonsense(c *client) map[string][][]byte {
	good := func() [][]byte { return c.frames(NewID(), "kernel_info_request", []byte("{}")) }
	without := func(i int) [][]byte { f := good(); return append(f[:i:i], f[i+1:]...) }
	with := func(i int, b string) [][]byte { f := good(); f[i] = []byte(b); return f }
	signed := func(head string) [][]byte {
		f := with(2, head)
		f[1] = c.signer.sign(f[2:6]...)
		return f
	}
	other := signer{[]byte("another key")}
	forged := good()
	forged[1] = other.sign(forged[2:6]...)
	return map[string][][]byte{
		"no delimiter":          without(0),
		"one empty frame":       {{}},
		"only the delimiter":    {[]byte(delimiter)},
		"no signature":          without(1),
		"an empty signature":    with(1, ""),
		"a wrong signature":     with(1, strings.Repeat("0", 64)),
		"another's signature":   forged,
		"content changed":       with(5, `{"restart":true}`),
		"no content":            without(5),
		"header no JSON":        signed("{"),
		"header a list":         signed("[]"),
		"header null":           signed("null"),
		"header without type":   signed(`{"msg_id":"1"}`),
		"header with a number":  signed(`{"msg_id":1,"msg_type":2}`),
		"header not UTF-8":      signed("{\"msg_id\":\"\xff\",\"msg_type\":\"kernel_info_request\"}"),
		"header too long":       signed(`{"msg_id":"` + strings.Repeat("x", maxHeader) + `","msg_type":"kernel_info_request"}`),
		"thousands of frames":   make([][]byte, 5000),
		"a message not text":    {[]byte("\x00\xff\xfe"), {1, 2, 3}, {}},
		"an unknown message":    c.frames(NewID(), "no_such_thing", []byte("{}")),
		"a reply":               c.frames(NewID(), "execute_reply", []byte("{}")),
		"an input nobody asked": c.frames(NewID(), "input_reply", []byte(`{"value":"x"}`)),
	}
}

// Nonsense on any socket neither deafens it nor brings an answer.
func TestNonsenseIsIgnored(t *testing.T) {
	s, c := kernelAndClient(t)
	stdin := zmq4.NewDealer(context.Background())
	defer stdin.Close()
	if err := stdin.Dial(address(s.c, s.c.Stdin)); err != nil {
		t.Fatal(err)
	}
	for name, frames := range nonsense(c) {
		c.sendFrames(c.shell, frames)
		c.sendFrames(c.control, frames)
		c.sendFrames(stdin, frames)
		c.sendFrames(c.iopub, frames) // a subscriber's word is a subscription
		if a := c.ask("kernel_info_request", map[string]any{}); a["status"] != "ok" {
			t.Errorf("%s: then the shell answers %v", name, a)
		}
		if a := c.askControl("kernel_info_request", map[string]any{}); a["status"] != "ok" {
			t.Errorf("%s: then control answers %v", name, a)
		}
	}
	if _, shown := c.run("value 1"); kinds(shown) != "execute_input execute_result" {
		t.Errorf("then a cell shows %s", kinds(shown))
	}
	if n := strings.Count(s.log.String(), "\n"); n == 0 || n > maxLogged {
		t.Errorf("%d lines were logged", n)
	}
}

// What asks for an answer and is not known gets one that says so.
func TestUnknownRequest(t *testing.T) {
	_, c := kernelAndClient(t)
	// The client's own check knows no such reply, so it is read here.
	c.sendFrames(c.shell, c.frames("1", "execute_request", []byte(`{"code":"value 1"}`)))
	c.replyOn(c.shellIn, "1")
	c.sendFrames(c.control, c.frames("2", "execute_request", []byte(`{"code":"value 1"}`)))
	if a := c.replyOn(c.controlIn, "2").content; a["status"] != "error" || a["ename"] != "not supported" {
		t.Errorf("a cell on control: %v", a)
	}
}

// An empty key means no signatures, either way.
func TestEmptyKey(t *testing.T) {
	s := serveKernel(t, freeConnection(t, ""), Options{})
	c := connectTo(t, s.c)
	f := c.frames("1", "kernel_info_request", []byte("{}"))
	f[1] = []byte("anything")
	c.sendFrames(c.shell, f)
	if a := c.replyOn(c.shellIn, "1").content; a["status"] != "ok" {
		t.Errorf("answer %v", a)
	}
}

func TestRoutesComeBack(t *testing.T) {
	sg := signer{[]byte(testKey)}
	c := &client{t: t, signer: sg, session: "s"}
	route, in, err := sg.decode(append([][]byte{[]byte("via"), []byte("hop")}, c.frames("1", "kernel_info_request", []byte("{}"), []byte("b"))...))
	if err != nil || len(route) != 2 || string(route[1]) != "hop" || len(in.Buffers) != 1 {
		t.Fatalf("%q, %+v, %v", route, in, err)
	}
	m, err := newMessage(nil, in)
	if err != nil || m.id != "1" {
		t.Fatalf("%+v, %v", m, err)
	}
	answer, err := envelope{kind: "kernel_info_reply", parent: m.header}.write("k", map[string]any{"status": "ok", "text": "<µ&>"})
	frames := sg.encode(route, answer)
	if err != nil || string(frames[0]) != "via" || string(frames[2]) != delimiter || !bytes.Contains(frames[7], []byte("<µ&>")) {
		t.Fatalf("%q, %v", frames, err)
	}
	if !bytes.Equal(frames[5], m.header) {
		t.Errorf("the parent header %s is not the request's %s", frames[5], m.header)
	}
}

// The signature is that of RFC 4231, test case 2, which has all of its text in
// one piece; here it comes in four.
func TestSignature(t *testing.T) {
	s := signer{[]byte("Jefe")}
	const want = "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"
	parts := [][]byte{[]byte("what do ya "), []byte("want "), []byte("for "), []byte("nothing?")}
	if got := s.sign(parts...); string(got) != want {
		t.Errorf("signature %s, want %s", got, want)
	}
	if !s.holds([]byte(want), parts...) || s.holds([]byte(want[1:]), parts...) || s.holds(nil, parts...) {
		t.Error("the wrong signatures hold")
	}
}

func FuzzDecode(f *testing.F) {
	sg := signer{}
	f.Add([]byte("via"), []byte(`{"msg_id":"1","msg_type":"x"}`), []byte("{}"))
	f.Fuzz(func(t *testing.T, front, head, content []byte) {
		frames := [][]byte{front, []byte(delimiter), {}, head, []byte("{}"), []byte("{}"), content}
		route, in, err := sg.decode(frames)
		if err != nil {
			return
		}
		m, err := newMessage(nil, in)
		if err != nil {
			return
		}
		answer, err := envelope{kind: "x", parent: m.header}.write("k", map[string]any{})
		out := sg.encode(route, answer)
		if err != nil || !json.Valid(out[len(out)-3]) {
			t.Fatalf("%q gives %q, %v", frames, out, err)
		}
	})
}

// The heartbeat sends back whatever it gets, also while a cell runs.
func TestHeartbeat(t *testing.T) {
	s, c := kernelAndClient(t)
	c.send(c.shell, "execute_request", map[string]any{"code": "loop"})
	req := zmq4.NewReq(context.Background())
	defer req.Close()
	if err := req.Dial(address(s.c, s.c.Heartbeat)); err != nil {
		t.Fatal(err)
	}
	for _, beat := range []string{"ping", "", "\x00\xff"} {
		if err := req.Send(zmq4.NewMsgString(beat)); err != nil {
			t.Fatal(err)
		}
		if m, err := req.Recv(); err != nil || string(m.Bytes()) != beat {
			t.Fatalf("%q comes back as %v, %v", beat, m, err)
		}
	}
}

// greeting is what a ZMTP 3.0 peer says first, with the NULL mechanism.
func greeting() []byte {
	g := make([]byte, 64)
	g[0], g[9], g[10] = 0xff, 0x7f, 3
	copy(g[12:], "NULL")
	return g
}

func ready(kind string) []byte {
	body := "\x05READY\x0bSocket-Type\x00\x00\x00" + string(rune(len(kind))) + kind
	return append([]byte{4, byte(len(body))}, body...)
}

func join(parts ...[]byte) []byte { return bytes.Join(parts, nil) }

// Peers that speak no ZeroMQ, or badly, harm nobody. A claimed length alone
// could end a process that believed it.
func TestMalformedPeers(t *testing.T) {
	s, c := kernelAndClient(t)
	huge := []byte{2, 0x7f, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff}
	for name, bytes := range map[string][]byte{
		"nothing":           {},
		"HTTP":              []byte("GET / HTTP/1.1\r\nHost: localhost\r\n\r\n" + strings.Repeat(" ", 64)),
		"zeros":             make([]byte, 500),
		"half a greeting":   greeting()[:32],
		"a message first":   join(greeting(), []byte{0, 1, 'x'}),
		"a short READY":     join(greeting(), []byte{4, 6, 5, 'R', 'E', 'A', 'D', 'Y'}),
		"a cut property":    join(greeting(), []byte("\x04\x08\x05READY\x0bS")),
		"a cut value":       join(greeting(), []byte("\x04\x14\x05READY\x0bSocket-Type\x00\x00")),
		"a huge READY":      join(greeting(), []byte{6, 0, 0, 0, 0, 0x7f, 0xff, 0xff, 0xff}),
		"another type":      join(greeting(), ready("PUSH")),
		"a huge frame":      join(greeting(), ready("DEALER"), huge),
		"a negative length": join(greeting(), ready("DEALER"), []byte{2, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff}),
		"wrong flags":       join(greeting(), ready("DEALER"), []byte{0xf8, 1, 'x'}),
		"a long command":    join(greeting(), ready("DEALER"), []byte{6, 0, 0, 0, 0, 0, 1, 0, 0}),
		"a command of many": join(greeting(), ready("DEALER"), []byte{5, 1, 0}),
		"an empty command":  join(greeting(), ready("DEALER"), []byte{4, 0}),
		"half a message":    join(greeting(), ready("DEALER"), []byte{1, 3, 'a', 'b', 'c'}),
		"huge and SUB":      join(greeting(), ready("SUB"), huge),
		"SUB nonsense":      join(greeting(), ready("SUB"), []byte{0, 0, 0, 2, 9, 9, 1, 1, 1, 0, 1, 1}),
	} {
		for what, port := range s.c.ports() {
			conn, err := net.Dial("tcp", net.JoinHostPort(s.c.IP, itoa(port)))
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close()
			if _, err := conn.Write(bytes); err != nil {
				t.Logf("%s to %s: %v", name, what, err)
			}
		}
		if a := c.ask("kernel_info_request", map[string]any{}); a["status"] != "ok" {
			t.Fatalf("%s: then %v", name, a)
		}
	}
	other := connectTo(t, s.c)
	if _, shown := other.run("value 1"); kinds(shown) != "execute_input execute_result" {
		t.Errorf("then a new front end sees %s", kinds(shown))
	}
}

// A peer that sends the protocol's own ping gets a pong.
func TestPing(t *testing.T) {
	s, _ := kernelAndClient(t)
	conn, err := net.Dial("tcp", net.JoinHostPort(s.c.IP, itoa(s.c.Shell)))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	conn.Write(join(greeting(), ready("DEALER"), []byte("\x04\x07\x04PING\x00\x00")))
	conn.SetReadDeadline(time.Now().Add(patience))
	var got []byte
	for buf := make([]byte, 100); !bytes.Contains(got, []byte("\x04PONG")); {
		n, err := conn.Read(buf)
		if got = append(got, buf[:n]...); err != nil {
			t.Fatalf("%q, %v", got, err)
		}
	}
}
