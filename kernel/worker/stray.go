package worker

import (
	"os"
	"strings"
	"sync"
	"time"
)

// keptStray bounds what is kept of a worker's error stream, in bytes.
const keptStray = 256 << 10

// stray reads a worker's error stream: what something compiled writes there or
// to standard output behind the cell's back, and a crash's report.
type stray struct {
	mu    sync.Mutex
	text  []byte
	ended chan struct{} // closed at the stream's end
	news  chan struct{}
}

func newStray() *stray { return &stray{ended: make(chan struct{}), news: make(chan struct{}, 1)} }

func (s *stray) read(f *os.File) {
	defer close(s.ended)
	defer f.Close()
	b := make([]byte, 4096)
	for {
		n, err := f.Read(b)
		s.mu.Lock()
		s.text = append(s.text, b[:min(n, max(0, keptStray-len(s.text)))]...)
		s.mu.Unlock()
		select {
		case s.news <- struct{}{}:
		default:
		}
		if err != nil {
			return
		}
	}
}

// upTo takes what was written before a mark. It waits for the mark, but not
// for long: a flood may have swallowed it.
func (s *stray) upTo(mark string) string {
	enough := time.After(200 * time.Millisecond)
	for {
		s.mu.Lock()
		before, after, found := strings.Cut(string(s.text), mark)
		if found {
			s.text = []byte(after)
		}
		full := len(s.text) >= keptStray
		s.mu.Unlock()
		if found {
			return before
		}
		if full {
			return s.take()
		}
		select {
		case <-s.news:
		case <-enough:
			return s.take()
		case <-s.ended:
			return ""
		}
	}
}

func (s *stray) take() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	text := string(s.text)
	s.text = nil
	return text
}

func (s *stray) wait() { <-s.ended }
