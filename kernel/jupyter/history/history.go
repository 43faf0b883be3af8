// Package history keeps the cells that were run, across restarts. Each session
// has a file of its own, so that kernels that run at the same time never wait
// for each other; old files make room for new ones.
package history

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"sync"
)

// How much is kept. Assumed: years of an ordinary user's work, and nothing on
// a disk.
const (
	maxTotal   = 4 << 20  // bytes of all files
	maxSession = 1 << 20  // bytes of one session
	maxFiles   = 1000     // sessions
	maxInput   = 64 << 10 // bytes of a cell; longer ones are not kept
	maxOutput  = 4 << 10  // bytes of what a cell gave; longer ones are cut
)

const extension = ".jsonl"

// An Entry is a cell that was run. Output is the text of its value; empty if it
// had none.
type Entry struct {
	Session int    `json:"-"`
	Line    int    `json:"line"`
	Input   string `json:"in"`
	Output  string `json:"out,omitempty"`
}

func (e Entry) size() int { return len(e.Input) + len(e.Output) }

// A Store is the history as one kernel sees it. What cannot be written, for
// example because the disk is full, is kept in memory only.
type Store struct {
	mu      sync.Mutex
	folder  string // empty: nothing is written
	session int    // 0 until the first cell
	own     []Entry
	size    int // bytes of own
	file    *os.File
	written int
}

// Open gives the history kept in a folder, which need not exist. Nothing is
// read or written before it is needed. An empty name keeps history in memory.
func Open(folder string) *Store { return &Store{folder: folder} }

// Close ends writing.
func (s *Store) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.file == nil {
		return nil
	}
	err := s.file.Close()
	s.file = nil
	return err
}

// Add keeps a cell.
func (s *Store) Add(line int, input, output string) {
	if len(input) > maxInput {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.begin()
	e := Entry{s.session, line, input, cut(output)}
	s.own = append(s.own, e)
	for s.size += e.size(); s.size > maxSession; s.own = s.own[1:] {
		s.size -= s.own[0].size()
	}
	s.write(e)
}

func cut(text string) string {
	if len(text) <= maxOutput {
		return text
	}
	return strings.ToValidUTF8(text[:maxOutput], "") + " ..."
}

// write appends to the session's file, in one call so that a line is whole or
// not there.
func (s *Store) write(e Entry) {
	if s.file == nil || s.written > maxSession {
		return
	}
	line, err := json.Marshal(e)
	if err != nil {
		return
	}
	n, _ := s.file.Write(append(line, '\n'))
	s.written += n
}

// begin takes the next free number for this session, once.
func (s *Store) begin() {
	if s.session > 0 {
		return
	}
	numbers := s.numbers()
	s.session = last(numbers) + 1
	if s.folder == "" || os.MkdirAll(s.folder, 0o700) != nil {
		return
	}
	s.prune(numbers)
	// Another kernel may take the number between the look and the making.
	for range maxFiles {
		f, err := os.OpenFile(s.path(s.session), os.O_CREATE|os.O_EXCL|os.O_WRONLY|os.O_APPEND, 0o600)
		if err == nil {
			s.file = f
			return
		}
		if !errors.Is(err, fs.ErrExist) {
			return
		}
		s.session++
	}
}

// prune removes the oldest sessions until what is left is small enough.
func (s *Store) prune(numbers []int) {
	total := 0
	for i := len(numbers) - 1; i >= 0; i-- {
		info, err := os.Stat(s.path(numbers[i]))
		if err != nil {
			continue
		}
		total += int(info.Size())
		if total > maxTotal || len(numbers)-i >= maxFiles {
			os.Remove(s.path(numbers[i]))
		}
	}
}

func (s *Store) path(session int) string {
	return filepath.Join(s.folder, fmt.Sprintf("%06d%s", session, extension))
}

// numbers lists the sessions on disk, oldest first.
func (s *Store) numbers() []int {
	if s.folder == "" {
		return nil
	}
	files, _ := os.ReadDir(s.folder)
	var numbers []int
	for _, f := range files {
		name, ok := strings.CutSuffix(f.Name(), extension)
		if n, err := strconv.Atoi(name); ok && err == nil && n > 0 {
			numbers = append(numbers, n)
		}
	}
	sort.Ints(numbers)
	return numbers
}

func last(numbers []int) int {
	if len(numbers) == 0 {
		return 0
	}
	return numbers[len(numbers)-1]
}
