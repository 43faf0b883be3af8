package notebook

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"strings"
)

// The format that is written: 4.5, or the newer one that was read.
const major, minor = 4, 5

// Write gives the notebook as a file.
func (n *Notebook) Write() ([]byte, error) {
	top := maps.Clone(n.rest)
	if top == nil {
		top = object{}
	}
	n.nameCells()
	cells := make([]object, 0, len(n.Cells))
	for _, c := range n.Cells {
		cells = append(cells, c.object())
	}
	top["cells"] = encode(cells)
	top["nbformat"], top["nbformat_minor"] = encode(major), encode(max(minor, n.minor))
	fill(top, "metadata", object{})
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ") // as other programs do, so that differences stay small
	if err := e.Encode(top); err != nil {
		return nil, fmt.Errorf("%s cannot be written: %w", n.Name, err)
	}
	return b.Bytes(), nil
}

// encode writes a value whose types are ours; it cannot fail.
func encode(v any) json.RawMessage {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return json.RawMessage("null")
	}
	return bytes.TrimSpace(b.Bytes())
}

// fill sets a key that the format requires where it is missing.
func fill(o object, key string, v any) {
	if _, ok := o[key]; !ok {
		o[key] = encode(v)
	}
}

func (c *Cell) object() object {
	o := maps.Clone(c.rest)
	if o == nil {
		o = object{}
	}
	o["cell_type"], o["id"] = encode(c.Kind), encode(c.ID)
	if _, ok := o["source"]; !ok || c.Source != c.whole {
		o["source"] = encode(lines(c.Source))
	}
	fill(o, "metadata", object{})
	if c.Kind != Code {
		return o
	}
	o["execution_count"] = encode(nil)
	if c.Count > 0 {
		o["execution_count"] = encode(c.Count)
	}
	outputs := make([]any, 0, len(c.Outputs))
	for _, out := range c.Outputs {
		outputs = append(outputs, out.object())
	}
	o["outputs"] = encode(outputs)
	return o
}

func (out *Output) object() any {
	if out.read != nil {
		return out.read
	}
	o := map[string]any{"output_type": out.Kind}
	switch out.Kind {
	case Stream:
		o["name"], o["text"] = out.Stream, lines(out.Text)
	case Failure:
		o["ename"], o["evalue"], o["traceback"] = out.Name, out.Value, out.Trace
	default:
		data := map[string]any{}
		for kind, v := range out.Data {
			if t, ok := v.(string); ok {
				v = lines(t)
			}
			data[kind] = v
		}
		o["data"], o["metadata"] = data, object{}
	}
	if out.Kind == Result {
		o["execution_count"] = out.Count
	}
	return o
}

// lines cuts a text after each line end, as notebooks store it.
func lines(text string) []string {
	cut := strings.SplitAfter(text, "\n")
	if last := len(cut) - 1; cut[last] == "" {
		cut = cut[:last]
	}
	return cut
}

var goodID = regexp.MustCompile(`^[a-zA-Z0-9_-]{1,64}$`)

// nameCells gives every cell an id of its own, as format 4.5 demands. New ids
// follow from place and content, so that the same file gives the same ids.
func (n *Notebook) nameCells() {
	taken := map[string]bool{}
	for i, c := range n.Cells {
		for try := 0; !goodID.MatchString(c.ID) || taken[c.ID]; try++ {
			sum := sha256.Sum256(fmt.Appendf(nil, "%d %d %s", i, try, c.Source))
			c.ID = hex.EncodeToString(sum[:4])
		}
		taken[c.ID] = true
	}
}
