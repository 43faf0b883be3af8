package history

import (
	"bufio"
	"bytes"
	"encoding/json"
	"os"
	"regexp"
	"slices"
	"strings"
)

// Tail gives the last n cells of all sessions, oldest first; all for n < 0.
func (s *Store) Tail(n int) []Entry {
	return s.latest(n, func(Entry) bool { return true })
}

// Search gives the last n cells that the pattern matches as a whole, oldest
// first; all for n < 0. In a pattern * stands for anything, ? for one
// character, [abc] and [a-z] for one of several. With unique, of equal cells
// only the last is given.
func (s *Store) Search(pattern string, n int, unique bool) []Entry {
	match := glob(pattern)
	seen := map[string]bool{}
	return s.latest(n, func(e Entry) bool {
		if !match.MatchString(e.Input) || unique && seen[e.Input] {
			return false
		}
		seen[e.Input] = true
		return true
	})
}

// Range gives the cells of one session from line start up to, and not with,
// line stop; to the end for stop < 0. Session 0 is this one, -1 the one before.
func (s *Store) Range(session, start, stop int) []Entry {
	s.mu.Lock()
	defer s.mu.Unlock()
	var found []Entry
	for _, e := range s.read(s.absolute(session)) {
		if e.Line >= start && (stop < 0 || e.Line < stop) {
			found = append(found, e)
		}
	}
	return found
}

// absolute turns a session counted from this one into its number.
func (s *Store) absolute(session int) int {
	switch {
	case session > 0:
		return session
	case session == 0:
		return s.session
	}
	now := s.session
	if now == 0 {
		now = last(s.numbers()) + 1
	}
	return now + session
}

// latest collects backwards from the newest cell.
func (s *Store) latest(n int, wanted func(Entry) bool) []Entry {
	s.mu.Lock()
	defer s.mu.Unlock()
	sessions := s.numbers()
	if s.session > 0 && !slices.Contains(sessions, s.session) {
		sessions = append(sessions, s.session)
	}
	var found []Entry
	enough := func() bool { return n >= 0 && len(found) >= n }
	for i := len(sessions) - 1; i >= 0 && !enough(); i-- {
		for _, e := range slices.Backward(s.read(sessions[i])) {
			if !enough() && wanted(e) {
				found = append(found, e)
			}
		}
	}
	slices.Reverse(found)
	return found
}

// read gives a session's cells: its own from memory, others from their file. A
// damaged line is left out.
func (s *Store) read(session int) []Entry {
	if session == s.session {
		return s.own
	}
	if s.folder == "" || session < 1 {
		return nil
	}
	data, err := os.ReadFile(s.path(session))
	if err != nil {
		return nil
	}
	var all []Entry
	lines := bufio.NewScanner(bytes.NewReader(data))
	lines.Buffer(nil, len(data)+1)
	for lines.Scan() {
		e := Entry{}
		if json.Unmarshal(lines.Bytes(), &e) == nil && e.Line > 0 {
			e.Session = session
			all = append(all, e)
		}
	}
	return all
}

// glob turns a pattern into an expression whose matching takes linear time.
// A bracket that is never closed, or holds nonsense, stands for itself.
func glob(pattern string) *regexp.Regexp {
	var b strings.Builder
	b.WriteString(`(?s)\A`)
	for rest := pattern; rest != ""; {
		piece, skip := globPiece(rest)
		b.WriteString(piece)
		rest = rest[skip:]
	}
	b.WriteString(`\z`)
	if re, err := regexp.Compile(b.String()); err == nil {
		return re
	}
	return regexp.MustCompile(`\A` + regexp.QuoteMeta(strings.ToValidUTF8(pattern, "?")) + `\z`)
}

// globPiece translates the first piece of a pattern and says how long it was.
func globPiece(rest string) (piece string, length int) {
	switch rest[0] {
	case '*':
		return ".*", 1
	case '?':
		return ".", 1
	case '[':
		if class, length := globClass(rest); length > 0 {
			return class, length
		}
		return `\[`, 1
	}
	end := strings.IndexAny(rest, "*?[")
	if end < 0 {
		end = len(rest)
	}
	return regexp.QuoteMeta(rest[:end]), end
}

func globClass(rest string) (class string, length int) {
	end := strings.IndexByte(rest[1:], ']') + 1
	if end < 2 {
		return "", 0
	}
	body := strings.NewReplacer(`\`, `\\`, `[`, `\[`).Replace(rest[1:end])
	if strings.HasPrefix(body, "!") {
		body = "^" + body[1:]
	}
	class = "[" + body + "]"
	if _, err := regexp.Compile(class); err != nil {
		return "", 0
	}
	return class, end + 1
}
