package door

import (
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

const here = "127.0.0.1:8123"

func newDoor(t *testing.T, m *Memory) (*Door, http.Handler) {
	t.Helper()
	d, err := New(here, nil, m)
	if err != nil {
		t.Fatal(err)
	}
	return d, d.Guard(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { w.Write([]byte("inside")) }))
}

// ask sends a request with headers given as "Name: value".
func ask(h http.Handler, method, target string, headers ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, target, nil)
	r.Host = here
	for _, line := range headers {
		name, value, _ := strings.Cut(line, ": ")
		if name == "Host" {
			r.Host = value
			continue
		}
		r.Header.Add(name, value)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// enter shows the code and gives the cookie as a header line.
func enter(t *testing.T, d *Door, h http.Handler) string {
	t.Helper()
	w := ask(h, "GET", d.Link())
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/" {
		t.Fatalf("entering: %d to %q", w.Code, w.Header().Get("Location"))
	}
	c := w.Result().Cookies()
	if len(c) != 1 || !c[0].HttpOnly || c[0].SameSite != http.SameSiteStrictMode || !strings.Contains(c[0].Name, "8123") {
		t.Fatalf("cookies %v", c)
	}
	return "Cookie: " + c[0].Name + "=" + c[0].Value
}

func TestACodeWorksOnce(t *testing.T) {
	d, h := newDoor(t, Remember(""))
	link := d.Link()
	cookie := enter(t, d, h)
	if strings.Contains(cookie, strings.TrimPrefix(link, EnterPath+"?code=")) || strings.Contains(cookie, d.Token()) {
		t.Error("the cookie holds the code or the token")
	}
	if w := ask(h, "GET", link); w.Code != http.StatusUnauthorized {
		t.Errorf("the code works twice: %d", w.Code)
	}
	if w := ask(h, "GET", link, cookie); w.Code != http.StatusSeeOther {
		t.Errorf("the used address in the same browser: %d", w.Code)
	}
	if w := ask(h, "GET", "/", cookie); w.Body.String() != "inside" {
		t.Errorf("with the cookie: %d %s", w.Code, w.Body)
	}
	if d.Link() == link {
		t.Error("there is no new code")
	}
}

func TestACodeGrowsOld(t *testing.T) {
	d, h := newDoor(t, Remember(""))
	clock := time.Now()
	d.now = func() time.Time { return clock }
	link := d.Link()
	clock = clock.Add(fresh - time.Second)
	if d.Link() != link {
		t.Error("the code changed while it was fresh")
	}
	clock = clock.Add(2 * time.Second)
	if w := ask(h, "GET", link); w.Code != http.StatusUnauthorized {
		t.Errorf("an old code: %d", w.Code)
	}
	if d.Link() == link {
		t.Error("an old code is given out again")
	}
	enter(t, d, h)
}

func TestWhoIsRefused(t *testing.T) {
	d, h := newDoor(t, Remember(""))
	cookie := enter(t, d, h)
	token := "Authorization: token " + d.Token()
	for _, c := range []struct {
		name, method, target string
		headers              []string
		want                 int
	}{
		{"nobody", "GET", "/", nil, 401},
		{"nobody at a script", "GET", "/assets/page.js", nil, 401},
		{"nobody at a socket", "GET", "/api/kernels/1/channels", nil, 401},
		{"a wrong cookie", "GET", "/", []string{cookie + "0"}, 401},
		{"an empty token", "GET", "/api?token=", nil, 401},
		{"a wrong token", "GET", "/api", []string{"Authorization: token 123"}, 401},
		{"the token of the page's address elsewhere", "GET", "/?token=" + d.Token(), nil, 401},
		{"another name for this address", "GET", "/", []string{cookie, "Host: rebound.example:8123"}, 403},
		{"another port", "GET", "/", []string{cookie, "Host: 127.0.0.1:8124"}, 403},
		{"no name", "GET", "/", []string{cookie, "Host: "}, 403},
		{"another site", "POST", "/api/kernels", []string{cookie, "Origin: http://evil.example"}, 403},
		{"another site with the token", "POST", "/api/kernels", []string{token, "Origin: http://evil.example"}, 403},
		{"an opaque site", "GET", "/api/kernels", []string{cookie, "Origin: null"}, 403},
		{"another port's page", "GET", "/api/kernels", []string{cookie, "Origin: http://127.0.0.1:9999"}, 403},
		{"two origins", "GET", "/", []string{cookie, "Origin: http://" + here, "Origin: http://evil.example"}, 403},
		{"a link on another site", "GET", "/", []string{cookie, "Sec-Fetch-Site: cross-site"}, 403},
		{"a page of another port", "GET", "/", []string{cookie, "Sec-Fetch-Site: same-site"}, 403},
		{"a form from outside", "POST", "/api/kernels", []string{cookie, "Sec-Fetch-Site: none"}, 403},
		{"a code by another method", "POST", d.Link(), nil, 405},
		{"the page itself", "POST", "/api/kernels", []string{cookie, "Origin: http://" + here, "Sec-Fetch-Site: same-origin"}, 200},
		{"the page by its other name", "GET", "/", []string{cookie, "Host: localhost:8123", "Origin: http://localhost:8123"}, 200},
		{"a program", "GET", "/api/kernels", []string{token}, 200},
		{"a program that says bearer", "GET", "/api/kernels", []string{"Authorization: Bearer " + d.Token()}, 200},
		{"a program's socket", "GET", "/api/kernels/1/channels?token=" + d.Token(), nil, 200},
	} {
		w := ask(h, c.method, c.target, c.headers...)
		if w.Code != c.want {
			t.Errorf("%s: %d, want %d", c.name, w.Code, c.want)
		}
		for _, name := range []string{"Content-Security-Policy", "X-Content-Type-Options", "Referrer-Policy"} {
			if w.Header().Get(name) == "" {
				t.Errorf("%s: no %s", c.name, name)
			}
		}
		if w.Header().Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s: other sites may read", c.name)
		}
	}
}

func TestABrowserIsKnownAfterARestart(t *testing.T) {
	file := filepath.Join(t.TempDir(), "own", "page.json")
	d, h := newDoor(t, Remember(file))
	cookie := enter(t, d, h)
	again, h2 := newDoor(t, Remember(file))
	if w := ask(h2, "GET", "/", cookie); w.Code != 200 {
		t.Errorf("after a restart: %d", w.Code)
	}
	if again.Token() != d.Token() {
		t.Error("programs have to be told a new token")
	}
	if again.Link() == d.Link() {
		t.Error("the code outlives the run")
	}
}

func TestRefusalsAreReadByWhoAsked(t *testing.T) {
	_, h := newDoor(t, Remember(""))
	if w := ask(h, "GET", "/api/kernels"); !strings.HasPrefix(w.Header().Get("Content-Type"), "application/json") {
		t.Errorf("a program gets %q", w.Header().Get("Content-Type"))
	}
	w := ask(h, "GET", "/", "Host: <script>")
	if b := w.Body.String(); !strings.Contains(b, "<main>") || strings.Contains(b, "<script>") {
		t.Errorf("a person gets %s", b)
	}
}
