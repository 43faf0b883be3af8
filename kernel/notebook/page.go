package notebook

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"regexp"
	"strings"
)

//go:embed page.css
var style string

//go:embed page.html
var pageText string

var page = template.Must(template.New("page").Parse(pageText))

// A pageCell is a cell made ready for the page.
type pageCell struct {
	Kind    string
	Number  int
	Source  string
	Folded  bool          // the source is folded away until it is asked for
	Text    template.HTML // of a markdown cell
	Outputs []pageOutput
}

type pageOutput struct {
	Kind  string // "text", "stream", "error" or "shown"
	Text  string
	HTML  template.HTML
	Image template.URL // a picture that is not ours, kept in a box of its own
	Alt   string
}

// HTML gives the notebook as one page that needs nothing else: no network, no
// script, no other file. What this program did not make itself, in this run,
// is shown as text or as a picture in a box of its own, never as part of the
// page.
func (n *Notebook) HTML() ([]byte, error) {
	var cells []pageCell
	for _, c := range n.Cells {
		pc := pageCell{Kind: c.Kind, Number: c.Count, Source: strings.Trim(c.Source, "\n"), Folded: c.hidden()}
		if c.Kind == Markdown {
			html, err := renderMarkdown(c)
			if err != nil {
				return nil, fmt.Errorf("%s cannot be made a page: %w", n.Name, err)
			}
			pc.Text = html
		}
		for _, out := range c.Outputs {
			pc.Outputs = append(pc.Outputs, out.onPage())
		}
		cells = append(cells, pc)
	}
	sum := sha256.Sum256([]byte(style))
	var b bytes.Buffer
	err := page.Execute(&b, map[string]any{"Title": n.Title(), "Cells": cells, "Style": template.CSS(style),
		"StyleHash": "sha256-" + base64.StdEncoding.EncodeToString(sum[:])})
	return b.Bytes(), err
}

// onPage picks the richest form that may be shown.
func (out *Output) onPage() pageOutput {
	switch out.Kind {
	case Stream:
		return pageOutput{Kind: "stream", Text: out.Text}
	case Failure:
		return pageOutput{Kind: "error", Text: stripCodes(out.text())}
	}
	plain := out.text()
	if out.read == nil {
		if html, ok := out.Data["text/html"].(string); ok {
			return pageOutput{Kind: "shown", HTML: template.HTML(html)}
		}
		if svg, ok := out.Data["image/svg+xml"].(string); ok {
			return pageOutput{Kind: "shown", HTML: template.HTML(inline(svg))}
		}
	}
	if url := out.image(); url != "" {
		return pageOutput{Kind: "image", Image: url, Alt: orPicture(plain)}
	}
	return pageOutput{Kind: "text", Text: plain}
}

// image gives a picture as a data address. A browser runs nothing and loads
// nothing from inside such a picture.
func (out *Output) image() template.URL {
	if svg, ok := out.Data["image/svg+xml"].(string); ok {
		return template.URL("data:image/svg+xml;base64," + base64.StdEncoding.EncodeToString([]byte(svg)))
	}
	for _, kind := range []string{"image/png", "image/jpeg"} {
		if text, ok := out.Data[kind].(string); ok {
			raw, err := base64.StdEncoding.DecodeString(strings.Join(strings.Fields(text), ""))
			if err == nil {
				return template.URL("data:" + kind + ";base64," + base64.StdEncoding.EncodeToString(raw))
			}
		}
	}
	return ""
}

// inline leaves out what only a file of its own has before its picture.
func inline(svg string) string {
	if i := strings.Index(svg, "<svg"); i > 0 {
		return svg[i:]
	}
	return svg
}

func orPicture(text string) string {
	if text == "" {
		return "a picture without a description"
	}
	return text
}

var terminalCodes = regexp.MustCompile("\x1b\\[[0-9;]*[A-Za-z]")

func stripCodes(s string) string { return terminalCodes.ReplaceAllString(s, "") }
