// Package scenario reads the files that people own: mask vents, clinic readings
// and whole cases, as CSV and TOML. It is strict: what it does not understand
// it refuses in one sentence that says where, what and what to do.
package scenario

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Largest is the size in bytes beyond which a file is not read: no file of ours
// comes near it, and a film given by mistake should be refused at once.
const Largest = 64 << 20

// A Problem is what is wrong with a file, as one sentence.
type Problem struct {
	File string
	Line int // from 1; 0 for the file as a whole
	What string
}

func (p *Problem) Error() string {
	if p.Line == 0 {
		return p.File + ": " + p.What
	}
	return fmt.Sprintf("%s, line %d: %s", p.File, p.Line, p.What)
}

func problem(file string, line int, format string, a ...any) *Problem {
	return &Problem{file, line, fmt.Sprintf(format, a...)}
}

// ReadFile reads a whole file of reasonable size.
func ReadFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, problem(path, 0, "%s", whyNotOpen(err))
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return nil, problem(path, 0, "cannot be read (%v)", err)
	case info.IsDir():
		return nil, problem(path, 0, "is a folder: name a file in it")
	case info.Size() > Largest:
		return nil, tooLarge(path)
	}
	return Read(path, f)
}

func whyNotOpen(err error) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file: check the name and the folder"
	case errors.Is(err, fs.ErrPermission):
		return "may not be read by you: ask whoever owns it"
	}
	if e := (*fs.PathError)(nil); errors.As(err, &e) {
		err = e.Err
	}
	return fmt.Sprintf("cannot be opened (%v)", err)
}

// Read reads what a name stands for, standard input for instance, and refuses
// more than Largest.
func Read(name string, from io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(from, Largest+1))
	if err != nil {
		return nil, problem(name, 0, "cannot be read (%v)", err)
	}
	if len(data) > Largest {
		return nil, tooLarge(name)
	}
	return data, nil
}

func tooLarge(name string) error {
	return problem(name, 0, "is larger than 64 MB: no file that belongs here is; name another one")
}

// Text turns a file's bytes into text: UTF-8 with or without a byte-order mark,
// UTF-16 of either order, or the Windows code page that older spreadsheets
// write. Anything else is refused, and so is an empty file.
func Text(name string, data []byte) (string, error) {
	text, err := decoder(data).Bytes(data)
	if err != nil {
		return "", problem(name, 0, "is not a text file")
	}
	blank := true
	for _, r := range string(text) {
		if r < ' ' && r != '\n' && r != '\r' && r != '\t' && r != '\f' || r == utf8.RuneError {
			return "", problem(name, 0, "is not a text file: export it as CSV or TOML first")
		}
		blank = blank && (r == ' ' || r == '\n' || r == '\r' || r == '\t')
	}
	if blank {
		return "", problem(name, 0, "is empty: name the file that holds something, or write it anew")
	}
	return string(text), nil
}

func decoder(data []byte) *encoding.Decoder {
	switch wideOrder(data) {
	case 'l':
		return unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder()
	case 'b':
		return unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewDecoder()
	}
	if utf8.Valid(data) {
		return unicode.UTF8BOM.NewDecoder()
	}
	return charmap.Windows1252.NewDecoder()
}

// wideOrder tells the byte order, 'l' or 'b', of what looks like UTF-16, by its mark
// or, without one, by where the zero bytes of its first characters stand.
func wideOrder(data []byte) byte {
	if len(data) < 2 || len(data)%2 != 0 {
		return 0
	}
	switch {
	case data[0] == 0xff && data[1] == 0xfe || data[0] != 0 && data[1] == 0:
		return 'l'
	case data[0] == 0xfe && data[1] == 0xff || data[0] == 0 && data[1] != 0:
		return 'b'
	}
	return 0
}
