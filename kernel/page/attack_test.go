package page

import (
	"encoding/json"
	"io/fs"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"tautline/kernel/page/api"
)

// Each test here is an attack; DEVELOPERS.md lists them with what stops them.

// routes notes what is registered, so that no route is forgotten.
type routes []string

func (r *routes) Handle(pattern string, _ http.Handler) { *r = append(*r, pattern) }

// targets are all routes and all files of the page, as "METHOD /path".
func targets(t *testing.T) []string {
	var all routes
	(&api.API{}).Register(&all)
	registerPage(&all)
	for i, pattern := range all {
		if !strings.Contains(pattern, " ") {
			pattern = "GET " + pattern + "none"
		}
		pattern = strings.ReplaceAll(pattern, "{$}", "")
		all[i] = regexp.MustCompile(`\{[a-z.]+\}`).ReplaceAllString(pattern, "a.ipynb")
	}
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			all = append(all, "GET /assets/"+name)
		}
		return err
	})
	if err != nil || len(all) < 50 {
		t.Fatalf("%d routes, %v", len(all), err)
	}
	return all
}

const kernelSocket = "/api/kernels/none/channels"

func TestAttackWithoutACookie(t *testing.T) {
	s := newSite(t, nil)
	for _, target := range targets(t) {
		method, path, _ := strings.Cut(target, " ")
		for what, lines := range map[string][]string{"nothing": nil, "a made-up cookie": {s.cookie[:len(s.cookie)-4] + "0000"},
			"an empty token": {"Authorization: token "}, "another key": {"Authorization: Basic Og=="}} {
			if r := s.send(method, path, "", lines...); r.status != http.StatusUnauthorized {
				t.Errorf("%s with %s: %d", target, what, r.status)
			}
		}
	}
	if r := s.send("GET", kernelSocket, "", handshake...); r.status != http.StatusUnauthorized {
		t.Errorf("a socket: %d", r.status)
	}
}

func TestAttackWithTheCookieOfAnotherServer(t *testing.T) {
	a, b := newSite(t, nil), newSite(t, nil)
	_, value, _ := strings.Cut(a.cookie, "=")
	name, _, _ := strings.Cut(b.cookie, "=")
	for _, cookie := range []string{a.cookie, name + "=" + value} {
		if r := b.send("GET", "/", "", cookie); r.status != http.StatusUnauthorized {
			t.Errorf("%d", r.status)
		}
	}
}

func TestAttackByRebinding(t *testing.T) {
	s := newSite(t, nil)
	_, port, _ := net.SplitHostPort(s.host)
	for _, name := range []string{"rebound.example:" + port, "127.0.0.1.rebound.example:" + port, "127.0.0.1", "127.0.0.1:1", "[::ffff:127.0.0.1]:" + port, "0.0.0.0:" + port} {
		for _, path := range []string{"/", "/assets/page.js", "/api/contents", "/enter?code=1"} {
			if r := s.send("GET", path, "", "Host: "+name, s.cookie); r.status != http.StatusForbidden {
				t.Errorf("%s%s: %d", name, path, r.status)
			}
		}
		if r := s.send("GET", kernelSocket, "", append(handshake, "Host: "+name, "Origin: http://"+name, s.cookie)...); r.status != http.StatusForbidden {
			t.Errorf("a socket of %s: %d", name, r.status)
		}
	}
}

// The address in the request line itself must not stand in for Host.
func TestAttackByAnAbsoluteTarget(t *testing.T) {
	s := newSite(t, nil)
	if r := s.send("GET", "http://rebound.example/api/contents", "", s.cookie); r.status == http.StatusOK {
		t.Errorf("%d", r.status)
	}
}

