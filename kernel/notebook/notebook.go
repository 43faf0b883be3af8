// Package notebook reads, runs and writes notebooks in the .ipynb format,
// version 4, and turns them into pages. What it does not know in a file, it
// keeps: keys of other programs come out as they went in.
package notebook

import (
	"encoding/json"
	"strings"
)

// A Notebook is a list of cells and what belongs to the whole.
type Notebook struct {
	Name  string // the file's name, for messages and as the page's title
	Cells []*Cell

	minor int // of the format, as read
	rest  object
}

// An object is a JSON object with its values untouched.
type object = map[string]json.RawMessage

// A Cell is one cell.
type Cell struct {
	Kind    string // "code", "markdown" or "raw"
	ID      string
	Source  string
	Outputs []*Output
	Count   int // which execution this was, 0 for none

	rest  object
	whole string // the source as read, to see whether it was changed
}

// The kinds of cells.
const (
	Code     = "code"
	Markdown = "markdown"
	Raw      = "raw"
)

// An Output is one thing that a code cell has put out.
type Output struct {
	Kind string // one of those below

	Stream, Text string         // of Stream: "stdout" or "stderr", and what it said
	Data         map[string]any // of Display and Result: media type -> content
	Count        int            // of Result

	Name, Value string   // of Failure: the kind of error and its sentence
	Trace       []string // of Failure: lines that show where

	read object // as read from a file: not ours, and not to be trusted on a page
}

// The kinds of outputs.
const (
	Stream  = "stream"
	Display = "display_data"
	Result  = "execute_result"
	Failure = "error"
)

// Language names the notebook's language, empty if the file does not say.
func (n *Notebook) Language() string {
	var m struct {
		Kernelspec struct {
			Language string `json:"language"`
		} `json:"kernelspec"`
		LanguageInfo struct {
			Name string `json:"name"`
		} `json:"language_info"`
	}
	if json.Unmarshal(n.rest["metadata"], &m) != nil {
		return ""
	}
	if m.LanguageInfo.Name != "" {
		return strings.ToLower(m.LanguageInfo.Name)
	}
	return strings.ToLower(m.Kernelspec.Language)
}

// hidden tells whether a cell is marked as one whose source is not to be shown,
// as front ends fold it away: {"jupyter": {"source_hidden": true}}.
func (c *Cell) hidden() bool {
	var m struct {
		Jupyter struct {
			Hidden bool `json:"source_hidden"`
		} `json:"jupyter"`
	}
	return json.Unmarshal(c.rest["metadata"], &m) == nil && m.Jupyter.Hidden
}

// Title is the first heading of the first cells, or else the file's name.
func (n *Notebook) Title() string {
	for _, c := range n.Cells {
		if c.Kind != Markdown {
			continue
		}
		for line := range strings.Lines(c.Source) {
			if text, ok := strings.CutPrefix(strings.TrimSpace(line), "# "); ok {
				return strings.TrimSpace(text)
			}
		}
	}
	return n.Name
}
