package sockets

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"net"
	"strings"
	"testing"
	"time"
)

// testGuard is a guard over bytes instead of a connection.
func testGuard(in []byte, met bool) *guard {
	p := &peer{out: newOutbox(), topics: map[string]int{}}
	g := &guard{p: p, in: bufio.NewReader(bytes.NewReader(in)), met: met}
	if !met {
		g.greeting = greetingSize
	}
	return g
}

// What is well formed passes unchanged; what is not ends the peer.
func TestGuard(t *testing.T) {
	long := append([]byte{2, 0, 0, 0, 0, 0, 0, 1, 0}, make([]byte, 256)...)
	for name, c := range map[string]struct {
		in, out string
		err     error
	}{
		"two frames":          {"\x01\x01a\x00\x02bc", "\x01\x01a\x00\x02bc", io.EOF},
		"empty frames":        {"\x01\x00\x00\x00", "\x01\x00\x00\x00", io.EOF},
		"a long frame":        {string(long), string(long), io.EOF},
		"cut header":          {"\x02\x00\x00", "", io.ErrUnexpectedEOF},
		"cut body":            {"\x00\x05ab", "\x00\x05ab", io.EOF},
		"unknown flags":       {"\x08\x01a", "", errFrame},
		"too long":            {"\x02\x00\x00\x00\x00\x10\x00\x00\x01", "", errFrame},
		"too long together":   {"\x01\x01a\x02\x00\x00\x00\x00\x10\x00\x00\x00", "\x01\x01a", errFrame},
		"negative":            {"\x02\xff\xff\xff\xff\xff\xff\xff\xff", "", errFrame},
		"a ping between":      {"\x04\x07\x04PING\x00\x00\x00\x01a", "\x00\x01a", io.EOF},
		"another command":     {"\x04\x02\x01X\x00\x01a", "\x00\x01a", io.EOF},
		"a long command":      {"\x06\x00\x00\x00\x00\x00\x00\x20\x00", "", errFrame},
		"a divided command":   {"\x05\x01\x00", "", errFrame},
		"a cut command":       {"\x04\x09\x04PI", "", io.ErrUnexpectedEOF},
		"frames that are cut": {"\x01\x01a\x01", "\x01\x01a", io.EOF},
	} {
		g := testGuard([]byte(c.in), true)
		var out []byte
		var err error
		for err == nil {
			b := make([]byte, 3) // small reads, so that pieces meet everywhere
			var n int
			n, err = g.Read(b)
			out = append(out, b[:n]...)
		}
		if string(out) != c.out || !errors.Is(err, c.err) {
			t.Errorf("%s: %q, %v; want %q, %v", name, out, err, c.out, c.err)
		}
		if pings := len(g.p.out.queue); (pings == 1) != (name == "a ping between") {
			t.Errorf("%s: %d pongs", name, pings)
		}
	}
	if _, err := io.ReadAll(testGuard(append(make([]byte, greetingSize), 0, 1, 'a'), false)); !errors.Is(err, errFrame) {
		t.Errorf("a message before the handshake: %v", err)
	}
}

// Whatever a peer sends, what is passed on came in this order, and it ends.
func FuzzGuard(f *testing.F) {
	f.Add([]byte("\x01\x01a\x00\x02bc"), true)
	f.Add(make([]byte, 70), false)
	f.Fuzz(func(t *testing.T, in []byte, met bool) {
		out, _ := io.ReadAll(testGuard(in, met))
		rest := in
		for _, b := range out {
			at := bytes.IndexByte(rest, b)
			if at < 0 {
				t.Fatalf("%q becomes %q", in, out)
			}
			rest = rest[at+1:]
		}
	})
}

func TestOutbox(t *testing.T) {
	o := newOutbox()
	half := outgoing{frames: [][]byte{make([]byte, maxQueue/2)}}
	for range 2 {
		if !o.put(half) {
			t.Error("a queue with room takes nothing")
		}
	}
	if o.put(outgoing{frames: [][]byte{{1}}}) {
		t.Error("a full queue takes more")
	}
	if o.idle() {
		t.Error("a full queue is idle")
	}
	batch := o.take()
	for _, m := range batch {
		o.sent(m)
	}
	if len(batch) != 2 || o.size != 0 || o.idle() {
		t.Errorf("%d messages, %d bytes left", len(batch), o.size)
	}
	if o.rest(); !o.idle() {
		t.Error("an empty queue is not idle")
	}
	// One message may be larger than the queue.
	if !o.put(outgoing{frames: [][]byte{make([]byte, maxQueue+1)}}) {
		t.Error("a large message is refused")
	}
	o.close()
	o.close()
	if o.take() != nil || !o.put(half) || !o.idle() {
		t.Error("a closed queue goes on")
	}
}

// A peer that reads nothing of a full queue is given up; one that reads slowly
// is waited for.
func TestSlowAndStopped(t *testing.T) {
	for _, slow := range []bool{true, false} {
		here, there := net.Pipe()
		p := newPeer(here)
		p.mark()
		go p.writeRaw()
		if slow {
			go io.Copy(io.Discard, there)
		}
		for range 5 {
			p.send([][]byte{make([]byte, maxQueue/2)})
		}
		if p.isClosed() == slow {
			t.Errorf("slow %v: given up %v", slow, p.isClosed())
		}
		p.close()
		there.Close()
	}
}

// writeRaw is write without the protocol's framing.
func (p *peer) writeRaw() {
	for batch := p.out.take(); batch != nil; batch = p.out.take() {
		for _, m := range batch {
			for _, f := range m.frames {
				if _, err := (progress{p}).Write(f); err != nil {
					return
				}
			}
			p.out.sent(m)
		}
	}
}

func TestTopics(t *testing.T) {
	p := &peer{topics: map[string]int{}}
	say := func(s string) { p.subscribe([][]byte{[]byte(s)}) }
	if p.wants("kernel.stream") {
		t.Error("wants what it did not ask for")
	}
	say("\x01kernel.str")
	say("\x01kernel.str")
	say("\x00kernel.str")
	if !p.wants("kernel.stream") || p.wants("kernel.status") {
		t.Error("a topic counts as often as it was asked for")
	}
	say("\x00kernel.str")
	say("\x00never asked")
	p.subscribe(nil)
	p.subscribe([][]byte{{}})
	say("\x07x")
	if p.wants("kernel.stream") || len(p.topics) > 0 {
		t.Errorf("topics %v", p.topics)
	}
	say("\x01")
	if !p.wants("anything") {
		t.Error("the empty topic is all")
	}
}

// A socket that closes leaves no goroutine and no port behind.
func TestCloseIsClean(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	e := NewEcho(l)
	conn, err := net.Dial("tcp", l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	e.Close(time.Now())
	if _, err := conn.Read(make([]byte, 65)); err != nil && strings.Contains(err.Error(), "timeout") {
		t.Error(err)
	}
	again, err := net.Listen("tcp", l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	again.Close()
}
