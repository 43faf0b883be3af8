// Package report turns results into the sentences, tables, JSON and CSV that
// people and programs read. All wording about results lives here; it says what
// was found in the words of the trade, and never more than that.
package report

import (
	"strings"
	"unicode/utf8"
)

// Width is the number of columns that every text keeps to.
const Width = 80

// An Ink marks up text for a terminal. The zero value leaves it plain.
type Ink struct{ Colour bool }

// Bold is for what the eye should find first.
func (i Ink) Bold(s string) string { return i.paint("1", s) }

// Warn is for what must not be missed.
func (i Ink) Warn(s string) string { return i.paint("33", s) }

// Faint is for what may be skipped.
func (i Ink) Faint(s string) string { return i.paint("2", s) }

func (i Ink) paint(code, s string) string {
	if !i.Colour || s == "" {
		return s
	}
	return "\x1b[" + code + "m" + s + "\x1b[0m"
}

// Wrap breaks a paragraph into lines of at most Width columns; every line but
// the first starts with indent.
func Wrap(text, indent string) string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case columns(line)+1+columns(word) > Width:
			lines = append(lines, line)
			line = indent + word
		default:
			line += " " + word
		}
	}
	return strings.Join(append(lines, line), "\n")
}

// columns counts characters, and leaves out terminal codes.
func columns(s string) int {
	n := utf8.RuneCountInString(s)
	for {
		_, rest, found := strings.Cut(s, "\x1b[")
		if !found {
			return n
		}
		code, after, _ := strings.Cut(rest, "m")
		n -= utf8.RuneCountInString(code) + 3
		s = after
	}
}

// Columns sets rows of cells under each other, numbers (and everything else) to
// the right but the first column to the left, two spaces apart, each line
// starting with indent.
func Columns(indent string, rows [][]string) string {
	var width []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(width) {
				width = append(width, 0)
			}
			width[i] = max(width[i], columns(cell))
		}
	}
	var b strings.Builder
	for _, row := range rows {
		line := indent
		for i, cell := range row {
			pad := strings.Repeat(" ", width[i]-columns(cell))
			if i == 0 {
				line += cell + pad
			} else {
				line += "  " + pad + cell
			}
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}
