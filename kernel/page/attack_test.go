package page

import (
	"bufio"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/coder/websocket"

	"tautline/kernel/page/wire"
)

// routes are what a stranger may try; one of each kind that the server has.
var routes = []string{"GET /", "GET /open/a.ipynb", "GET /tree", "GET /assets/page.js", "GET /assets/page.css", "GET /assets/licences.txt",
	"GET /api", "GET /api/status", "GET /api/me", "GET /api/kernelspecs", "GET /api/kernels", "POST /api/kernels", "GET /api/sessions",
	"POST /api/sessions", "GET /api/contents", "GET /api/contents/a.ipynb", "PUT /api/contents/a.ipynb", "DELETE /api/contents/a.ipynb",
	"PATCH /api/contents/a.ipynb", "POST /api/contents", "GET /files/a.ipynb", "GET /tautline/start", "GET /tautline/events",
	"PUT /tautline/drafts/a.ipynb", "POST /tautline/names", "POST /tautline/page", "POST /tautline/undelete", "GET /tautline/original/01-lesson.ipynb",
	"GET /api/kernels/x/channels", "GET /nothing"}

func TestNobodyComesInWithoutACookieOrToken(t *testing.T) {
	x := serve(t)
	cookie := x.cookie
	x.cookie = ""
	for _, r := range routes {
		method, path, _ := strings.Cut(r, " ")
		for _, headers := range [][]string{nil, {"Cookie: tautline=1"}, {"Authorization: token "}, {"Authorization: token x"}, {"Authorization: Basic Og=="}} {
			if w := x.ask(method, path, nil, headers...); w.StatusCode != http.StatusUnauthorized {
				t.Errorf("%s with %v: %d", r, headers, w.StatusCode)
			}
		}
	}
	if w := x.ask("GET", "/api/contents", nil, "Authorization: token "+x.s.Token()); w.StatusCode != 200 {
		t.Errorf("with the token: %d", w.StatusCode)
	}
	if w := x.ask("GET", "/api/contents", nil, "Cookie: "+cookie); w.StatusCode != 200 {
		t.Errorf("with the cookie: %d", w.StatusCode)
	}
}

// Another name that leads to this address makes a foreign page the same origin
// to a browser; a page of another site sends its Origin; forms send plain text.
func TestForeignPagesReachNothing(t *testing.T) {
	x := serve(t)
	for _, r := range routes {
		method, path, _ := strings.Cut(r, " ")
		for _, h := range []string{"Host: rebound.example:80", "Origin: http://evil.example", "Origin: null", "Sec-Fetch-Site: cross-site", "Sec-Fetch-Site: same-site"} {
			if w := x.ask(method, path, "{}", h); w.StatusCode != http.StatusForbidden {
				t.Errorf("%s with %s: %d", r, h, w.StatusCode)
			}
		}
	}
	if w := x.ask("POST", "/api/kernels", "{}", "Content-Type: text/plain", "Sec-Fetch-Mode: no-cors"); w.StatusCode != http.StatusUnsupportedMediaType {
		t.Errorf("a form's plain text: %d", w.StatusCode)
	}
	if n := len(x.s.house.Kernels()); n != 0 {
		t.Errorf("%d kernels were started", n)
	}
}

func TestForeignSocketsAreRefused(t *testing.T) {
	x := serve(t)
	_, k := x.session("a.ipynb")
	for _, h := range []http.Header{{}, {"Cookie": {x.cookie}, "Origin": {"http://evil.example"}}, {"Cookie": {x.cookie}, "Origin": {"null"}}, {"Cookie": {"a=b"}}} {
		c, _, err := websocket.Dial(t.Context(), strings.Replace(x.s.Address(), "http", "ws", 1)+"/api/kernels/"+k+"/channels", &websocket.DialOptions{HTTPHeader: h})
		if err == nil {
			c.CloseNow()
			t.Errorf("a socket with %v is open", h)
		}
	}
}

// No path leads out of the folder, however it is written.
func TestPathsStayInside(t *testing.T) {
	x := serve(t)
	outside := filepath.Join(filepath.Dir(x.dir), "secret.txt")
	os.WriteFile(outside, []byte("secret"), 0o644)
	if runtime.GOOS != "windows" {
		os.Symlink(outside, filepath.Join(x.dir, "link.txt"))
		os.Symlink(filepath.Dir(x.dir), filepath.Join(x.dir, "up"))
	}
	paths := []string{"../secret.txt", "%2e%2e/secret.txt", "..%2fsecret.txt", "%2e%2e%2fsecret.txt", "..%5csecret.txt", "a/%2e%2e/%2e%2e/secret.txt",
		"link.txt", "up/secret.txt", "%2fetc%2fpasswd", "con.txt", "nul.ipynb", ".hidden.txt", "a%00.txt", "a.ipynb%3Astream.txt", "C%3A%5csecret.txt"}
	for _, p := range paths {
		for _, route := range []string{"GET /api/contents/", "GET /files/", "PUT /api/contents/", "DELETE /api/contents/", "GET /tautline/drafts/", "PUT /tautline/drafts/"} {
			method, prefix, _ := strings.Cut(route, " ")
			w := x.raw(method+" "+prefix+p, `{"type":"file","format":"text","content":"x"}`)
			if strings.Contains(w, "secret\"") || strings.HasSuffix(w, "secret") || strings.HasPrefix(w, "HTTP/1.1 2") {
				t.Errorf("%s%s: %.80s", route, p, w)
			}
		}
	}
	if b, _ := os.ReadFile(outside); string(b) != "secret" {
		t.Error("the file outside was changed")
	}
}

