package jupyter

import (
	"context"
	"net"
	"os"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/go-zeromq/zmq4"
)

// Peers that connect and say nothing hold up nobody.
func TestMutePeers(t *testing.T) {
	s := serveKernel(t, freeConnection(t, testKey), Options{})
	connectTo(t, s.c)
	for _, port := range s.c.ports() {
		for range 3 {
			conn, err := net.Dial("tcp", net.JoinHostPort(s.c.IP, itoa(port)))
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close()
		}
	}
	// A mute peer's handshake may take longer than this test waits for anything.
	c := connectTo(t, s.c)
	c.run("value 1")
}

// A subscriber that has stopped reading holds up nobody, however much it
// leaves unread.
func TestStoppedSubscriber(t *testing.T) {
	s, c := kernelAndClient(t)
	conn, err := net.Dial("tcp", net.JoinHostPort(s.c.IP, itoa(s.c.IOPub)))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	conn.(*net.TCPConn).SetReadBuffer(4096)
	conn.Write(join(greeting(), ready("SUB"), []byte{0, 1, 1}))
	const each, times = 4 << 20, 25
	for range times {
		if _, shown := c.run("bytes " + itoa(each)); kinds(shown) != "execute_input execute_result" {
			t.Fatalf("a cell shows %s", kinds(shown))
		}
	}
	// A front end that asks and never reads its replies is the same.
	deaf, err := net.Dial("tcp", net.JoinHostPort(s.c.IP, itoa(s.c.Shell)))
	if err != nil {
		t.Fatal(err)
	}
	defer deaf.Close()
	deaf.Write(join(greeting(), ready("DEALER")))
	for range 2000 {
		var frames []byte
		for i, f := range c.frames(NewID(), "kernel_info_request", []byte("{}")) {
			more := byte(3)
			if i == 5 {
				more = 2
			}
			frames = append(frames, more, 0, 0, 0, 0, 0, 0, byte(len(f)>>8), byte(len(f)))
			frames = append(frames, f...)
		}
		if _, err := deaf.Write(frames); err != nil {
			t.Fatal(err)
		}
	}
	c.ask("kernel_info_request", map[string]any{})
}

// A message of 20 MB goes either way.
func TestHugeMessages(t *testing.T) {
	_, c := kernelAndClient(t)
	const size = 20 << 20
	_, shown := c.run("bytes " + itoa(size))
	if text := shown[1].content["data"].(map[string]any)["text/plain"].(string); len(text) != size {
		t.Errorf("%d bytes come", len(text))
	}
	code := "print done\nprint " + strings.Repeat("x", size)
	_, shown = c.run(code)
	if got := shown[0].content["code"].(string); len(got) != len(code) {
		t.Errorf("execute_input has %d bytes", len(got))
	}
	id := c.send(c.shell, "comm_open", map[string]any{"comm_id": "b", "target_name": "jupyter.widget"})
	c.shown(id)
	id = c.send(c.shell, "comm_msg", map[string]any{"comm_id": "b"}, make([]byte, size))
	if shown = c.shown(id); len(shown[1].buffers[0]) != size {
		t.Errorf("a buffer of %d bytes comes back", len(shown[1].buffers[0]))
	}
}

// Twenty kernels at once keep to themselves.
func TestTwentyKernels(t *testing.T) {
	clients := make([]*client, 20)
	for i := range clients {
		clients[i] = connectTo(t, serveKernel(t, freeConnection(t, testKey), Options{}).c)
	}
	var all sync.WaitGroup
	for i, c := range clients {
		all.Go(func() {
			want := "kernel " + itoa(i)
			for n := 1; n <= 20; n++ {
				id := c.send(c.shell, "execute_request", map[string]any{"code": "value " + want})
				m := <-c.shellIn
				if m.parentID() != id || m.content["execution_count"] != float64(n) {
					t.Errorf("%s: cell %d has reply %v", want, n, m.content)
				}
			}
		})
	}
	all.Wait()
}

// openFiles counts this process's file descriptors; -1 where that is unknown.
func openFiles() int {
	files, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		return -1
	}
	return len(files)
}

// One kernel over 2,000 cells and hundreds of front ends does not grow.
func TestNoGrowth(t *testing.T) {
	s, c := kernelAndClient(t)
	cells := func(n int) {
		for range n {
			id := c.send(c.shell, "execute_request", map[string]any{"code": "print a\nvalue 1\nslide s", "store_history": false})
			c.replyOn(c.shellIn, id)
			c.shown(id)
		}
	}
	visitors := func(n int) {
		for range n {
			ctx, cancel := context.WithCancel(context.Background())
			d := zmq4.NewDealer(ctx, zmq4.WithID(zmq4.SocketIdentity(NewID())))
			if err := d.Dial(address(s.c, s.c.Shell)); err != nil {
				t.Fatal(err)
			}
			d.Send(zmq4.NewMsgFrom(c.frames("v", "kernel_info_request", []byte("{}"))...))
			d.Recv()
			d.Close()
			cancel()
		}
	}
	visitors(5)
	cells(200)
	files, goroutines, heap := openFiles(), runtime.NumGoroutine(), heapSize()
	cells(1800)
	visitors(100)
	settle(func() bool { return openFiles() <= files+2 && runtime.NumGoroutine() <= goroutines+5 })
	if n := openFiles(); n > files+2 {
		t.Errorf("%d file descriptors, after %d", n, files)
	}
	if n := runtime.NumGoroutine(); n > goroutines+5 {
		t.Errorf("%d goroutines, after %d", n, goroutines)
	}
	if n := heapSize(); n > heap+4<<20 {
		t.Errorf("%d bytes in use, after %d", n, heap)
	}
}

func heapSize() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

func settle(ok func() bool) {
	for deadline := time.Now().Add(patience); !ok() && time.Now().Before(deadline); {
		time.Sleep(10 * time.Millisecond)
	}
}
