// Package door decides who may come in to the page: this computer's own
// browser by a code that works once, other programs by a long token, and
// nobody through a web page of somebody else's.
package door

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"fmt"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"
)

// stay is how long a browser is known without showing the code again. Assumed:
// longer than a teaching day, shorter than a night and the next one.
const stay = 24 * time.Hour

// fresh is how long a code can be used. Assumed: time enough to copy the
// address to another browser; a code that lay in the process list or in a
// terminal's history is worth nothing the day after.
const fresh = 15 * time.Minute

// A Door knows the codes, tokens and browsers of one server.
type Door struct {
	hosts  []string // the only values of Host that are meant for this server
	port   string
	cookie string // its name; with the port in it, since ports of a host share cookies
	token  string
	memory *Memory

	mu   sync.Mutex
	code string    // works once
	made time.Time // when the code was
	now  func() time.Time
}

// New makes the door of a server that listens at an address. Besides the
// loopback's names it answers to the names given, such as the machine's own
// address when it listens to a network.
func New(address string, names []string, m *Memory) (*Door, error) {
	_, port, err := net.SplitHostPort(address)
	if err != nil {
		return nil, fmt.Errorf("the address %s has no port: %w", address, err)
	}
	d := &Door{port: port, cookie: "tautline-" + port, token: m.token(), memory: m, now: time.Now}
	d.renew()
	for _, name := range append([]string{"127.0.0.1", "localhost", "::1"}, names...) {
		d.hosts = append(d.hosts, strings.ToLower(net.JoinHostPort(name, port)))
	}
	return d, nil
}

// secret is a random word that nobody guesses: 160 bits.
func secret() string {
	var b [20]byte
	rand.Read(b[:])
	return hex.EncodeToString(b[:])
}

// Token is the long token for other programs that speak to the server.
func (d *Door) Token() string { return d.token }

// EnterPath is where a code is shown.
const EnterPath = "/enter"

// renew makes another code.
func (d *Door) renew() { d.code, d.made = secret(), d.now() }

func (d *Door) old() bool { return d.now().Sub(d.made) >= fresh }

// Link gives the path with the code of the moment. After its use, or when it is
// old, there is a new one.
func (d *Door) Link() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.old() {
		d.renew()
	}
	return EnterPath + "?code=" + d.code
}

// Guard lets in to next who may come in.
func (d *Door) Guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		protect(w.Header())
		switch reason := d.stranger(r); {
		case reason != "":
			Refuse(w, r, http.StatusForbidden, reason)
		case r.URL.Path == EnterPath:
			d.enter(w, r)
		case !d.known(r):
			Refuse(w, r, http.StatusUnauthorized, "This page opens with the address that tautline printed where it was started; each such address works once. Press Enter there for a new one.")
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// stranger gives the reason to refuse a request before looking at who sends it.
// Host: another name that leads here (DNS rebinding) would make a foreign page
// "the same origin". Origin and Sec-Fetch-Site: browsers say with them which
// page asks.
func (d *Door) stranger(r *http.Request) string {
	host := strings.ToLower(r.Host)
	if !slices.Contains(d.hosts, host) {
		return "This server does not answer to the name " + quoted(r.Host) + "."
	}
	if origin := r.Header.Values("Origin"); len(origin) > 1 || len(origin) == 1 && !strings.EqualFold(origin[0], "http://"+host) {
		return "Pages of other sites may not ask here."
	}
	switch site := r.Header.Get("Sec-Fetch-Site"); site {
	case "", "same-origin":
	case "none": // typed in, or opened from outside the browser
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			return "Only the page itself may change something."
		}
	default:
		return "Pages of other sites may not ask here."
	}
	return ""
}

// quoted keeps what a stranger sent short and printable.
func quoted(s string) string { return fmt.Sprintf("%.60q", s) }

// enter takes a code and gives a cookie that is neither code nor token. The
// code is used up, and gone from the address line.
func (d *Door) enter(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet {
		Refuse(w, r, http.StatusMethodNotAllowed, "An address with a code is opened, nothing else.")
		return
	}
	if !d.use(r.URL.Query().Get("code")) {
		if d.known(r) { // the same address opened again in the same browser
			http.Redirect(w, r, "/", http.StatusSeeOther)
			return
		}
		Refuse(w, r, http.StatusUnauthorized, "This address has been used already, is older than a quarter of an hour, or is not one of this server. Press Enter where tautline was started for a new one.")
		return
	}
	id := secret()
	d.memory.remember(id, time.Now().Add(stay))
	http.SetCookie(w, &http.Cookie{Name: d.cookie, Value: id, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode,
		MaxAge: int(stay / time.Second)})
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

// use spends the code of the moment.
func (d *Door) use(code string) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.old() || !same(code, d.code) {
		return false
	}
	d.renew()
	return true
}

// known tells whether a request carries the cookie of a browser that came in,
// or the token. Programs that cannot set a header on a socket put the token
// into its address, as Jupyter servers have it.
func (d *Door) known(r *http.Request) bool {
	if c, err := r.Cookie(d.cookie); err == nil && d.memory.knows(c.Value, time.Now()) {
		return true
	}
	if kind, t, ok := strings.Cut(r.Header.Get("Authorization"), " "); ok {
		return (strings.EqualFold(kind, "token") || strings.EqualFold(kind, "bearer")) && same(strings.TrimSpace(t), d.token)
	}
	api := strings.HasPrefix(r.URL.Path, "/api/") || r.URL.Path == "/api" || r.URL.Path == "/tree"
	return api && same(r.URL.Query().Get("token"), d.token)
}

// same compares secrets in constant time, whatever their lengths.
func same(a, b string) bool {
	x, y := sha256.Sum256([]byte(a)), sha256.Sum256([]byte(b))
	return subtle.ConstantTimeCompare(x[:], y[:]) == 1
}
