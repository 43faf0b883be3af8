package shelf

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"
)

// Add makes a new file under the first free name: "untitled.ipynb", then
// "untitled 2.ipynb".
func (s *Shelf) Add(folder, stem, ending string, data []byte) (File, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	p, err := s.free(folder, stem, ending)
	if err != nil {
		return File{}, err
	}
	return s.save(p, data, New)
}

// AddFolder makes a new folder under the first free name.
func (s *Shelf) AddFolder(folder, stem string) (Entry, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	root, err := s.writing()
	if err != nil {
		return Entry{}, err
	}
	p, err := s.free(folder, stem, "")
	if err != nil {
		return Entry{}, err
	}
	if err := root.Mkdir(under(p), 0o755); err != nil {
		return Entry{}, said(p, err)
	}
	return s.find(p)
}

// free finds a name that nothing has yet.
func (s *Shelf) free(folder, stem, ending string) (string, error) {
	for n := 1; n < 10_000; n++ {
		name := stem + ending
		if n > 1 {
			name = fmt.Sprintf("%s %d%s", stem, n, ending)
		}
		p, err := clean(path.Join(strings.Trim(folder, "/"), name))
		if err != nil {
			return "", err
		}
		if !s.taken(p) {
			return p, nil
		}
	}
	return "", &Error{Exists, stem + ending, "all names like it are taken"}
}

// taken tells whether a name is that of something, be it a link that leads out
// of the folder: to put a file in its place would destroy it.
func (s *Shelf) taken(p string) bool {
	if _, err := s.find(p); err == nil {
		return true
	}
	if s.root == nil {
		return false
	}
	_, err := s.root.Lstat(under(p))
	return err == nil
}

// Copy duplicates a file beside itself or into a folder: "mask copy.ipynb".
func (s *Shelf) Copy(p, folder string) (File, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	f, err := s.read(p)
	if err != nil {
		return File{}, err
	}
	ending := path.Ext(f.Name)
	to, err := s.free(folder, strings.TrimSuffix(f.Name, ending)+" copy", ending)
	if err != nil {
		return File{}, err
	}
	return s.save(to, f.Data, New)
}

// Original gives a file as it came with the program.
func (s *Shelf) Original(p string) (File, error) {
	e, ok := s.baseEntry(p)
	if !ok {
		return File{}, &Error{Missing, p, "did not come with tautline"}
	}
	data, err := fs.ReadFile(s.base, e.Path)
	return File{e, data, Hash(data)}, err
}

// Rename gives a file or folder another name or place. Nothing is overwritten.
// A file that comes with the program is copied under the new name.
func (s *Shelf) Rename(from, to string) (Entry, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	e, err := s.find(from)
	if err != nil {
		return Entry{}, err
	}
	if to, err = clean(to); err != nil || to == "" || e.Path == "" {
		return Entry{}, orOdd(err, to, "a new name is wanted")
	}
	if !e.Folder {
		if to, err = file(to, true); err != nil {
			return Entry{}, err
		}
		if path.Ext(to) != path.Ext(e.Path) {
			return Entry{}, &Error{Odd, to, "the ending stays " + path.Ext(e.Path)}
		}
	}
	if s.taken(to) && !strings.EqualFold(to, e.Path) {
		return Entry{}, &Error{Exists, to, "is there already"}
	}
	if e.BuiltIn {
		f, err := s.read(from)
		if err != nil {
			return Entry{}, err
		}
		f, err = s.save(to, f.Data, New)
		return f.Entry, err
	}
	if err := patiently(func() error { return s.root.Rename(under(e.Path), under(to)) }); err != nil {
		return Entry{}, said(to, err)
	}
	s.moveKept(e.Path, to)
	return s.find(to)
}

func orOdd(err error, p, text string) error {
	if err != nil {
		return err
	}
	return &Error{Odd, p, text}
}

// A deleted file is kept with the name that it had.
type deleted struct {
	Path string    `json:"path"`
	When time.Time `json:"when"`
	Data []byte    `json:"data"`
}

// keepDeleted is how long a deleted file can be brought back. Assumed: as long
// as people notice a mistake.
const keepDeleted = 30 * 24 * time.Hour

// Delete takes a file off the shelf, or an empty folder, and gives the word
// that Undelete brings it back with; an empty folder has none.
func (s *Shelf) Delete(p string) (undo string, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	e, err := s.find(p)
	switch {
	case err != nil:
		return "", err
	case e.Path == "":
		return "", &Error{Refused, "", "the folder that is open is not deleted"}
	case e.BuiltIn:
		return "", &Error{Refused, e.Path, "comes with tautline and stays"}
	case e.Folder:
		if err := s.root.Remove(under(e.Path)); err != nil {
			return "", &Error{Refused, e.Path, "only an empty folder is deleted here"}
		}
		return "", nil
	}
	if _, err := file(e.Path, true); err != nil {
		return "", err
	}
	data, err := s.content(e)
	if err != nil {
		return "", said(e.Path, err)
	}
	undo = random()
	if err := s.keep("deleted", undo, deleted{e.Path, time.Now(), data}); err != nil {
		return "", &Error{Refused, e.Path, "was not deleted, because it could not be kept for undo: " + plain(err).Error()}
	}
	if err := patiently(func() error { return s.root.Remove(under(e.Path)) }); err != nil {
		return "", said(e.Path, err)
	}
	s.sweepDeleted()
	return undo, nil
}

// Undelete brings back what was deleted, under its old name or one like it.
func (s *Shelf) Undelete(undo string) (File, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	var d deleted
	if oddName(undo) != "" || strings.Contains(undo, "/") || !s.kept("deleted", undo, &d) {
		return File{}, &Error{Missing, "", "what was deleted is not kept any more"}
	}
	p := d.Path
	if _, err := s.find(p); err == nil {
		ending := path.Ext(p)
		if p, err = s.free(path.Dir("/" + p)[1:], strings.TrimSuffix(path.Base(p), ending), ending); err != nil {
			return File{}, err
		}
	}
	f, err := s.save(p, d.Data, New)
	if err == nil {
		s.drop("deleted", undo)
	}
	return f, err
}

// sweepDeleted forgets what was deleted long ago.
func (s *Shelf) sweepDeleted() {
	all, _ := os.ReadDir(filepath.Join(s.own, "deleted"))
	for _, d := range all {
		if info, err := d.Info(); err == nil && time.Since(info.ModTime()) > keepDeleted {
			os.Remove(filepath.Join(s.own, "deleted", d.Name()))
		}
	}
}

// keep, kept and drop handle what the shelf keeps for itself: small JSON files
// of this user's alone, in a folder a purpose.
func (s *Shelf) keep(purpose, name string, v any) error {
	data, err := json.Marshal(v)
	if err != nil {
		return err
	}
	dir := filepath.Join(s.own, purpose)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	defer root.Close()
	return replace(root, name+".json", data, 0o600, func() error { return nil })
}

func (s *Shelf) kept(purpose, name string, v any) bool {
	data, err := os.ReadFile(filepath.Join(s.own, purpose, name+".json"))
	return err == nil && json.Unmarshal(data, v) == nil
}

func (s *Shelf) drop(purpose, name string) {
	os.Remove(filepath.Join(s.own, purpose, name+".json"))
}