func TestAttackFromAnotherSite(t *testing.T) {
	s := newSite(t, nil)
	token := "Authorization: token " + s.Token()
	for _, line := range []string{"Origin: http://evil.example", "Origin: null", "Origin: http://127.0.0.1:1", "Origin: https://" + s.host,
		"Origin: http://" + s.host + ".evil.example", "Sec-Fetch-Site: cross-site", "Sec-Fetch-Site: same-site"} {
		for _, key := range []string{s.cookie, token} {
			for _, method := range []string{"GET", "POST", "PUT", "DELETE", "PATCH"} {
				if r := s.send(method, "/api/contents/a.ipynb", "", key, line); r.status != http.StatusForbidden {
					t.Errorf("%s with %s: %d", method, line, r.status)
				}
			}
			if r := s.send("GET", kernelSocket, "", append(handshake, key, line)...); r.status != http.StatusForbidden {
				t.Errorf("a socket with %s: %d", line, r.status)
			}
		}
	}
}

func TestAttackByAForm(t *testing.T) {
	s := newSite(t, nil)
	for _, kind := range []string{"text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x"} {
		foreign := s.send("POST", "/api/contents", `{"type":"notebook"}`, s.cookie, "Content-Type: "+kind, "Origin: http://evil.example", "Sec-Fetch-Site: cross-site", "Sec-Fetch-Mode: navigate")
		typed := s.send("POST", "/api/contents", `{"type":"notebook"}`, s.cookie, "Content-Type: "+kind, "Sec-Fetch-Site: none", "Sec-Fetch-Mode: navigate")
		inside := s.send("POST", "/api/contents", `{"type":"notebook"}`, s.cookie, "Content-Type: "+kind, "Sec-Fetch-Site: same-origin", "Sec-Fetch-Mode: navigate")
		if foreign.status != http.StatusForbidden || typed.status != http.StatusForbidden || inside.status != http.StatusUnsupportedMediaType {
			t.Errorf("%s: %d, %d, %d", kind, foreign.status, typed.status, inside.status)
		}
	}
	basic := s.send("POST", "/api/contents?token=x", "{}", s.cookie, "Content-Type: text/plain", "Sec-Fetch-Mode: navigate", "Authorization: Basic Og==")
	if basic.status != http.StatusUnsupportedMediaType {
		t.Errorf("with a name in the form's address: %d", basic.status)
	}
	if all, _ := os.ReadDir(s.folder); len(all) != 0 {
		t.Errorf("a form made %v", all)
	}
	if r := s.send("POST", "/api/contents", "{}", "Authorization: token "+s.Token(), "Content-Type: text/plain", "Sec-Fetch-Mode: cors"); r.status != http.StatusCreated {
		t.Errorf("a program whose library says plain text: %d", r.status)
	}
}

func TestAttackByUsingACodeAgain(t *testing.T) {
	s := newSite(t, nil)
	link := s.door.Link()
	first := s.send("GET", link, "")
	if second := s.send("GET", link, ""); first.status != http.StatusSeeOther || second.status != http.StatusUnauthorized || second.header.Get("Set-Cookie") != "" {
		t.Errorf("%d, then %d", first.status, second.status)
	}
}

func TestAttackWithTheTokenInAPagesAddress(t *testing.T) {
	s := newSite(t, nil)
	for _, path := range []string{"/", "/open/a.ipynb", "/assets/page.js", "/files/a.csv", "/tautline/start", "/tautline/events", "/enter"} {
		if r := s.send("GET", path+"?token="+s.Token(), ""); r.status != http.StatusUnauthorized {
			t.Errorf("%s: %d", path, r.status)
		}
	}
	if r := s.send("GET", "/api/contents?token="+s.Token(), ""); r.status != http.StatusOK {
		t.Errorf("a program: %d", r.status)
	}
}

// TestSecretsStayWhereTheyBelong looks for code, cookie and token in whatever
// is answered, kept in a history or passed on.
func TestSecretsStayWhereTheyBelong(t *testing.T) {
	s := newSite(t, nil)
	code := s.door.Link()[len("/enter?code="):]
	_, id, _ := strings.Cut(s.cookie, "=")
	for _, target := range targets(t) {
		method, path, _ := strings.Cut(target, " ")
		if method != "GET" || strings.HasSuffix(path, ".woff2") {
			continue
		}
		r := s.in("GET", path, "")
		all := r.body
		for name, values := range r.header {
			all += name + strings.Join(values, " ")
		}
		for _, secret := range []string{code, id, s.Token()} {
			if strings.Contains(all, secret) {
				t.Errorf("%s gives a secret away", path)
			}
		}
		if r.header.Get("Referrer-Policy") != "no-referrer" {
			t.Errorf("%s lets its address be passed on", path)
		}
	}
	in := s.send("GET", s.door.Link(), "")
	if in.header.Get("Location") != "/" || in.header.Get("Cache-Control") != "no-store" || in.header.Get("Referrer-Policy") != "no-referrer" || strings.Contains(in.body, code) {
		t.Errorf("the code stays in the address line: %v", in.header)
	}
}

