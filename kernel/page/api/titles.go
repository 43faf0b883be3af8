package api

import (
	"sync"
	"time"

	"tautline/kernel/notebook"
	"tautline/kernel/page/shelf"
)

// Limits on looking for titles. Assumed: a lesson with its pictures is smaller,
// and a folder with more notebooks is looked through by name.
const (
	titledSize = 2 << 20
	mostTitled = 500
)

// titles keeps the headings of notebooks, each until its file changes.
type titles struct {
	mu   sync.Mutex
	seen map[string]titled
}

type titled struct {
	size     int64
	modified time.Time
	title    string
}

// of gives the first heading of a notebook, or nothing for one without, or one
// that cannot be read.
func (t *titles) of(s *shelf.Shelf, e shelf.Entry) string {
	if e.Size > titledSize {
		return ""
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	old, ok := t.seen[e.Path]
	if ok && old.size == e.Size && old.modified.Equal(e.Modified) {
		return old.title
	}
	now := titled{size: e.Size, modified: e.Modified}
	if f, err := s.Read(e.Path); err == nil {
		if n, err := notebook.Read("", f.Data); err == nil {
			now.title = n.Title()
		}
	}
	if len(t.seen) > 4*mostTitled || t.seen == nil { // many folders were looked at: begin anew
		t.seen = map[string]titled{}
	}
	t.seen[e.Path] = now
	return now.title
}
