// Package picture draws results: the rim as its wearer sees it, leak against
// skin pressure, how either follows whatever was swept, and the curve of a mask
// vent. It computes nothing but the places of lines and letters.
//
// A picture is drawn once in code and rendered twice, as SVG for pages and as
// PNG for paper and slides, so the two cannot differ. Both carry the text
// alternative. The SVG has no style attribute, style sheet or script, because a
// page's security policy would strip them; the card under the drawing is white
// with dark ink, so that it reads the same on dark and on light pages.
package picture

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A Picture is a finished drawing. The zero value is not one; the functions
// named after what they draw make it.
type Picture struct {
	// Title says in a few words what is drawn.
	Title string
	// Alt is the text alternative: what the picture shows, with its numbers, in
	// a sentence or two for somebody who cannot see it.
	Alt string

	width, height vg.Length
	draw          func(paper)
}

// Size is the width and height in CSS pixels at which the lettering is meant to
// be seen; the PNG has twice as many.
func (p *Picture) Size() (width, height int) {
	return int(p.width), int(p.height)
}

// SVG renders the picture as one svg element that can stand inside a page or,
// as it is, in a file.
func (p *Picture) SVG() []byte {
	c := newSVG(p.height)
	p.render(c)
	body := c.body.Bytes()
	id := p.fingerprint(body)

	head := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %d %d"`+
		` role="img" aria-labelledby="%s-t %s-d" font-family="%s">`+"\n",
		int(p.width), int(p.height), int(p.width), int(p.height), id, id, svgFamily)
	head += fmt.Sprintf("<title id=\"%s-t\">%s</title>\n<desc id=\"%s-d\">%s</desc>\n",
		id, escape(p.Title), id, escape(p.Alt))
	return append(append([]byte(head), body...), "</svg>\n"...)
}

// fingerprint names the picture after its content: two different pictures on
// one page never share an id, and the same input gives the same bytes.
func (p *Picture) fingerprint(body []byte) string {
	h := sha256.New()
	fmt.Fprintf(h, "%s\x00%s\x00", p.Title, p.Alt)
	h.Write(body)
	return "pic-" + hex.EncodeToString(h.Sum(nil)[:6])
}

// render lays the white card and draws on it.
func (p *Picture) render(c vg.Canvas) {
	vg.Initialize(c)
	on := paper{draw.NewCanvas(c, p.width, p.height)}
	on.fill(white, on.Rectangle.Path())
	p.draw(on)
}
