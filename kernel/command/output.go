package command

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"tautline/kernel/picture"
	"tautline/kernel/report"
)

// An output is the form in which a verb's answer is wanted: text on standard
// output unless said otherwise, and pictures into files.
type output struct {
	json, csv, force bool
	svg, png         string
}

// A rendering offers one answer in every form; only those asked for are called.
// A nil form is not on offer.
type rendering struct {
	text    func(report.Ink) string
	json    func() any
	csv     func() string
	picture func() *picture.Picture
}

// addOutputFlags gives a verb the usual flags.
func addOutputFlags(cmd *cobra.Command) *output {
	o := &output{}
	f := cmd.Flags()
	f.BoolVar(&o.json, "json", false, "print the answer as JSON")
	f.BoolVar(&o.csv, "csv", false, "print the answer as CSV")
	f.StringVar(&o.svg, "svg", "", "draw the picture into this `FILE` as SVG")
	f.StringVar(&o.png, "png", "", "draw the picture into this `FILE` as PNG")
	f.BoolVar(&o.force, "force", false, "overwrite a picture that is there already")
	return o
}

// ready refuses, before any work is done, what could not be written at the end:
// two forms at once, a file that is there already, or one of the inputs.
func (o *output) ready(inputs ...string) error {
	if o.json && o.csv {
		return misused("--json and --csv both want standard output: ask for one of them")
	}
	if o.svg != "" && o.svg == o.png {
		return misused("--svg and --png name the same file %s: give each its own", o.svg)
	}
	for _, path := range o.files() {
		for _, in := range inputs {
			if sameFile(path, in) {
				return misused("%s is what is read here: draw the picture into another file", path)
			}
		}
		if err := o.writable(path); err != nil {
			return err
		}
	}
	return nil
}

func (o *output) files() []string {
	var out []string
	for _, path := range []string{o.svg, o.png} {
		if path != "" {
			out = append(out, path)
		}
	}
	return out
}

func sameFile(a, b string) bool {
	x, errX := os.Stat(a)
	y, errY := os.Stat(b)
	return errX == nil && errY == nil && os.SameFile(x, y)
}

func (o *output) writable(path string) error {
	folder := filepath.Dir(path)
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return fmt.Errorf("%s: there is no folder %s to write it into", path, folder)
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("%s: %w", path, plain(err))
	case !info.Mode().IsRegular():
		return fmt.Errorf("%s is not a file that a picture could be written into", path)
	case !o.force:
		return fmt.Errorf("%s is there already: name another file, or add --force to overwrite it", path)
	}
	return nil
}

// plain strips the operation and path that os puts before its reason.
func plain(err error) error {
	if e := (*fs.PathError)(nil); errors.As(err, &e) {
		return e.Err
	}
	return err
}

// write gives the answer in the forms asked for.
func (o *output) write(stdout io.Writer, r rendering) error {
	if err := o.draw(r); err != nil {
		return err
	}
	var answer []byte
	switch {
	case o.json:
		var err error
		if answer, err = marshal(r.json()); err != nil {
			return err
		}
	case o.csv:
		answer = []byte(r.csv())
	default:
		answer = []byte(r.text(report.Ink{Colour: colourful(stdout)}))
		for _, path := range o.files() {
			answer = append(answer, "Drawn into "+path+".\n"...)
		}
	}
	_, err := stdout.Write(answer)
	return err
}

func (o *output) draw(r rendering) error {
	if len(o.files()) == 0 {
		return nil
	}
	p := r.picture()
	if o.svg != "" {
		if err := o.save(o.svg, p.SVG()); err != nil {
			return err
		}
	}
	if o.png != "" {
		return o.save(o.png, p.PNG())
	}
	return nil
}

// save writes a whole file or none: into a new one beside it, which then takes
// its name. Without --force a file that appeared meanwhile is left alone.
func (o *output) save(path string, data []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".tautline-*")
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, plain(err))
	}
	defer os.Remove(f.Name()) // gone already when all went well
	_, err = f.Write(data)
	// CreateTemp keeps others out; a picture is an ordinary file.
	err = errors.Join(err, f.Chmod(0o644), f.Close())
	if err == nil {
		err = o.writable(path)
	}
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, plain(err))
	}
	return nil
}

// marshal writes JSON as people can read it.
func marshal(v any) ([]byte, error) {
	b, err := json.MarshalIndent(v, "", "  ")
	return append(b, '\n'), err
}

// colourful says whether text may carry terminal colours: on a terminal that
// understands them, and never with NO_COLOR (https://no-color.org).
func colourful(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok || os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb" {
		return false
	}
	if runtime.GOOS == "windows" && os.Getenv("WT_SESSION") == "" {
		return false // the old console shows the codes themselves
	}
	return term.IsTerminal(int(f.Fd()))
}