// raw sends a request line as it is, which no client library does.
func (x *site) raw(line, body string) string {
	x.t.Helper()
	c, err := net.Dial("tcp", x.s.l.Addr().String())
	if err != nil {
		x.t.Fatal(err)
	}
	defer c.Close()
	c.SetDeadline(time.Now().Add(10 * time.Second))
	fmt.Fprintf(c, "%s HTTP/1.1\r\nHost: %s\r\nCookie: %s\r\nContent-Length: %d\r\nConnection: close\r\n\r\n%s", line, x.s.l.Addr(), x.cookie, len(body), body)
	var all strings.Builder
	bufio.NewReader(c).WriteTo(&all)
	return all.String()
}

// A notebook or page of somebody else's is never something that a browser
// would run: files come as attachments, the page's policy has no inline script.
func TestNothingForeignIsServedToRun(t *testing.T) {
	x := serve(t)
	os.WriteFile(filepath.Join(x.dir, "evil.html"), []byte("<script>1</script>"), 0o644)
	os.WriteFile(filepath.Join(x.dir, "evil.svg"), []byte("<svg onload='1'/>"), 0o644)
	for _, name := range []string{"evil.html", "evil.svg", "a.ipynb"} {
		w := x.ask("GET", "/files/"+name, nil)
		if h := w.Header; w.StatusCode != 200 || !strings.HasPrefix(h.Get("Content-Disposition"), "attachment") || h.Get("Content-Type") != "application/octet-stream" || h.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s: %d %v", name, w.StatusCode, w.Header)
		}
	}
	for _, r := range routes {
		method, path, _ := strings.Cut(r, " ")
		if path == "/tautline/events" {
			continue
		}
		h := x.ask(method, path, "{}").Header
		policy := h.Get("Content-Security-Policy")
		if policy == "" || strings.Contains(policy, "unsafe") || !strings.Contains(policy, "default-src 'none'") || !strings.Contains(policy, "frame-ancestors 'none'") {
			t.Errorf("%s: policy %q", r, policy)
		}
		for name, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer", "X-Frame-Options": "DENY", "Access-Control-Allow-Origin": "", "Cross-Origin-Resource-Policy": "same-origin"} {
			if h.Get(name) != want {
				t.Errorf("%s: %s is %q", r, name, h.Get(name))
			}
		}
	}
	one, two := x.ask("GET", "/", nil).Header.Get("Content-Security-Policy"), x.ask("GET", "/", nil).Header.Get("Content-Security-Policy")
	if one == two {
		t.Error("two answers share a nonce")
	}
}

func TestTooMuchIsRefused(t *testing.T) {
	x := serve(t)
	if w := x.raw("GET /api", ""); !strings.HasPrefix(w, "HTTP/1.1 200") {
		t.Fatalf("an ordinary request: %.60s", w)
	}
	if w := x.ask("GET", "/api", nil, "X-Long: "+strings.Repeat("a", 200<<10)); w.StatusCode != http.StatusRequestHeaderFieldsTooLarge {
		t.Errorf("a long header: %d", w.StatusCode)
	}
	_, k := x.session("a.ipynb")
	l := x.dial(k, wire.V1)
	l.c.Write(t.Context(), websocket.MessageBinary, make([]byte, wire.MaxMessage+1))
	if _, _, err := l.c.Read(t.Context()); websocket.CloseStatus(err) != websocket.StatusMessageTooBig {
		for err == nil { // what the kernel said before
			_, _, err = l.c.Read(t.Context())
		}
		if websocket.CloseStatus(err) != websocket.StatusMessageTooBig {
			t.Errorf("a message too long ends with %v", err)
		}
	}
}

// A peer that sends nothing but nonsense is let go; others do not notice.
func TestNonsenseOnASocket(t *testing.T) {
	x := serve(t)
	_, k := x.session("a.ipynb")
	bad, good := x.dial(k, wire.V1), x.dial(k, wire.V1)
	go func() {
		for range 200 {
			if bad.c.Write(t.Context(), websocket.MessageBinary, []byte("nonsense")) != nil {
				return
			}
		}
	}()
	good.send("shell", "execute_request", `{"code":"still here"}`)
	good.wait("stream", "still here")
	for {
		if _, _, err := bad.c.Read(t.Context()); err != nil {
			if websocket.CloseStatus(err) != websocket.StatusPolicyViolation {
				t.Errorf("let go with %v", err)
			}
			return
		}
	}
}

// A code is used up by its first use and stands in no address after it.
func TestACodeIsWorthNothingAfterItsUse(t *testing.T) {
	x := serve(t)
	x.cookie = ""
	path := strings.TrimPrefix(x.s.Link(), x.s.Address())
	first, second := x.ask("GET", path, nil), x.ask("GET", path, nil)
	if first.StatusCode != http.StatusSeeOther || strings.Contains(first.Header.Get("Location"), "code") {
		t.Errorf("first: %d to %s", first.StatusCode, first.Header.Get("Location"))
	}
	if second.StatusCode != http.StatusUnauthorized {
		t.Errorf("second: %d", second.StatusCode)
	}
	if c := first.Cookies()[0]; !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || strings.Contains(path, c.Value) || c.Value == x.s.Token() {
		t.Errorf("cookie %v", c)
	}
}
