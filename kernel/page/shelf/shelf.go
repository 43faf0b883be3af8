// Package shelf keeps the notebooks of one folder: it lists, reads and saves
// them and never lets a path lead out of the folder. Saving is whole or not at
// all, and never over a change that somebody else made.
package shelf

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sort"
	"strings"
	"sync"
	"time"
)

// MaxSize bounds a file that is read or written; as notebooks are bounded
// elsewhere.
const MaxSize = 64 << 20

// mostListed bounds a list. Assumed: nobody looks through more.
const mostListed = 5000

// A Reason says what kind of refusal an Error is.
type Reason int

// The reasons.
const (
	Missing  Reason = iota // there is no such file or folder
	Exists                 // there is one already
	Odd                    // a name or kind that cannot be used
	Conflict               // somebody else has changed the file meanwhile
	TooLarge
	Refused // the system or the shelf does not allow it
)

// An Error says what could not be done with which file, and why.
type Error struct {
	Reason Reason
	Path   string
	Text   string
}

func (e *Error) Error() string {
	if e.Path == "" {
		return e.Text
	}
	return e.Path + ": " + e.Text
}

// An Entry is a file or folder.
type Entry struct {
	Name, Path string
	Folder     bool
	Size       int64
	Modified   time.Time
	Writable   bool
	// BuiltIn: it comes with the program; the first edit makes a copy.
	BuiltIn bool
}

// A File is an entry with its content.
type File struct {
	Entry
	Data []byte
	Hash string // of the content: what Save compares with
}

// A Shelf is a folder, with what lies under it. Several goroutines may use it.
type Shelf struct {
	folder string
	own    string // where checkpoints, drafts and what was deleted are kept
	base   fs.FS  // files that come with the program, or nil

	mu   sync.Mutex // one change at a time
	root *os.Root   // nil until the folder is there
}

// Open opens a folder. What it keeps for itself goes into the folder own. With
// a base, files of it are on the shelf too until the folder has one of the same
// name, and the folder is made by the first change.
func Open(folder, own string, base fs.FS) (*Shelf, error) {
	folder, err := filepath.Abs(folder)
	if err != nil {
		return nil, err
	}
	s := &Shelf{folder: folder, own: own, base: base}
	if s.root, err = os.OpenRoot(folder); err != nil && (base == nil || !errors.Is(err, fs.ErrNotExist)) {
		return nil, fmt.Errorf("the folder %s cannot be opened: %w", folder, plain(err))
	}
	return s, nil
}

// Folder is where the files lie.
func (s *Shelf) Folder() string { return s.folder }

// writing gives the root for a change, and makes the folder if need be.
func (s *Shelf) writing() (*os.Root, error) {
	if s.root != nil {
		return s.root, nil
	}
	err := os.MkdirAll(s.folder, 0o755)
	if err == nil {
		s.root, err = os.OpenRoot(s.folder)
	}
	if err != nil {
		return nil, &Error{Refused, "", fmt.Sprintf("the folder %s cannot be made: %v", s.folder, plain(err))}
	}
	return s.root, nil
}

// List gives what lies in a folder, folders first, then by name.
func (s *Shelf) List(folder string) ([]Entry, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	folder, err := clean(folder)
	if err != nil {
		return nil, err
	}
	list, err := s.mine(folder)
	if err != nil {
		return nil, err
	}
	if folder == "" && s.base != nil {
		list = s.addBase(list)
	}
	sort.Slice(list, func(i, j int) bool {
		if list[i].Folder != list[j].Folder {
			return list[i].Folder
		}
		return strings.ToLower(list[i].Name) < strings.ToLower(list[j].Name)
	})
	return list, nil
}

// mine lists a folder's own entries.
func (s *Shelf) mine(folder string) ([]Entry, error) {
	if s.root == nil {
		return nil, nil
	}
	dir, err := s.root.Open(under(folder))
	if err != nil {
		return nil, said(folder, err)
	}
	defer dir.Close()
	infos, err := dir.ReadDir(mostListed)
	if err != nil && err != io.EOF {
		return nil, said(folder, err)
	}
	var list []Entry
	for _, d := range infos {
		p := path.Join(folder, d.Name())
		if e, err := s.stat(p); err == nil && (e.Folder || kindShown(p)) {
			list = append(list, e)
		}
	}
	return list, nil
}

func kindShown(p string) bool {
	_, shown := kinds[strings.ToLower(path.Ext(p))]
	return shown
}

