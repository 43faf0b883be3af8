package worker

import (
	"fmt"
	"strings"
	"sync"
	"time"
	"unicode/utf8"
)

// What a cell prints is sent in pieces of this size, or after this time, so
// that a loop that prints letter by letter costs few messages.
const (
	pieceSize = 32 << 10
	pieceTime = 20 * time.Millisecond
)

// A tape gathers what a cell prints and sends it in pieces. It counts all that
// the cell shows, and what passes the limit is left out.
type tape struct {
	send  func(text string)
	limit int64

	mu    sync.Mutex
	text  []byte
	used  int64
	full  bool
	timer *time.Timer
}

// begin starts counting anew, for the next cell.
func (t *tape) begin() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.used, t.full = 0, false
}

// Write never fails: a cell that prints too much goes on, unheard.
func (t *tape) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	n := len(p)
	if room := t.limit - t.used; int64(n) > room {
		p = p[:room]
	}
	t.used += int64(len(p))
	t.text = append(t.text, p...)
	if len(p) < n {
		t.overflow()
	}
	if len(t.text) >= pieceSize {
		t.flush(false)
	} else if t.timer == nil && len(t.text) > 0 {
		t.timer = time.AfterFunc(pieceTime, t.later)
	}
	return n, nil
}

func (t *tape) later() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.timer = nil
	t.flush(false)
}

// overflow says once that the rest is left out.
func (t *tape) overflow() {
	if t.full {
		return
	}
	t.full = true
	t.text = append(t.text, "\n("+limitSentence(t.limit)+"; the rest is left out)\n"...)
}

func limitSentence(limit int64) string { return "a cell shows at most " + size(limit) }

// size writes a number of bytes as people say it.
func size(n int64) string {
	switch {
	case n >= 1<<30:
		return strings.TrimSuffix(fmt.Sprintf("%.1f", float64(n)/(1<<30)), ".0") + " GB"
	case n >= 1<<20:
		return strings.TrimSuffix(fmt.Sprintf("%.1f", float64(n)/(1<<20)), ".0") + " MB"
	}
	return fmt.Sprintf("%d kB", n>>10)
}

// flush sends what there is. Unless it is the end, a letter of which only the
// first bytes have come is kept back.
func (t *tape) flush(end bool) {
	n := len(t.text)
	for i := 1; !end && i < utf8.UTFMax && i <= n; i++ {
		if b := t.text[n-i]; utf8.RuneStart(b) {
			if b >= utf8.RuneSelf && !utf8.FullRune(t.text[n-i:]) {
				n -= i
			}
			break
		}
	}
	if n == 0 {
		return
	}
	t.send(strings.ToValidUTF8(string(t.text[:n]), "\uFFFD"))
	t.text = append(t.text[:0], t.text[n:]...)
}

// Flush sends all that was printed so far, before something else is shown.
func (t *tape) Flush() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.flush(true)
}

// room takes n bytes of what the cell may still show, and tells whether they
// were there.
func (t *tape) room(n int) bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	if int64(n) > t.limit-t.used {
		t.overflow()
		t.flush(true)
		return false
	}
	t.used += int64(n)
	return true
}

// beside writes to one tape after what stands on the other was sent, so that
// both come in the order in which the cell wrote them.
type beside struct{ own, other *tape }

func (b beside) Write(p []byte) (int, error) {
	b.other.Flush()
	return b.own.Write(p)
}

// flush sends what stands on both tapes.
func (c *cells) flush() {
	c.tape.Flush()
	c.errs.Flush()
}
