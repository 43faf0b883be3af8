package notebook

import (
	"bytes"
	"encoding/json"
	"html"
	"html/template"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"
)

// renderMarkdown turns a text cell into HTML. HTML in the text is shown as it
// was typed, and pictures come only from the notebook itself: the page must
// neither run nor fetch anything.
func renderMarkdown(c *Cell) (template.HTML, error) {
	attached := c.attachments()
	md := goldmark.New(goldmark.WithExtensions(extension.GFM), goldmark.WithRendererOptions(
		renderer.WithNodeRenderers(util.Prioritized(plainNodes{attached}, 1))))
	var b bytes.Buffer
	if err := md.Convert([]byte(c.Source), &b); err != nil {
		return "", err
	}
	return template.HTML(b.String()), nil
}

// attachments lists the pictures that a text cell carries, by name, as data
// addresses.
func (c *Cell) attachments() map[string]string {
	var all map[string]map[string]any
	if json.Unmarshal(c.rest["attachments"], &all) != nil {
		return nil
	}
	urls := map[string]string{}
	for name, data := range all {
		if url := (&Output{Data: data}).image(); url != "" {
			urls[name] = string(url)
		}
	}
	return urls
}

// plainNodes writes the nodes that could reach out of the page.
type plainNodes struct{ attached map[string]string }

// RegisterFuncs takes over raw HTML and pictures.
func (p plainNodes) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	r.Register(ast.KindHTMLBlock, p.block)
	r.Register(ast.KindRawHTML, p.raw)
	r.Register(ast.KindImage, p.image)
}

func (p plainNodes) block(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	b := n.(*ast.HTMLBlock)
	text := string(b.Lines().Value(source))
	if b.HasClosure() {
		text += string(b.ClosureLine.Value(source))
	}
	_, err := w.WriteString("<pre>" + html.EscapeString(text) + "</pre>\n")
	return ast.WalkSkipChildren, err
}

func (p plainNodes) raw(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	_, err := w.WriteString(html.EscapeString(string(n.(*ast.RawHTML).Segments.Value(source))))
	return ast.WalkSkipChildren, err
}

func (p plainNodes) image(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	alt := html.EscapeString(spoken(n, source))
	url := string(n.(*ast.Image).Destination)
	if name, ok := strings.CutPrefix(url, "attachment:"); ok && p.attached[name] != "" {
		_, err := w.WriteString(`<img src="` + p.attached[name] + `" alt="` + alt + `">`)
		return ast.WalkSkipChildren, err
	}
	_, err := w.WriteString("[picture: " + alt + "]")
	return ast.WalkSkipChildren, err
}

// spoken gathers the text inside a node.
func spoken(n ast.Node, source []byte) string {
	var b strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if t, ok := n.(*ast.Text); ok && entering {
			b.Write(t.Value(source))
		}
		return ast.WalkContinue, nil
	})
	return b.String()
}
