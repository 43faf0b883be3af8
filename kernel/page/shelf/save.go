package shelf

import (
	"crypto/rand"
	"encoding/hex"
	"io/fs"
	"os"
	"path"
	"runtime"
	"time"
)

// Anything is what Save is told when the file may be overwritten whatever is
// in it, and New when there must be none.
const (
	Anything = "*"
	New      = ""
)

// Save writes a file, whole or not at all. Match is the hash of the content
// that the caller has seen; when the file holds something else by now, Save
// refuses with Conflict and leaves it alone.
func (s *Shelf) Save(p string, data []byte, match string) (File, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.save(p, data, match)
}

func (s *Shelf) save(p string, data []byte, match string) (File, error) {
	p, err := file(p, true)
	if err != nil {
		return File{}, err
	}
	if len(data) > MaxSize {
		return File{}, &Error{TooLarge, p, "is too large to be saved here"}
	}
	mode, err := s.mayWrite(p, match)
	if err != nil {
		return File{}, err
	}
	root, err := s.writing()
	if err != nil {
		return File{}, err
	}
	if err := replace(root, p, data, mode, func() error { _, err := s.mayWrite(p, match); return err }); err != nil {
		if _, ours := err.(*Error); ours {
			return File{}, err
		}
		return File{}, said(p, err)
	}
	e, err := s.find(p)
	return File{e, data, Hash(data)}, err
}

// mayWrite compares what is there with what the caller has seen, and gives the
// permissions to keep.
func (s *Shelf) mayWrite(p, match string) (fs.FileMode, error) {
	now, err := s.read(p)
	if e, ok := err.(*Error); ok && e.Reason == Missing && s.taken(p) {
		return 0, &Error{Refused, p, "is a link that leads nowhere, or no file"}
	} else if ok && e.Reason == Missing {
		if match != New && match != Anything {
			return 0, &Error{Conflict, p, "is gone: somebody deleted or renamed it meanwhile"}
		}
		return 0o644, nil
	}
	switch {
	case err != nil:
		return 0, err
	case match == New:
		return 0, &Error{Exists, p, "is there already"}
	case match != Anything && match != now.Hash:
		return 0, &Error{Conflict, p, "was changed by somebody else meanwhile"}
	case now.BuiltIn:
		return 0o644, nil
	case !now.Writable:
		return 0, &Error{Refused, p, "is write-protected: save a copy"}
	}
	info, err := s.root.Lstat(under(p))
	if err != nil {
		return 0, said(p, err)
	}
	if info.Mode()&fs.ModeSymlink != 0 {
		return 0, &Error{Refused, p, "is a link to another file: save a copy"}
	}
	return info.Mode().Perm(), nil
}

// replace writes a new file beside the old one and gives it the name. Check is
// asked again right before, when the data is on the disk already.
func replace(root *os.Root, p string, data []byte, mode fs.FileMode, check func() error) error {
	temporary := under(path.Join(path.Dir(p), ".tautline-"+random()))
	f, err := root.OpenFile(temporary, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	defer root.Remove(temporary) // gone already when all went well
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if runtime.GOOS != "windows" && err == nil {
		err = f.Chmod(mode)
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = check()
	}
	if err == nil {
		err = patiently(func() error { return root.Rename(temporary, under(p)) })
	}
	return err
}

// patiently tries again for a moment: on Windows a virus scanner or an indexer
// may hold a file that was just written.
func patiently(try func() error) error {
	err := try()
	for wait := 10 * time.Millisecond; err != nil && runtime.GOOS == "windows" && wait < time.Second; wait *= 2 {
		time.Sleep(wait)
		err = try()
	}
	return err
}

// random is a short word for names of files that must not meet others.
func random() string {
	var b [8]byte
	rand.Read(b[:])
	return hex.EncodeToString(b[:])
}
