package jupyter

import (
	"bytes"
	"context"
	"encoding/json"
	"net"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/go-zeromq/zmq4"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

// patience is how long a test waits for what must come. It decides nothing but
// how long a failure takes.
const patience = 10 * time.Second

const testKey = "a0436f6c-1916-498b-8eb9-e81ab9368e84"

// A received message, checked against the published protocol.
type received struct {
	route   [][]byte
	kind    string
	header  map[string]any
	parent  map[string]any
	about   map[string]any // metadata
	content map[string]any
	buffers [][]byte
}

func (r received) parentID() string { id, _ := r.parent["msg_id"].(string); return id }

// A client is a front end of the plainest kind.
type client struct {
	t              *testing.T
	c              Connection
	signer         signer
	session        string
	shell, control zmq4.Socket
	iopub          zmq4.Socket
	mu             sync.Mutex
	pumps          sync.WaitGroup
	shellIn        chan received
	controlIn      chan received
	iopubIn        chan received
}

// freeConnection finds five ports that nobody uses.
func freeConnection(t *testing.T, key string) Connection {
	t.Helper()
	var ports []int
	for range 5 {
		l, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			t.Fatal(err)
		}
		defer l.Close()
		ports = append(ports, l.Addr().(*net.TCPAddr).Port)
	}
	return Connection{Transport: "tcp", IP: "127.0.0.1", Shell: ports[0], Control: ports[1], Stdin: ports[2],
		IOPub: ports[3], Heartbeat: ports[4], Key: key, Scheme: scheme}
}

// A served kernel runs in this process.
type served struct {
	c    Connection
	done chan error
	stop context.CancelFunc
	log  *syncBuffer
}

type syncBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *syncBuffer) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *syncBuffer) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}

func serveKernel(t *testing.T, c Connection, o Options) *served {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	s := &served{c, make(chan error, 1), stop, &syncBuffer{}}
	if o.Start == nil {
		o.Start = startScripted
	}
	o.Log, o.Version = s.log, "1.2.3"
	go func() { s.done <- Serve(ctx, c, o) }()
	t.Cleanup(func() {
		stop()
		s.wait(t)
	})
	return s
}

// wait waits for the kernel to end.
func (s *served) wait(t *testing.T) {
	t.Helper()
	select {
	case err := <-s.done:
		if err != nil {
			t.Error(err)
		}
		s.done <- nil // for the next that waits
	case <-time.After(patience):
		t.Error("the kernel does not end")
	}
}

// kernelAndClient is what most tests start with.
func kernelAndClient(t *testing.T) (*served, *client) {
	t.Helper()
	s := serveKernel(t, freeConnection(t, testKey), Options{})
	return s, connectTo(t, s.c)
}

func connectTo(t *testing.T, conn Connection) *client {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	c := &client{t: t, c: conn, signer: signer{[]byte(conn.Key)}, session: NewID()}
	id := zmq4.WithID(zmq4.SocketIdentity(NewID()))
	fast := zmq4.WithDialerRetry(5 * time.Millisecond)
	many := zmq4.WithDialerMaxRetries(400)
	quiet := zmq4.WithTimeout(patience)
	c.shell = zmq4.NewDealer(ctx, id, fast, many, quiet)
	c.control = zmq4.NewDealer(ctx, id, fast, many, quiet)
	c.iopub = zmq4.NewSub(ctx, fast, many, quiet)
	for s, port := range map[zmq4.Socket]int{c.shell: conn.Shell, c.control: conn.Control, c.iopub: conn.IOPub} {
		if err := s.Dial(address(conn, port)); err != nil {
			t.Fatal(err)
		}
	}
	if err := c.iopub.SetOption(zmq4.OptionSubscribe, ""); err != nil {
		t.Fatal(err)
	}
	c.shellIn, c.controlIn, c.iopubIn = c.pump(c.shell, 0), c.pump(c.control, 0), c.pump(c.iopub, 1)
	t.Cleanup(func() {
		cancel()
		c.shell.Close()
		c.control.Close()
		c.iopub.Close()
		c.pumps.Wait()
	})
	c.waitForIOPub()
	return c
}

// pump reads a socket into a channel and checks every message.
func (c *client) pump(s zmq4.Socket, routes int) chan received {
	in := make(chan received, 100_000)
	c.pumps.Go(func() {
		for {
			m, err := s.Recv()
			if err != nil {
				return
			}
			in <- c.read(m.Frames, routes)
		}
	})
	return in
}

// waitForIOPub makes sure that the subscription has arrived.
func (c *client) waitForIOPub() {
	c.t.Helper()
	for deadline := time.Now().Add(patience); time.Now().Before(deadline); {
		id := c.send(c.shell, "kernel_info_request", map[string]any{})
		c.replyOn(c.shellIn, id)
		for {
			select {
			case m := <-c.iopubIn:
				if m.parentID() == id && m.content["execution_state"] == "idle" {
					return
				}
				continue
			case <-time.After(50 * time.Millisecond):
			}
			break
		}
	}
	c.t.Fatal("nothing comes on iopub")
}

