package scenario

import (
	"encoding/csv"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode"

	"tautline/model/unit"
)

// What a spreadsheet of ours never exceeds; beyond it a file was named by
// mistake, and is refused before it costs minutes.
const (
	mostTableColumns = 100
	mostTableRows    = 1_000_000
	longestHead      = 200
)

// A table is a CSV file as spreadsheets write it: a header that names what each
// column holds and in which unit, and rows of cells.
type table struct {
	name    string
	header  row
	columns []column
	rows    []row
	comma   rune // between cells
}

type row struct {
	line  int
	cells []string
}

// A column is one head: "pressure_cmH2O" and "Pressure (hPa)" are both the
// quantity pressure with a unit.
type column struct {
	head string // as written
	name string // lower case, without the unit
	kind *unit.Kind
	unit string
}

// readTable reads the rows and takes the first one as header. Lines that start
// with # are comments; lines without any content are skipped.
func readTable(name string, data []byte) (*table, error) {
	text, err := Text(name, data)
	if err != nil {
		return nil, err
	}
	text, comma := separator(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text))
	t := &table{name: name, comma: comma}
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.Comment, r.FieldsPerRecord, r.LazyQuotes = comma, '#', -1, true
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, csvProblem(name, err)
		}
		line, _ := r.FieldPos(0)
		if len(cells) > mostTableColumns || len(t.rows) == mostTableRows {
			return nil, problem(name, line, "is beyond %d columns or %d rows: this is another kind of file", mostTableColumns, mostTableRows)
		}
		t.add(row{line, trimmed(cells)})
	}
	if t.header.cells == nil {
		return nil, problem(name, 0, "has no header and no rows, only comments")
	}
	return t, nil
}

func csvProblem(name string, err error) error {
	if e := (*csv.ParseError)(nil); errors.As(err, &e) {
		return problem(name, e.Line, "cannot be read as CSV (%v): look at the quotation marks", e.Err)
	}
	return problem(name, 0, "cannot be read as CSV (%v)", err)
}

// add takes a row, or the first one as header, and drops empty cells at the end
// that a spreadsheet leaves behind.
func (t *table) add(r row) {
	for len(r.cells) > 0 && r.cells[len(r.cells)-1] == "" {
		// An empty cell under a head is a missing value, not a leftover.
		if t.header.cells != nil && len(r.cells) <= len(t.header.cells) && !blank(r.cells) {
			break
		}
		r.cells = r.cells[:len(r.cells)-1]
	}
	switch {
	case len(r.cells) == 0 || strings.HasPrefix(r.cells[0], "#"): // a comment may come in quotation marks
	case t.header.cells == nil:
		t.header = r
		for _, head := range r.cells {
			t.columns = append(t.columns, parseHead(head))
		}
	default:
		t.rows = append(t.rows, r)
	}
}

func blank(cells []string) bool { return strings.Join(cells, "") == "" }

func trimmed(cells []string) []string {
	out := make([]string, len(cells))
	for i, c := range cells {
		// TrimSpace knows the no-break spaces that spreadsheets love.
		out[i] = strings.TrimSpace(c)
	}
	return out
}

// separator finds what stands between cells: what a line "sep=;" on top says,
// else tab, semicolon or comma, the first of these that the header holds. The
// line "sep=;" is blanked so that lines keep their numbers.
func separator(text string) (rest string, comma rune) {
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		if s, ok := strings.CutPrefix(line, "sep="); ok && len(s) == 1 && strings.Contains(";,\t|", s) {
			return strings.Replace(text, line, "", 1), rune(s[0])
		}
		for _, c := range "\t;," {
			if strings.ContainsRune(line, c) {
				return text, c
			}
		}
		break
	}
	return text, ','
}

// parseHead parts a column's head into quantity and unit: the longest ending
// that is a unit and does not start in the middle of a word.
func parseHead(head string) column {
	c := column{head: head, name: strings.ToLower(head)}
	if len(head) > longestHead {
		return c
	}
	text := spelled(head)
	before := ' '
	for i, r := range text {
		inside := unicode.IsLetter(before)
		before = r
		if inside || !unicode.IsLetter(r) {
			continue
		}
		if k, ok := unit.KindOf(text[i:]); ok {
			c.kind, c.unit = k, text[i:]
			c.name = strings.ToLower(strings.TrimRight(text[:i], " _-,:;/([{"))
			break
		}
	}
	return c
}

// spelled brings the ways to write a unit in a head to the one that package
// unit reads.
func spelled(head string) string {
	head = strings.TrimRight(head, " )]}")
	return strings.NewReplacer("_per_", "/", " per ", "/", "cm H2O", "cmH2O", "cm_H2O", "cmH2O",
		"mm Hg", "mmHg", "mm_Hg", "mmHg", "^", "", " / ", "/").Replace(head)
}

// number reads one cell and gives it in SI. A decimal comma is understood; a
// number with both comma and point is not, since one of them groups thousands.
func (t *table) number(r row, i int) (float64, error) {
	c := t.columns[i]
	if i >= len(r.cells) || r.cells[i] == "" {
		return 0, problem(t.name, r.line, "the %s is missing: fill it in, or take the line out", c.name)
	}
	cell := strings.Replace(r.cells[i], "\u2212", "-", 1) // the typographer's minus
	if strings.Contains(cell, ",") && strings.Contains(cell, ".") || strings.Count(cell, ",") > 1 {
		return 0, problem(t.name, r.line, "the %s %q has a thousands separator: write it without", c.name, cell)
	}
	v, err := strconv.ParseFloat(strings.Replace(cell, ",", ".", 1), 64)
	switch {
	case err == nil && (math.IsNaN(v) || math.IsInf(v, 0)), errors.Is(err, strconv.ErrRange):
		return 0, problem(t.name, r.line, "the %s %q is not a finite number: write what was measured", c.name, cell)
	case err != nil, strings.ContainsAny(cell, "xX_"):
		return 0, problem(t.name, r.line, "the %s %q is not a number: the unit belongs into the header, and notes after a #",
			c.name, shortened(cell))
	}
	si, err := c.kind.Parse(strconv.FormatFloat(v, 'g', -1, 64) + " " + c.unit)
	if err != nil {
		return 0, problem(t.name, r.line, "%v", err)
	}
	return si, nil
}

// shortened keeps an error to one line whatever a cell holds.
func shortened(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "..."
	}
	return s
}
