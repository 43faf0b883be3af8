package shelf

import (
	"os"
	"path/filepath"
	"strings"
	"time"
)

// A Kept is an earlier or unsaved state of a notebook.
type Kept struct {
	Path string    `json:"path"`
	When time.Time `json:"when"`
	Data []byte    `json:"data"`
	// Match is the hash of the file that a draft was made from.
	Match string `json:"match,omitempty"`
	// Folder is the shelf's, since several share a place to keep things.
	Folder string `json:"folder"`
}

// Names of what is kept: the folder and the path, hashed, so that no name of a
// file can be a bad one here.
func (s *Shelf) name(p string) string { return Hash([]byte(s.folder + "\x00" + p))[:32] }

// Draft keeps what a page holds and has not saved, for the case that it never
// can.
func (s *Shelf) Draft(p string, data []byte, match string) error {
	p, err := file(p, true)
	if err != nil {
		return err
	}
	if len(data) > MaxSize {
		return &Error{TooLarge, p, "is too large to be kept"}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.keep("drafts", s.name(p), Kept{p, time.Now(), data, match, s.folder}); err != nil {
		return said(p, err)
	}
	return nil
}

// DraftOf gives the draft of a file, if there is one that says something else
// than the file.
func (s *Shelf) DraftOf(p string) (Kept, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	p, err := clean(p)
	if err != nil {
		return Kept{}, false
	}
	var k Kept
	if !s.kept("drafts", s.name(p), &k) || k.Folder != s.folder {
		return Kept{}, false
	}
	if f, err := s.read(p); err == nil && f.Hash == Hash(k.Data) {
		s.drop("drafts", s.name(p))
		return Kept{}, false
	}
	return k, true
}

// Drafts lists the paths of the files that have one.
func (s *Shelf) Drafts() []string {
	var paths []string
	all, _ := os.ReadDir(filepath.Join(s.own, "drafts"))
	for _, d := range all {
		var k Kept
		if s.kept("drafts", strings.TrimSuffix(d.Name(), ".json"), &k) && k.Folder == s.folder {
			paths = append(paths, k.Path)
		}
	}
	return paths
}

// DropDraft forgets a draft: it was saved, or nobody wants it.
func (s *Shelf) DropDraft(p string) {
	if p, err := clean(p); err == nil {
		s.drop("drafts", s.name(p))
	}
}

// Checkpoint keeps a file's content of now; there is one for each file.
func (s *Shelf) Checkpoint(p string) (Kept, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	f, err := s.read(p)
	if err != nil {
		return Kept{}, err
	}
	k := Kept{f.Path, time.Now(), f.Data, f.Hash, s.folder}
	if err := s.keep("checkpoints", s.name(f.Path), k); err != nil {
		return Kept{}, said(f.Path, err)
	}
	return k, nil
}

// CheckpointOf gives the checkpoint of a file.
func (s *Shelf) CheckpointOf(p string) (Kept, bool) {
	p, err := clean(p)
	if err != nil {
		return Kept{}, false
	}
	var k Kept
	return k, s.kept("checkpoints", s.name(p), &k) && k.Folder == s.folder
}

// DropCheckpoint forgets it.
func (s *Shelf) DropCheckpoint(p string) {
	if p, err := clean(p); err == nil {
		s.drop("checkpoints", s.name(p))
	}
}

// moveKept lets draft and checkpoint follow a file to its new name.
func (s *Shelf) moveKept(from, to string) {
	for _, purpose := range []string{"drafts", "checkpoints"} {
		var k Kept
		if s.kept(purpose, s.name(from), &k) {
			k.Path = to
			if s.keep(purpose, s.name(to), k) == nil {
				s.drop(purpose, s.name(from))
			}
		}
	}
}
