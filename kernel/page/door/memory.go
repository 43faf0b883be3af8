package door

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"
	"sync"
	"time"
)

// mostKept bounds the browsers that are remembered. Assumed: a classroom's.
const mostKept = 100

// A Memory keeps which browsers came in, so that a page goes on by itself after
// the server was started anew. Of their cookies it keeps hashes only.
type Memory struct {
	file string // empty: nothing outlives this run

	mu   sync.Mutex
	kept kept
}

type kept struct {
	Version  int                  `json:"version"`
	Token    string               `json:"token"`
	Browsers map[string]time.Time `json:"browsers"` // hash of the cookie -> until when
}

// Remember opens a memory. A file that cannot be read or is not one counts as
// empty: at worst the code has to be shown again.
func Remember(file string) *Memory {
	m := &Memory{file: file}
	if data, err := os.ReadFile(file); file != "" && err == nil {
		if json.Unmarshal(data, &m.kept) != nil || m.kept.Version != 1 {
			m.kept = kept{}
		}
	}
	m.kept.Version = 1
	if m.kept.Browsers == nil {
		m.kept.Browsers = map[string]time.Time{}
	}
	if len(m.kept.Token) < 40 {
		m.kept.Token = secret()
		m.save()
	}
	return m
}

func (m *Memory) token() string { return m.kept.Token }

func hash(id string) string {
	h := sha256.Sum256([]byte(id))
	return hex.EncodeToString(h[:])
}

// knows tells whether a cookie is of a browser that came in lately. The lookup
// is by hash, so its time tells nothing about the cookies there are.
func (m *Memory) knows(id string, now time.Time) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	until, ok := m.kept.Browsers[hash(id)]
	return ok && now.Before(until)
}

func (m *Memory) remember(id string, until time.Time) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for h, t := range m.kept.Browsers {
		if time.Now().After(t) {
			delete(m.kept.Browsers, h)
		}
	}
	for len(m.kept.Browsers) >= mostKept {
		m.forgetOldest()
	}
	m.kept.Browsers[hash(id)] = until
	m.save()
}

func (m *Memory) forgetOldest() {
	oldest := ""
	for h, t := range m.kept.Browsers {
		if oldest == "" || t.Before(m.kept.Browsers[oldest]) {
			oldest = h
		}
	}
	delete(m.kept.Browsers, oldest)
}

// save writes the file for this user alone. Failing to is no reason to fail:
// the memory then ends with this run.
func (m *Memory) save() {
	if m.file == "" {
		return
	}
	data, err := json.Marshal(m.kept)
	if err != nil {
		return
	}
	if os.MkdirAll(filepath.Dir(m.file), 0o700) != nil {
		return
	}
	f, err := os.CreateTemp(filepath.Dir(m.file), ".door-*") // made for its owner only
	if err != nil {
		return
	}
	_, err = f.Write(data)
	if f.Close() == nil && err == nil {
		err = os.Rename(f.Name(), m.file)
	}
	if err != nil {
		os.Remove(f.Name())
	}
}