func (s *Shelf) addBase(list []Entry) []Entry {
	have := map[string]bool{}
	for _, e := range list {
		have[e.Name] = true
	}
	all, err := fs.ReadDir(s.base, ".")
	if err != nil {
		return list
	}
	for _, d := range all {
		if e, ok := s.baseEntry(d.Name()); ok && !have[d.Name()] {
			list = append(list, e)
		}
	}
	return list
}

// baseEntry finds a file that comes with the program.
func (s *Shelf) baseEntry(name string) (Entry, bool) {
	if s.base == nil || strings.Contains(name, "/") || !kindShown(name) {
		return Entry{}, false
	}
	info, err := fs.Stat(s.base, name)
	if err != nil || info.IsDir() {
		return Entry{}, false
	}
	return Entry{Name: name, Path: name, Size: info.Size(), Modified: info.ModTime(), Writable: true, BuiltIn: true}, true
}

// under is a path as os.Root wants it.
func under(p string) string {
	if p == "" {
		return "."
	}
	return filepath.FromSlash(p)
}

// stat looks at one entry. What is neither file nor folder, such as a pipe,
// counts as missing: reading it might never end.
func (s *Shelf) stat(p string) (Entry, error) {
	if _, err := clean(p); err != nil {
		return Entry{}, err
	}
	if s.root == nil {
		return Entry{}, said(p, fs.ErrNotExist)
	}
	info, err := s.root.Stat(under(p))
	if err != nil {
		return Entry{}, said(p, err)
	}
	if !info.IsDir() && !info.Mode().IsRegular() {
		return Entry{}, said(p, fs.ErrNotExist)
	}
	writable := kinds[strings.ToLower(path.Ext(p))] || info.IsDir()
	return Entry{Name: path.Base("/" + p), Path: p, Folder: info.IsDir(), Size: info.Size(), Modified: info.ModTime(),
		Writable: writable && info.Mode().Perm()&0o200 != 0}, nil
}

// Stat looks at one entry; "" is the folder itself.
func (s *Shelf) Stat(p string) (Entry, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.find(p)
}

func (s *Shelf) find(p string) (Entry, error) {
	p, err := clean(p)
	if err != nil {
		return Entry{}, err
	}
	if p == "" {
		return Entry{Folder: true, Writable: true}, nil
	}
	e, err := s.stat(p)
	if err != nil {
		if b, ok := s.baseEntry(p); ok {
			return b, nil
		}
	}
	return e, err
}

// Read gives a file.
func (s *Shelf) Read(p string) (File, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.read(p)
}

func (s *Shelf) read(p string) (File, error) {
	p, err := file(p, false)
	if err != nil {
		return File{}, err
	}
	e, err := s.find(p)
	switch {
	case err != nil:
		return File{}, err
	case e.Folder:
		return File{}, &Error{Odd, p, "is a folder"}
	case e.Size > MaxSize:
		return File{}, &Error{TooLarge, p, fmt.Sprintf("has %d MB; at most %d MB are opened here", e.Size>>20, MaxSize>>20)}
	}
	data, err := s.content(e)
	if err != nil {
		return File{}, said(p, err)
	}
	return File{e, data, Hash(data)}, nil
}

func (s *Shelf) content(e Entry) ([]byte, error) {
	if e.BuiltIn {
		return fs.ReadFile(s.base, e.Path)
	}
	f, err := s.root.Open(under(e.Path))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, MaxSize+1))
	if err == nil && len(data) > MaxSize {
		err = errors.New("grew beyond what is opened here")
	}
	return data, err
}

// Hash is SHA-256 of a content, in hexadecimal digits.
func Hash(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}

// said turns an error of the system into a sentence about the file.
func said(p string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &Error{Missing, p, "there is no such file or folder here"}
	case errors.Is(err, fs.ErrExist):
		return &Error{Exists, p, "is there already"}
	case errors.Is(err, fs.ErrPermission):
		return &Error{Refused, p, "the system does not allow it"}
	case strings.Contains(err.Error(), "escapes"):
		return &Error{Refused, p, "leads out of the folder"}
	}
	return &Error{Refused, p, plain(err).Error()}
}

// plain strips the operation and path that os puts before its reason.
func plain(err error) error {
	if e := (*fs.PathError)(nil); errors.As(err, &e) {
		return e.Err
	}
	if e := (*os.LinkError)(nil); errors.As(err, &e) {
		return e.Err
	}
	return err
}