var messageSchema = sync.OnceValues(func() (*jsonschema.Compiler, error) {
	data, err := os.ReadFile("testdata/messages.json")
	if err != nil {
		return nil, err
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	return c, c.AddResource("messages.json", doc)
})

var schemaLock sync.Mutex

// checkShape holds a value to a definition of the published protocol.
func checkShape(t *testing.T, name string, raw []byte) {
	t.Helper()
	schemaLock.Lock()
	defer schemaLock.Unlock()
	c, err := messageSchema()
	if err != nil {
		t.Error(err)
		return
	}
	sch, err := c.Compile("messages.json#/$defs/" + name)
	if err != nil {
		t.Errorf("the protocol has no message %q: %v", name, err)
		return
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	if err := sch.Validate(v); err != nil {
		t.Errorf("%s: %v in %.300s", name, err, raw)
	}
}

// read takes a message apart and checks all of it.
func (c *client) read(frames [][]byte, routes int) received {
	at := 0
	for at < len(frames) && string(frames[at]) != delimiter {
		at++
	}
	if at != routes || len(frames) < at+6 {
		c.t.Errorf("a message of %d frames with %d before the delimiter, want %d", len(frames), at, routes)
		return received{}
	}
	parts := frames[at+2 : at+6]
	if want := c.signer.sign(parts...); !bytes.Equal(frames[at+1], want) {
		c.t.Errorf("the signature is %q, want %q", frames[at+1], want)
	}
	r := received{route: frames[:at], buffers: frames[at+6:]}
	for i, into := range []*map[string]any{&r.header, &r.parent, &r.about, &r.content} {
		if err := json.Unmarshal(parts[i], into); err != nil {
			c.t.Errorf("part %d of a message: %v", i, err)
		}
	}
	r.kind, _ = r.header["msg_type"].(string)
	checkShape(c.t, "header", parts[0])
	checkShape(c.t, r.kind, parts[3])
	if strings.HasSuffix(r.kind, "_reply") && r.content["status"] == nil {
		c.t.Errorf("%s without status", r.kind)
	}
	return r
}

func address(c Connection, port int) string {
	if c.Transport == "ipc" {
		return "ipc://" + c.IP + "-" + itoa(port)
	}
	return "tcp://" + net.JoinHostPort(c.IP, itoa(port))
}

func itoa(n int) string { b, _ := json.Marshal(n); return string(b) }

// send signs and sends a request, and gives its id.
func (c *client) send(s zmq4.Socket, kind string, content any, buffers ...[]byte) string {
	c.t.Helper()
	id := NewID()
	body, err := json.Marshal(content)
	if err != nil {
		c.t.Fatal(err)
	}
	c.sendFrames(s, c.frames(id, kind, body, buffers...))
	return id
}

func (c *client) frames(id, kind string, body []byte, buffers ...[]byte) [][]byte {
	head, _ := json.Marshal(map[string]any{"msg_id": id, "session": c.session, "username": "tester",
		"date": "2026-01-02T03:04:05.678901Z", "msg_type": kind, "version": "5.3"})
	parts := [][]byte{head, []byte("{}"), []byte("{}"), body}
	all := append([][]byte{[]byte(delimiter), c.signer.sign(parts...)}, parts...)
	return append(all, buffers...)
}

func (c *client) sendFrames(s zmq4.Socket, frames [][]byte) {
	c.t.Helper()
	c.mu.Lock()
	defer c.mu.Unlock()
	if err := s.SendMulti(zmq4.NewMsgFrom(frames...)); err != nil {
		c.t.Fatal(err)
	}
}

// next waits for a message.
func next(t *testing.T, in chan received) received {
	t.Helper()
	select {
	case m := <-in:
		return m
	case <-time.After(patience):
		t.Fatal("no message came")
		return received{}
	}
}

// replyOn waits for the reply to a request, which must be the next.
func (c *client) replyOn(in chan received, id string) received {
	c.t.Helper()
	m := next(c.t, in)
	if m.parentID() != id {
		c.t.Fatalf("the next message is a %s to another request", m.kind)
	}
	return m
}

// ask sends a request on the shell and waits for its reply.
func (c *client) ask(kind string, content any) map[string]any {
	c.t.Helper()
	return c.replyOn(c.shellIn, c.send(c.shell, kind, content)).content
}

// askControl is ask on the control channel.
func (c *client) askControl(kind string, content any) map[string]any {
	c.t.Helper()
	return c.replyOn(c.controlIn, c.send(c.control, kind, content)).content
}

// shown waits until a request is idle and gives what was published about it,
// without the statuses, which it checks.
func (c *client) shown(id string) []received {
	c.t.Helper()
	var all []received
	busy := false
	for {
		m := next(c.t, c.iopubIn)
		switch {
		case m.parentID() != id:
		case m.kind != "status":
			if !busy {
				c.t.Errorf("%s comes before busy", m.kind)
			}
			all = append(all, m)
		case m.content["execution_state"] == "busy":
			busy = true
		default:
			if !busy {
				c.t.Error("idle comes before busy")
			}
			return all
		}
	}
}

// run runs a cell and gives its reply and what it showed.
func (c *client) run(code string, extra ...map[string]any) (received, []received) {
	c.t.Helper()
	content := map[string]any{"code": code}
	for _, e := range extra {
		for key, v := range e {
			content[key] = v
		}
	}
	id := c.send(c.shell, "execute_request", content)
	return c.replyOn(c.shellIn, id), c.shown(id)
}

func kinds(all []received) string {
	var names []string
	for _, m := range all {
		names = append(names, m.kind)
	}
	return strings.Join(names, " ")
}
