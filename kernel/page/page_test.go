package page

import (
	"bufio"
	"net"
	"net/http"
	"strconv"
	"strings"
	"testing"
	"time"

	"tautline/kernel/page/door"
)

// An open event stream hears of the end, and does not hold it up.
func TestPagesAreAskedToSave(t *testing.T) {
	s := newSite(t, nil)
	r, err := http.NewRequest("GET", s.Address()+"/tautline/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	_, cookie, _ := strings.Cut(s.cookie, ": ")
	r.Header.Set("Cookie", cookie)
	w, err := http.DefaultTransport.RoundTrip(r)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Body.Close()
	lines := bufio.NewScanner(w.Body)
	expect := func(text string) {
		t.Helper()
		for lines.Scan() {
			if lines.Text() == text {
				return
			}
		}
		t.Fatalf("%q was not heard", text)
	}
	expect("event: here")
	ended := make(chan error, 1)
	go func() { ended <- s.Close() }()
	expect("event: closing")
	// The page saves now: there is still somebody to answer.
	if a := s.in("PUT", "/api/contents/a.csv", `{"type":"file","content":"typed"}`); a.status != http.StatusCreated {
		t.Errorf("a save while closing: %d", a.status)
	}
	select {
	case <-ended:
	case <-time.After(30 * time.Second):
		t.Fatal("an open page keeps the server from ending")
	}
}

// A page finds the server of before at its place, and need not show a code.
func TestAServerIsFoundAgainAtThePortOfLastTime(t *testing.T) {
	m := door.Remember("")
	s := newSite(t, func(o *Options) { o.Memory = m })
	_, p, _ := net.SplitHostPort(s.host)
	port, _ := strconv.Atoi(p)
	taken, err := Listen("127.0.0.1", port)
	if err != nil || taken.Addr().String() == s.host {
		t.Fatalf("a taken port: %v, %v", taken, err)
	}
	taken.Close()
	s.Close()
	l, err := Listen("127.0.0.1", port)
	if err != nil || l.Addr().String() != s.host {
		t.Fatalf("the port of last time: %v, %v", l, err)
	}
	again, err := Start(t.Context(), l, Options{Memory: m})
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	s.Server = again
	if r := s.in("GET", "/", ""); r.status != http.StatusOK {
		t.Errorf("with the cookie of before: %d", r.status)
	}
}
