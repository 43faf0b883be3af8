package notebook

import "strings"

// Text gives the outputs of all cells as plain text, a blank line between
// those of different cells.
func (n *Notebook) Text() string {
	var parts []string
	for _, c := range n.Cells {
		var b strings.Builder
		for _, out := range c.Outputs {
			b.WriteString(endLine(out.text()))
		}
		if b.Len() > 0 {
			parts = append(parts, b.String())
		}
	}
	return strings.Join(parts, "\n")
}

// text is an output's plain form.
func (out *Output) text() string {
	switch out.Kind {
	case Stream:
		return out.Text
	case Failure:
		if len(out.Trace) > 0 {
			return strings.Join(out.Trace, "\n")
		}
		return out.Name + ": " + out.Value
	}
	if t, ok := out.Data["text/plain"].(string); ok {
		return t
	}
	return ""
}

func endLine(s string) string {
	if s == "" || strings.HasSuffix(s, "\n") {
		return s
	}
	return s + "\n"
}
