package words

import (
	"errors"
	"fmt"
	"html"
	"strings"

	"tautline/kernel/engine"
	"tautline/kernel/report"
)

// redraw draws the picture for where the controls stand now. If that fails,
// the picture stays and a note says why.
func (l *live) redraw() {
	l.stale = false
	var look map[string]any
	err := l.desk.front.Call(func() { look = l.look(l.f(l.now)) })
	if err != nil {
		l.say(fmt.Sprintf("With %s: %s. The picture stays as it was.", l.position(l.now), strings.TrimSuffix(plainError(err), ".")))
		return
	}
	l.say("")
	l.desk.front.Show(look, nil, l.shown, true)
}

// plainError leaves out a place in a cell: the cell is not in front of the one
// who moves a control.
func plainError(err error) string {
	if e := (*engine.Error)(nil); errors.As(err, &e) {
		return e.Text
	}
	return err.Error()
}

// position words where the controls stand: "straps 3 N, pressure 12 cmH2O".
func (l *live) position(values []any) string {
	var all []string
	for i, c := range l.controls {
		all = append(all, c.say(values[i]))
	}
	return strings.Join(all, ", ")
}

// atStart tells whether all controls stand where they started.
func (l *live) atStart() bool {
	for i, c := range l.controls {
		if l.now[i] != c.knob.start() {
			return false
		}
	}
	return true
}

// look is what is shown: where the controls stand, then the value, against
// what it was at the start.
func (l *live) look(value any) map[string]any {
	if l.form {
		data := joined(l.desk.front.Bundles(value))
		return map[string]any{"text/plain": data.text, "text/html": data.html}
	}
	if l.atStart() {
		caption := "The start: " + l.position(l.now) + "."
		data := joined(l.desk.front.Bundles(value))
		out := map[string]any{"text/plain": report.Wrap(caption, "") + "\n\n" + data.text, "text/html": paragraph(caption) + data.html}
		if data.svg != "" {
			out["image/svg+xml"] = data.svg // for programs that show pictures but no HTML
		}
		return out
	}
	start := l.position(l.starts())
	caption := "Now " + l.position(l.now) + ". At the start: " + start + "."
	after := ""
	value, greyed := against(value, l.first, "the start, "+start)
	if !greyed {
		caption, after = l.beside(caption)
	}
	data := joined(l.desk.front.Bundles(value))
	return map[string]any{"text/plain": report.Wrap(caption, "") + "\n\n" + data.text,
		"text/html": paragraph(caption) + data.html + after}
}

// beside shows the start of a value that cannot hold it in grey: as words in
// the caption if it is short, as a paler picture below otherwise.
func (l *live) beside(caption string) (string, string) {
	old := joined(l.desk.front.Bundles(l.first))
	switch {
	case old.svg != "":
		pale := strings.Replace(fromSVG(old.svg), "<svg", `<svg opacity="0.45"`, 1)
		return caption, "<figure>\n" + pale + "<figcaption>At the start</figcaption>\n</figure>\n"
	case old.image != "":
		return caption, "<figure>\n" + old.image + "<figcaption>At the start</figcaption>\n</figure>\n"
	case len(old.text) < 60 && !strings.Contains(old.text, "\n"):
		return caption[:len(caption)-1] + ": " + old.text + ".", ""
	}
	return caption, ""
}

func paragraph(text string) string { return "<p>" + html.EscapeString(text) + "</p>\n" }

// A shape is a value's bundles put together.
type shape struct{ text, html, svg, image string }

func joined(all []map[string]any) shape {
	var s shape
	for i, b := range all {
		text, _ := b["text/plain"].(string)
		if i > 0 {
			s.text += "\n"
		}
		s.text += text
		page, _ := b["text/html"].(string)
		svg, _ := b["image/svg+xml"].(string)
		png, _ := b["image/png"].(string)
		switch {
		case page != "":
			s.html += page
		case svg != "":
			s.html += "<figure>\n" + fromSVG(svg) + "</figure>\n"
		case png != "":
			s.image = `<img alt="` + html.EscapeString(text) + `" src="data:image/png;base64,` + strings.Join(strings.Fields(png), "") + "\">\n"
			s.html += "<figure>\n" + s.image + "</figure>\n"
		default:
			s.html += "<pre>" + html.EscapeString(text) + "</pre>\n"
		}
		s.svg = svg
	}
	if len(all) != 1 {
		s.svg = ""
	}
	return s
}

// fromSVG leaves out what a file of its own has before its picture.
func fromSVG(svg string) string {
	if i := strings.Index(svg, "<svg"); i > 0 {
		return svg[i:]
	}
	return svg
}
