package kernelspec

import (
	"io"
	"os"
	"path/filepath"
	"strings"
)

// Passing reports whether a program lies where "go run" and "go test" put what
// they build, and will be gone before long.
func Passing(program string) bool {
	for _, part := range strings.FieldsFunc(program, func(r rune) bool { return r == '/' || r == filepath.Separator }) {
		if strings.HasPrefix(part, "go-build") {
			return true
		}
	}
	return false
}

// LastingPath is where a copy of the program is kept in our own data folder.
func LastingPath(own, system string) string {
	name := "tautline"
	if system == "windows" {
		name += ".exe"
	}
	return filepath.Join(own, "bin", name)
}

// CopyProgram copies a program to a lasting place. A copy that runs there at
// the moment goes on with the old one.
func CopyProgram(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return cannot("read", from, err)
	}
	defer in.Close()
	dir := filepath.Dir(to)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return cannot("made", dir, err)
	}
	out, err := os.CreateTemp(dir, ".tautline-")
	if err != nil {
		return cannot("written", dir, err)
	}
	defer os.Remove(out.Name()) // nothing is left under this name if all goes well
	_, err = io.Copy(out, in)
	if err == nil {
		err = out.Chmod(0o755)
	}
	if closed := out.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return cannot("written", to, err)
	}
	if err := replace(out.Name(), to); err != nil {
		return cannot("replaced", to, err)
	}
	return nil
}

// replace puts a file in another's place. Windows lets a running program be
// renamed, but not overwritten.
func replace(from, to string) error {
	if err := os.Rename(from, to); err == nil {
		return nil
	}
	old := to + ".old"
	os.Remove(old)
	if err := os.Rename(to, old); err != nil {
		return err
	}
	if err := os.Rename(from, to); err != nil {
		os.Rename(old, to)
		return err
	}
	os.Remove(old) // fails while it runs; the next copy tries again
	return nil
}
