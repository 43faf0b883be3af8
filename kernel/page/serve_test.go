package page

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tautline/kernel/jupyter"
	"tautline/kernel/page/door"
	"tautline/kernel/page/rehearsal"
	"tautline/kernel/page/shelf"
	"tautline/kernel/worker"
)

// The test binary is its own worker.
func TestMain(m *testing.M) {
	worker.ServeIfAsked()
	os.Exit(m.Run())
}

// A site is a server on a port of its own, asked as a network would: byte by
// byte, so that nothing is put right on the way.
type site struct {
	*Server
	t      *testing.T
	folder string
	host   string
	cookie string // a header line
}

func newSite(t *testing.T, change func(*Options)) *site {
	t.Helper()
	s := &site{t: t, folder: filepath.Join(t.TempDir(), "open")}
	if err := os.Mkdir(s.folder, 0o755); err != nil {
		t.Fatal(err)
	}
	files, err := shelf.Open(s.folder, t.TempDir(), nil)
	if err != nil {
		t.Fatal(err)
	}
	o := Options{Shelf: files, Memory: door.Remember(""), Folder: Beside(files, ""),
		Kernel: func(string) jupyter.Options { return jupyter.Options{Start: rehearsal.Start} }}
	if change != nil {
		change(&o)
	}
	l, err := Listen("127.0.0.1", 0)
	if err != nil {
		t.Fatal(err)
	}
	if s.Server, err = Start(t.Context(), l, o); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	s.host = l.Addr().String()
	in := s.send("GET", s.door.Link(), "")
	if in.status != http.StatusSeeOther {
		t.Fatalf("entering: %d", in.status)
	}
	value, _, _ := strings.Cut(in.header.Get("Set-Cookie"), ";")
	s.cookie = "Cookie: " + value
	return s
}

// reply is an answer.
type reply struct {
	status int
	header http.Header
	body   string
	last   bool // the connection ends with it
}

// send writes a request with header lines and a body, and reads the answer. A
// line "Host: ..." takes the place of the right one.
func (s *site) send(method, target, body string, lines ...string) reply {
	s.t.Helper()
	host := "Host: " + s.host
	head := ""
	for _, line := range lines {
		if strings.HasPrefix(line, "Host:") {
			host = line
			continue
		}
		head += line + "\r\n"
	}
	if body != "" {
		head += fmt.Sprintf("Content-Length: %d\r\n", len(body))
	}
	return s.raw(method, fmt.Sprintf("%s %s HTTP/1.1\r\n%s\r\n%s\r\n%s", method, target, host, head, body))
}

// raw sends bytes and reads one answer.
func (s *site) raw(method, text string) reply {
	s.t.Helper()
	c, err := net.Dial("tcp", s.Server.l.Addr().String())
	if err != nil {
		s.t.Fatal(err)
	}
	defer c.Close()
	c.SetDeadline(time.Now().Add(60 * time.Second)) // so that a test ends
	go io.WriteString(c, text)
	r, err := http.ReadResponse(bufio.NewReader(c), &http.Request{Method: method})
	if err != nil {
		s.t.Fatalf("%.80q: no answer: %v", text, err)
	}
	if r.Header.Get("Content-Type") == "text/event-stream" || r.StatusCode == http.StatusSwitchingProtocols {
		return reply{r.StatusCode, r.Header, "", r.Close} // these never end
	}
	defer r.Body.Close()
	data, err := io.ReadAll(r.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	return reply{r.StatusCode, r.Header, string(data), r.Close}
}

// in sends a request as the page does.
func (s *site) in(method, target, body string, lines ...string) reply {
	s.t.Helper()
	return s.send(method, target, body, append([]string{s.cookie, "Origin: http://" + s.host, "Sec-Fetch-Site: same-origin",
		"Sec-Fetch-Mode: cors", "Content-Type: application/json"}, lines...)...)
}

// put lays a file into the folder that is open.
func (s *site) put(name, text string) {
	s.t.Helper()
	if err := os.WriteFile(filepath.Join(s.folder, name), []byte(text), 0o644); err != nil {
		s.t.Fatal(err)
	}
}

// handshake are the lines that ask for a websocket.
var handshake = []string{"Connection: Upgrade", "Upgrade: websocket", "Sec-WebSocket-Version: 13", "Sec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA=="}
