package kernelspec

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// An Installation is a kernelspec in a data folder of Jupyter's.
type Installation struct {
	Data    string // Jupyter's data folder
	Name    string
	Program string // what to start; an absolute path
	Build   string // the program's version
}

// Dir is the kernelspec's folder.
func (i Installation) Dir() string { return Dir(i.Data, i.Name) }

// Dir is where a kernelspec of a name lies in a data folder. Jupyter knows
// names in small letters only.
func Dir(data, name string) string { return filepath.Join(data, "kernels", strings.ToLower(name)) }

// Install writes the kernelspec and reports whether it replaced one of ours.
// The folder is whole or not there at any time.
func (i Installation) Install() (replaced bool, err error) {
	dir := i.Dir()
	replaced, err = occupied(dir)
	if err != nil {
		return false, err
	}
	all, err := files(i.Program, i.Name, i.Build)
	if err != nil {
		return false, err
	}
	parent := filepath.Dir(dir)
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return false, cannot("made", parent, err)
	}
	fresh, err := os.MkdirTemp(parent, "."+i.Name+"-")
	if err != nil {
		return false, cannot("written", parent, err)
	}
	defer os.RemoveAll(fresh)
	if err := writeAll(fresh, all); err != nil {
		return false, cannot("written", dir, err)
	}
	if err := os.RemoveAll(dir); err != nil {
		return false, cannot("replaced", dir, err)
	}
	if err := os.Rename(fresh, dir); err != nil {
		return false, cannot("written", dir, err)
	}
	return replaced, nil
}

func writeAll(dir string, all map[string][]byte) error {
	if err := os.Chmod(dir, 0o755); err != nil {
		return err
	}
	for name, data := range all {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// occupied reports whether a kernelspec of ours is there. Another's is not
// touched.
func occupied(dir string) (bool, error) {
	_, err := os.Lstat(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, cannot("read", dir, err)
	}
	if _, ours := readNote(dir); !ours {
		return false, fmt.Errorf("%s is the kernelspec of another program and stays as it is; choose another name with --name", dir)
	}
	return true, nil
}

// ErrNone says that there is nothing to uninstall.
var ErrNone = errors.New("no kernelspec is there")

// Uninstall removes a kernelspec of ours and tells which program it started.
func Uninstall(dir string) (program string, err error) {
	there, err := occupied(dir)
	if err != nil {
		return "", err
	}
	if !there {
		return "", ErrNone
	}
	n, _ := readNote(dir)
	if err := os.RemoveAll(dir); err != nil {
		return "", cannot("removed", dir, err)
	}
	return n.Program, nil
}

// cannot makes one sentence of a failure of the file system.
func cannot(done, path string, err error) error {
	if p := (*fs.PathError)(nil); errors.As(err, &p) {
		err = p.Err
	}
	if l := (*os.LinkError)(nil); errors.As(err, &l) {
		err = l.Err
	}
	hint := ""
	if errors.Is(err, fs.ErrPermission) {
		hint = "; --user, or a --prefix of your own, needs no special rights"
	}
	return fmt.Errorf("%s cannot be %s: %w%s", path, done, err, hint)
}
