package scenario

import (
	"errors"
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// A document is a TOML file's content together with where each key stands, so
// that every complaint can name its line.
type document struct {
	file     string
	values   map[string]any
	offsets  map[string]int // of each key, by its path: "mask.rim.sites[2].angle"
	newlines []int          // offsets of the line ends
	problems []*Problem
}

// deepest is how far keys are followed down; ours end after four.
const deepest = 8

// parseDocument reads TOML. What is not TOML at all is one problem; everything
// else is left to the sections.
func parseDocument(file, text string) (*document, error) {
	d := &document{file: file, values: map[string]any{}, offsets: map[string]int{}}
	for i := range len(text) {
		if text[i] == '\n' {
			d.newlines = append(d.newlines, i)
		}
	}
	err := toml.Unmarshal([]byte(text), &d.values)
	if e := (*toml.DecodeError)(nil); errors.As(err, &e) {
		line, _ := e.Position()
		return nil, problem(file, line, "is not TOML (%s)%s", strings.TrimPrefix(e.Error(), "toml: "),
			tomlHint(text, line))
	}
	if err != nil {
		return nil, problem(file, 0, "is not TOML (%v)", err)
	}
	d.locate([]byte(text))
	return d, nil
}

// tomlHint names the likely slip in a line that is not TOML.
func tomlHint(text string, line int) string {
	lines := strings.Split(text, "\n")
	if line < 1 || line > len(lines) {
		return ""
	}
	_, value, found := strings.Cut(lines[line-1], "=")
	value = strings.TrimSpace(value)
	switch {
	case !found:
		return `: a line is either a [section] or key = "value"`
	case value == "":
		return `: something must stand behind the =`
	case !strings.ContainsAny(value[:1], `"'[{`):
		return fmt.Sprintf(": write values with units in quotation marks, %q", shortened(strings.TrimSpace(strings.SplitN(value, "#", 2)[0])))
	}
	return ": look at quotation marks, brackets and commas"
}

// locate walks the file once more and notes where each key stands.
func (d *document) locate(data []byte) {
	var p unstable.Parser
	p.Reset(data)
	counts := map[string]int{} // of array tables
	base := ""
	for p.NextExpression() {
		e := p.Expression()
		switch e.Kind {
		case unstable.Table:
			base = d.path("", e.Key(), counts)
		case unstable.ArrayTable:
			plain := d.path("", e.Key(), counts)
			counts[plain]++
			base = fmt.Sprintf("%s[%d]", plain, counts[plain]-1)
			d.offsets[base] = d.offsets[plain]
		case unstable.KeyValue:
			d.locateValue(d.path(base, e.Key(), counts), e.Value())
		}
	}
}

// path joins a key's parts below a base and notes where each part stands. A
// part that names an array of tables means its latest element, unless it is the
// last part.
func (d *document) path(base string, keys unstable.Iterator, counts map[string]int) string {
	for depth := strings.Count(base, "."); keys.Next(); depth++ {
		k := keys.Node()
		if depth > deepest { // not ours; what is above it will be refused
			continue
		}
		if n := counts[base]; n > 0 && !strings.HasSuffix(base, "]") {
			base = fmt.Sprintf("%s[%d]", base, n-1)
		}
		base = below(base, string(k.Data))
		if _, known := d.offsets[base]; !known {
			d.offsets[base] = int(k.Raw.Offset)
		}
	}
	return base
}

func (d *document) locateValue(path string, v *unstable.Node) {
	if strings.Count(path, ".")+strings.Count(path, "[") > deepest {
		return
	}
	switch v.Kind {
	case unstable.InlineTable:
		for it := v.Children(); it.Next(); {
			d.locateValue(d.path(path, it.Node().Key(), nil), it.Node().Value())
		}
	case unstable.Array:
		i := 0
		for it := v.Children(); it.Next(); i++ {
			item := fmt.Sprintf("%s[%d]", path, i)
			if d.offsets[item] = int(it.Node().Raw.Offset); d.offsets[item] == 0 {
				d.offsets[item] = d.offsets[path] // containers carry no place of their own
			}
			d.locateValue(item, it.Node())
		}
	}
}

func below(base, key string) string {
	if base == "" {
		return key
	}
	return base + "." + key
}

// line gives the line of a path, or of the nearest thing around it.
func (d *document) line(path string) int {
	for path != "" {
		if at, ok := d.offsets[path]; ok {
			return 1 + sort.SearchInts(d.newlines, at)
		}
		path = path[:max(strings.LastIndexAny(path, ".["), 0)]
	}
	return 0
}

// fault notes one problem; the reading goes on, so that a file's problems come
// all at once.
func (d *document) fault(path, format string, a ...any) {
	p := problem(d.file, d.line(path), format, a...)
	p.What = strings.ReplaceAll(p.What, "\n", "; ") // one line each
	d.problems = append(d.problems, p)
}

// err joins what was found, in the order of the file; what is missing from it
// altogether comes last.
func (d *document) err() error {
	place := func(p *Problem) int {
		if p.Line == 0 {
			return math.MaxInt
		}
		return p.Line
	}
	sort.SliceStable(d.problems, func(i, j int) bool { return place(d.problems[i]) < place(d.problems[j]) })
	var all []error
	seen := map[string]bool{}
	for _, p := range d.problems {
		if !seen[p.Error()] {
			all = append(all, p)
		}
		seen[p.Error()] = true
	}
	const most = 20
	if more := len(all) - most; more > 0 {
		all = append(all[:most], problem(d.file, 0, "and %s more", strconv.Itoa(more)))
	}
	return errors.Join(all...)
}
