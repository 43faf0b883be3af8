// Package kernelspec makes the kernel known to Jupyter and takes it back. A
// kernelspec is a folder with a description, icons and, ours alone, a note that
// tells later whether the folder still says what it should.
package kernelspec

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"

	"tautline/kernel/jupyter"
)

//go:generate go run ./draw

//go:embed logos
var logos embed.FS

// Name is the kernel's name unless the user gives another.
const Name = "tautline"

const (
	specFile = "kernel.json"
	noteFile = "tautline.json"
)

// nameForm is Jupyter's rule for names of kernels.
var nameForm = regexp.MustCompile(`^[A-Za-z0-9._-]+$`)

// CheckName says what is wrong with a name.
func CheckName(name string) error {
	if !nameForm.MatchString(name) || name == "." || name == ".." {
		return fmt.Errorf("%q cannot be a kernel's name: letters, digits, dot, dash and underline are wanted", name)
	}
	return nil
}

// spec is the description of a kernel; see "Making kernels for Jupyter",
// https://jupyter-client.readthedocs.io.
type spec struct {
	Argv      []string       `json:"argv"`
	Display   string         `json:"display_name"`
	Language  string         `json:"language"`
	Interrupt string         `json:"interrupt_mode"`
	Protocol  string         `json:"kernel_protocol_version"`
	Metadata  map[string]any `json:"metadata"`
}

// note stands beside a kernelspec.
type note struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
	Program string `json:"program"` // what the kernelspec starts
	Build   string `json:"build"`   // the program's version when it was written
	Files   string `json:"files"`   // a digest of the other files
}

const noteFormat = "tautline kernelspec"

// files makes all files of a kernelspec that starts a program, by name.
func files(program, name, build string) (map[string][]byte, error) {
	display := "Tautline (Go)"
	if name != Name {
		display += " " + name
	}
	s := spec{
		Argv:    []string{program, "kernel", "{connection_file}"},
		Display: display, Language: "go", Interrupt: "message", Protocol: jupyter.ProtocolVersion,
		Metadata: map[string]any{"language_info": jupyter.Language()},
	}
	all := map[string][]byte{}
	var err error
	if all[specFile], err = pretty(s); err != nil {
		return nil, err
	}
	pictures, err := logos.ReadDir("logos")
	if err != nil {
		return nil, err
	}
	for _, p := range pictures {
		if all[p.Name()], err = logos.ReadFile("logos/" + p.Name()); err != nil {
			return nil, err
		}
	}
	all[noteFile], err = pretty(note{noteFormat, 1, program, build, digest(all)})
	return all, err
}

func pretty(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(v)
	return b.Bytes(), err
}

// digest is one for all files but the note.
func digest(all map[string][]byte) string {
	h := sha256.New()
	for _, name := range slices.Sorted(maps.Keys(all)) {
		if name != noteFile {
			fmt.Fprintf(h, "%s %d\n", name, len(all[name]))
			h.Write(all[name])
		}
	}
	return hex.EncodeToString(h.Sum(nil))
}

// readNote reads the note of a kernelspec; false if there is none of ours.
func readNote(dir string) (note, bool) {
	var n note
	data, err := os.ReadFile(filepath.Join(dir, noteFile))
	if err != nil || json.Unmarshal(data, &n) != nil || n.Format != noteFormat {
		return note{}, false
	}
	return n, true
}

// Logos are the kernel's pictures by file name.
func Logos() fs.FS {
	sub, err := fs.Sub(logos, "logos")
	if err != nil {
		panic(err) // the folder is embedded, or this does not compile
	}
	return sub
}
