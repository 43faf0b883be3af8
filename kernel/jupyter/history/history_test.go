package history

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

func inputs(all []Entry) string {
	var texts []string
	for _, e := range all {
		texts = append(texts, fmt.Sprintf("%d/%d:%s", e.Session, e.Line, e.Input))
	}
	return strings.Join(texts, " ")
}

func expect(t *testing.T, what string, got []Entry, want string) {
	t.Helper()
	if s := inputs(got); s != want {
		t.Errorf("%s: %q, want %q", what, s, want)
	}
}

// twoSessions is a history of an earlier and the present kernel.
func twoSessions(t *testing.T) *Store {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "made", "when needed")
	before := Open(dir)
	before.Add(1, "a", "")
	before.Add(2, "b", "2")
	if err := before.Close(); err != nil {
		t.Fatal(err)
	}
	now := Open(dir)
	t.Cleanup(func() { now.Close() })
	return now
}

func TestQueries(t *testing.T) {
	s := twoSessions(t)
	expect(t, "range of the earlier session, before a cell was run", s.Range(-1, 0, -1), "1/1:a 1/2:b")
	expect(t, "range of this session, before a cell was run", s.Range(0, 0, -1), "")
	s.Add(1, "b", "4")
	s.Add(2, "bc\nd", "")
	expect(t, "tail", s.Tail(3), "1/2:b 2/1:b 2/2:bc\nd")
	expect(t, "tail of none", s.Tail(0), "")
	expect(t, "tail of all", s.Tail(-1), "1/1:a 1/2:b 2/1:b 2/2:bc\nd")
	expect(t, "range", s.Range(0, 1, 2), "2/1:b")
	expect(t, "range by number", s.Range(1, 2, 9), "1/2:b")
	expect(t, "range of the session before", s.Range(-1, 0, 2), "1/1:a")
	expect(t, "range of no session", s.Range(-7, 0, -1), "")
	expect(t, "search", s.Search("b*", -1, false), "1/2:b 2/1:b 2/2:bc\nd")
	expect(t, "search, the last", s.Search("b*", 1, false), "2/2:bc\nd")
	expect(t, "search, unique", s.Search("b", -1, true), "2/1:b")
	if out := s.Tail(-1)[1].Output; out != "2" {
		t.Errorf("output %q", out)
	}
}

func TestGlob(t *testing.T) {
	for _, c := range []struct {
		pattern, text string
		want          bool
	}{
		{"*", "", true}, {"*", "a/b\nc", true}, {"a?c", "aµc", true}, {"a?c", "ac", false},
		{"fit*At", "fit := x.At", true}, {"fit*At", "fit := x.At(1)", false}, {"a.c", "abc", false},
		{"[ab]c", "bc", true}, {"[!ab]c", "bc", false}, {"[^ab]c", "xc", true}, {"[a-c]", "b", true},
		{"[", "[", true}, {"x[]", "x[]", true}, {"[z-a]", "[z-a]", true}, {`[\]`, `\`, true}, {"a]", "a]", true},
		{"(.*)", "(x)", false}, {"$", "$", true}, {"A", "a", false},
	} {
		if got := glob(c.pattern).MatchString(c.text); got != c.want {
			t.Errorf("%q on %q: %v", c.pattern, c.text, got)
		}
	}
}

// Any pattern is one, and a text without signs of its own matches itself.
func TestGlobTakesAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pattern := rapid.String().Draw(t, "pattern")
		re := glob(pattern)
		if !strings.ContainsAny(pattern, "*?[") && !re.MatchString(pattern) {
			t.Fatalf("%q does not match itself", pattern)
		}
	})
	glob("\xff*\xff[\xff]")
}

// Kernels that start at once get different numbers.
func TestManyAtOnce(t *testing.T) {
	dir := t.TempDir()
	var all sync.WaitGroup
	for range 20 {
		all.Go(func() {
			s := Open(dir)
			s.Add(1, "x", "")
			s.Close()
		})
	}
	all.Wait()
	if n := len(Open(dir).Tail(-1)); n != 20 {
		t.Errorf("%d cells are kept of 20", n)
	}
}

// What is kept stays small; the newest is what stays.
func TestBounds(t *testing.T) {
	dir := t.TempDir()
	big := strings.Repeat("x", maxInput)
	for range 8 {
		s := Open(dir)
		for line := range 2 * maxSession / maxInput {
			s.Add(line+1, big, big)
		}
		if s.size > maxSession {
			t.Errorf("%d bytes in memory", s.size)
		}
		s.Close()
	}
	s := Open(dir)
	s.Add(1, "last", "")
	s.Add(2, big+"x", "")
	defer s.Close()
	total := 0
	files, _ := os.ReadDir(dir)
	for _, f := range files {
		info, _ := f.Info()
		total += int(info.Size())
	}
	if total > maxTotal+maxSession+2*maxInput {
		t.Errorf("%d bytes are kept", total)
	}
	tail := s.Tail(2)
	if len(tail) != 2 || tail[1].Input != "last" || tail[0].Session != 8 || len(tail[0].Output) > maxOutput+4 {
		t.Errorf("the newest are %d/%d", tail[0].Session, tail[1].Session)
	}
}

func TestDamagedFiles(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"000003.jsonl": "{\"line\":1,\"in\":\"a\"}\nnonsense\n{\"line\":0}\n{\"line\":2,\"in\":\"b\"}\n{\"line\":3,\"in\":\"half",
		"000004.jsonl": "", "x.jsonl": "{\"line\":1}", "-5.jsonl": "", "000009.txt": "x",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	s := Open(dir)
	expect(t, "tail", s.Tail(-1), "3/1:a 3/2:b")
	s.Add(1, "c", "")
	defer s.Close()
	expect(t, "tail", s.Tail(1), "5/1:c")
}

// Where nothing can be written, history lasts as long as the kernel.
func TestNoFolder(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{"", filepath.Join(file, "below a file")} {
		s := Open(dir)
		s.Add(1, "a", "")
		expect(t, dir, s.Tail(5), "1/1:a")
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}
}