func TestTheCookieIsForThisServerAlone(t *testing.T) {
	s := newSite(t, nil)
	_, port, _ := net.SplitHostPort(s.host)
	line := s.send("GET", s.door.Link(), "").header.Get("Set-Cookie")
	for _, want := range []string{"tautline-" + port + "=", "; Path=/", "; HttpOnly", "; SameSite=Strict", "; Max-Age="} {
		if !strings.Contains(line, want) {
			t.Errorf("no %q in %q", want, line)
		}
	}
	if strings.Contains(line, "Domain") {
		t.Errorf("other hosts get it: %q", line)
	}
}

// ways are paths that lead out of a folder somewhere.
var ways = []string{"../secret.csv", "..%2fsecret.csv", "%2e%2e/secret.csv", "%2e%2e%2fsecret.csv", "a/../../secret.csv", "a/%2e%2e/%2e%2e/secret.csv",
	"..%5csecret.csv", "..\\secret.csv", "a%5c..%5c..%5csecret.csv", "%252e%252e/secret.csv", "link.csv", "door/secret.csv", "/etc/passwd", "%2fetc%2fpasswd.csv",
	"C:%5csecret.csv", "C:/secret.csv", "file:///secret.csv", "con.csv", "NUL.ipynb", "com1.txt", "lpt9", "aux.csv", ".hidden.csv", ".ssh/key.txt",
	"secret.csv%00.ipynb", "secret.csv:stream.csv", "secret.csv.", "secret.csv%20", "%ff%fe.csv", "-/%2e./secret.csv"}

func TestAttackOnOtherFolders(t *testing.T) {
	s := newSite(t, nil)
	secret := filepath.Join(filepath.Dir(s.folder), "secret.csv")
	if err := os.WriteFile(secret, []byte("hidden words"), 0o644); err != nil {
		t.Fatal(err)
	}
	s.put("own.csv", "x")
	if runtime.GOOS != "windows" { // there, links want rights that tests have not
		for name, to := range map[string]string{"link.csv": secret, "door": filepath.Dir(s.folder)} {
			if err := os.Symlink(to, filepath.Join(s.folder, name)); err != nil {
				t.Fatal(err)
			}
		}
	}
	check := func(what string, r reply) {
		t.Helper()
		if r.status < 300 || r.status >= 500 || strings.Contains(r.body, "hidden words") {
			t.Errorf("%s: %d %.200s", what, r.status, r.body)
		}
	}
	for _, way := range ways {
		for _, route := range []string{"/api/contents/", "/files/", "/tautline/original/", "/tautline/drafts/", "/assets/", "/kernelspecs/tautline/"} {
			check(route+way, s.in("GET", route+way, ""))
		}
		plain := strings.NewReplacer("%2e", ".", "%2f", "/", "%5c", `\`, "%20", " ", "%00", "\x00").Replace(way)
		quoted, _ := json.Marshal(plain)
		check("save "+way, s.in("PUT", "/api/contents/"+way, `{"type":"file","content":"changed"}`))
		check("delete "+way, s.in("DELETE", "/api/contents/"+way, ""))
		check("copy "+way, s.in("POST", "/api/contents", `{"copy_from":`+string(quoted)+`}`))
		if strings.Contains(plain, "%ff") {
			continue // as JSON it is an ordinary name
		}
		check("rename to "+way, s.in("PATCH", "/api/contents/own.csv", `{"path":`+string(quoted)+`}`))
	}
	if data, _ := os.ReadFile(secret); string(data) != "hidden words" {
		t.Errorf("the file outside holds %q", data)
	}
	if all, _ := os.ReadDir(filepath.Dir(s.folder)); len(all) != 2 {
		t.Errorf("outside lie %v", all)
	}
}

func TestAttackByTooMuch(t *testing.T) {
	s := newSite(t, nil)
	declared := s.raw("PUT", "PUT /api/contents/a.csv HTTP/1.1\r\nHost: "+s.host+"\r\n"+s.cookie+"\r\nContent-Length: 1000000000000\r\n\r\n{")
	if declared.status != http.StatusRequestEntityTooLarge {
		t.Errorf("a large body: %d", declared.status)
	}
	if r := s.in("GET", "/", "", "X: "+strings.Repeat("x", 100<<10)); r.status != http.StatusRequestHeaderFieldsTooLarge {
		t.Errorf("large headers: %d", r.status)
	}
	if r := s.in("GET", "/api/contents/"+strings.Repeat("a", 5000)+".csv", ""); r.status != http.StatusBadRequest {
		t.Errorf("a long path: %d", r.status)
	}
	if r := s.in("GET", "/", ""); r.status != http.StatusOK {
		t.Errorf("afterwards: %d", r.status)
	}
}

func TestAttackBySlowness(t *testing.T) {
	s := newSite(t, func(o *Options) { o.headerTime = 50 * time.Millisecond })
	c, err := net.Dial("tcp", s.host)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	c.Write([]byte("GET / HTTP/1.1\r\nHost: "))
	c.SetReadDeadline(time.Now().Add(30 * time.Second))
	for b := make([]byte, 100); err == nil; {
		_, err = c.Read(b)
	}
	if e, ok := err.(net.Error); ok && e.Timeout() {
		t.Error("a request that never comes whole keeps its connection")
	}
	// One that is refused is not waited for either.
	if r := s.raw("POST", "POST /api/contents HTTP/1.1\r\nHost: "+s.host+"\r\nContent-Length: 1000\r\n\r\n"); r.status != http.StatusUnauthorized || !r.last {
		t.Errorf("%d, and the connection goes on: %v", r.status, !r.last)
	}
	if headerTime > 30*time.Second {
		t.Error("the time for headers is no bound")
	}
}

// evil is what a foreign notebook may bring; "ran" must not become true.
const evil = `<script>ran=1</script><img src=x onerror="ran=1"><svg xmlns="http://www.w3.org/2000/svg" onload="ran=1"><script>ran=1</script></svg>` +
	`<iframe srcdoc="<script>ran=1</script>"></iframe><a href="javascript:ran=1">x</a>`

func evilNotebook() string {
	quoted, _ := json.Marshal(evil)
	q := string(quoted)
	return `{"cells":[{"cell_type":"markdown","id":"a","metadata":{},"source":` + q + `},{"cell_type":"code","id":"b","execution_count":1,"metadata":{},"source":"1",` +
		`"outputs":[{"output_type":"execute_result","execution_count":1,"metadata":{},"data":{"text/html":` + q + `,"image/svg+xml":` + q +
		`,"application/javascript":"ran=1","text/plain":` + q + `}}]}],"metadata":{"title":` + q + `},"nbformat":4,"nbformat_minor":5}`
}

// TestAttackByAForeignNotebook asks for it in every way there is: no answer is
// a page or picture that the browser would run it in.
func TestAttackByAForeignNotebook(t *testing.T) {
	s := newSite(t, nil)
	s.put("evil.ipynb", evilNotebook())
	s.put("evil.html", evil)
	s.put("evil.svg", evil)
	for _, path := range []string{"/api/contents", "/api/contents/evil.ipynb", "/api/contents/evil.html", "/api/contents/evil.svg",
		"/files/evil.ipynb", "/files/evil.html", "/files/evil.svg", "/open/evil.ipynb", "/open/evil.html", "/files/" + "%3Cscript%3E.html", "/api/%3Cscript%3Eran=1"} {
		r := s.in("GET", path, "", "Accept: text/html,*/*")
		kind := r.header.Get("Content-Type")
		ours := strings.HasPrefix(path, "/open/")
		switch {
		case r.header.Get("X-Content-Type-Options") != "nosniff":
			t.Errorf("%s: the browser may guess what it is", path)
		case strings.Contains(kind, "html") != ours || strings.Contains(kind, "svg"):
			t.Errorf("%s is shown as %s", path, kind)
		case ours && strings.Contains(r.body, "ran=1"):
			t.Errorf("%s is in the page", path)
		case strings.HasPrefix(path, "/files/evil") && !strings.HasPrefix(r.header.Get("Content-Disposition"), "attachment"):
			t.Errorf("%s is shown, not kept", path)
		}
	}
	if kernels := s.house.Kernels(); len(kernels) != 0 {
		t.Error("looking at a notebook starts its kernel")
	}
	made := s.in("POST", "/tautline/page", `{"name":"evil.ipynb","content":`+evilNotebook()+`}`)
	var got struct{ HTML string }
	if json.Unmarshal([]byte(made.body), &got); got.HTML == "" {
		t.Fatalf("no page of it: %d %.200s", made.status, made.body)
	}
	for _, live := range []string{"<script", "<svg xmlns=\"http://www.w3.org/2000/svg\" onload", "<img src=x", "<iframe src", `href="javascript`} {
		if strings.Contains(strings.ToLower(got.HTML), live) {
			t.Errorf("the page to keep holds %s", live)
		}
	}
}

// TestPoliciesAreOnEveryAnswer looks at the headers that hold even if some of
// the page's own code were wrong.
func TestPoliciesAreOnEveryAnswer(t *testing.T) {
	s := newSite(t, nil)
	s.put("a.ipynb", `{"cells":[],"metadata":{},"nbformat":4,"nbformat_minor":5}`)
	for _, target := range append(targets(t), "GET /none", "GET /enter?code=1") {
		method, path, _ := strings.Cut(target, " ")
		for _, r := range []reply{s.in(method, path, ""), s.send(method, path, "")} {
			policy := r.header.Get("Content-Security-Policy")
			for _, want := range []string{"default-src 'none'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'none'"} {
				if !strings.Contains(policy, want) {
					t.Errorf("%s: no %s", target, want)
				}
			}
			if strings.Contains(policy, "unsafe") || strings.Contains(policy, "*") || strings.Contains(policy, "https:") {
				t.Errorf("%s: %s", target, policy)
			}
			if r.header.Get("X-Frame-Options") != "DENY" || r.header.Get("Cross-Origin-Opener-Policy") != "same-origin" || r.header.Get("Cross-Origin-Resource-Policy") != "same-origin" {
				t.Errorf("%s: other sites may hold it: %v", target, r.header)
			}
		}
	}
	page := s.in("GET", "/", "")
	policy := page.header.Get("Content-Security-Policy")
	if !strings.Contains(policy, "script-src 'self';") || !strings.Contains(policy, "require-trusted-types-for 'script'") {
		t.Errorf("the page's policy: %s", policy)
	}
	nonce := regexp.MustCompile(`'nonce-([^']+)'`).FindStringSubmatch(policy)
	again := s.in("GET", "/", "").header.Get("Content-Security-Policy")
	if nonce == nil || !strings.Contains(page.body, nonce[1]) || strings.Contains(again, nonce[1]) {
		t.Error("the nonce is not of one answer alone")
	}
	if regexp.MustCompile(`(?i)<script(>| [^>]*>[^<])|\son[a-z]+=|\sstyle=`).MatchString(page.body) {
		t.Error("the page holds script or style in itself")
	}
}

func TestOtherSitesAreTaughtNothing(t *testing.T) {
	s := newSite(t, nil)
	for _, lines := range [][]string{{s.cookie}, {s.cookie, "Origin: http://evil.example"}, {s.cookie, "Origin: http://" + s.host}, nil} {
		for _, method := range []string{"GET", "OPTIONS", "POST"} {
			r := s.send(method, "/api/contents", "", append(slices.Clone(lines), "Access-Control-Request-Method: PUT", "Access-Control-Request-Private-Network: true")...)
			for name := range r.header {
				if strings.HasPrefix(name, "Access-Control-") {
					t.Errorf("%s with %q: %s", method, lines, name)
				}
			}
		}
	}
}
