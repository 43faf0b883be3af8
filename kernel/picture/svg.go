package picture

import (
	"bytes"
	"fmt"
	"image/color"
	"math"
	"strings"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// svgFamily lists faces with the same letter widths first, so that a browser
// that has any of them sets the text exactly as it was measured.
const svgFamily = "Liberation Sans, Arial, Helvetica, Arimo, sans-serif"

// svgCanvas is a vg.Canvas that writes presentation attributes only. gonum's own
// SVG canvas writes style attributes, which a page's security policy strips, and
// flips the whole drawing with nested transforms; here the transform is applied
// before writing, so the coordinates in the file are those on the screen.
type svgCanvas struct {
	body   bytes.Buffer
	height vg.Length
	filled filled
	state
	saved []state
}

// state is what Push saves and Pop brings back.
type state struct {
	color  color.Color
	width  vg.Length
	dashes []vg.Length
	offset vg.Length
	m      matrix
}

// matrix maps x, y to a*x+c*y+e, b*x+d*y+f.
type matrix struct{ a, b, c, d, e, f float64 }

func (m matrix) apply(p vg.Point) (x, y float64) {
	x, y = p.X.Points(), p.Y.Points()
	return m.a*x + m.c*y + m.e, m.b*x + m.d*y + m.f
}

// then gives the matrix that applies n first and m after it.
func (m matrix) then(n matrix) matrix {
	return matrix{
		m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b,
		m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d,
		m.a*n.e + m.c*n.f + m.e, m.b*n.e + m.d*n.f + m.f}
}

// filled is the last filled shape and where the element for it ends.
type filled struct {
	data string
	end  int
}

// newSVG starts a canvas whose origin is at the bottom left, as vg wants it.
func newSVG(height vg.Length) *svgCanvas {
	return &svgCanvas{height: height, state: state{m: matrix{1, 0, 0, -1, 0, height.Points()}}}
}

func (c *svgCanvas) SetLineWidth(w vg.Length) { c.width = w }
func (c *svgCanvas) SetColor(k color.Color)   { c.color = k }
func (c *svgCanvas) SetLineDash(dashes []vg.Length, offset vg.Length) {
	c.dashes, c.offset = dashes, offset
}

func (c *svgCanvas) Rotate(rad float64) {
	sin, cos := math.Sincos(rad)
	c.m = c.m.then(matrix{cos, sin, -sin, cos, 0, 0})
}

func (c *svgCanvas) Translate(p vg.Point) {
	c.m = c.m.then(matrix{1, 0, 0, 1, p.X.Points(), p.Y.Points()})
}

func (c *svgCanvas) Scale(x, y float64) { c.m = c.m.then(matrix{x, 0, 0, y, 0, 0}) }

func (c *svgCanvas) Push() { c.saved = append(c.saved, c.state) }

func (c *svgCanvas) Pop() {
	c.state = c.saved[len(c.saved)-1]
	c.saved = c.saved[:len(c.saved)-1]
}

func (c *svgCanvas) Stroke(path vg.Path) {
	if c.width <= 0 {
		return
	}
	data := c.data(path)
	pen := fmt.Sprintf(`stroke="%s"%s stroke-width="%s"%s`,
		hexColor(c.color), opacity("stroke", c.color), num(c.width.Points()), c.dash())
	// An outline drawn right after its filling is the same element, so that pages
	// have half as many to lay out.
	if n := c.body.Len(); n > 0 && c.filled == (filled{data, n}) {
		c.body.Truncate(n - len("/>\n"))
		fmt.Fprintf(&c.body, " %s/>\n", pen)
		return
	}
	fmt.Fprintf(&c.body, `<path fill="none" %s d="%s"/>`+"\n", pen, data)
}

func (c *svgCanvas) Fill(path vg.Path) {
	data := c.data(path)
	fmt.Fprintf(&c.body, `<path fill="%s"%s d="%s"/>`+"\n", hexColor(c.color), opacity("fill", c.color), data)
	c.filled = filled{data, c.body.Len()}
}

// FillString writes text that starts at the point.
func (c *svgCanvas) FillString(f font.Face, at vg.Point, s string) { c.text(f, at, left, s) }

// text writes text as text, so that it can be searched, selected and read
// aloud. The anchor keeps its place where another face steps in; textLength
// holds it to the measured width in viewers that know it.
func (c *svgCanvas) text(f font.Face, at vg.Point, a align, s string) {
	if f.Font.Size == 0 || s == "" {
		return
	}
	x, y := c.m.apply(at)
	more := map[align]string{centre: ` text-anchor="middle"`, right: ` text-anchor="end"`}[a]
	if more == "" && a != left {
		x -= float64(a) * f.Width(s).Points()
	}
	// The drawing is upside down in SVG: a turn to the left counts negative.
	if deg := math.Atan2(-c.m.b, c.m.a) * 180 / math.Pi; math.Abs(deg) > 0.01 {
		more += fmt.Sprintf(` transform="rotate(%s %s %s)"`, num(-deg), num(x), num(y))
	}
	if f.Font.Weight >= xfont.WeightBold {
		more += ` font-weight="bold"`
	}
	fmt.Fprintf(&c.body, `<text x="%s" y="%s"%s font-size="%s" fill="%s" textLength="%s" lengthAdjust="spacingAndGlyphs">%s</text>`+"\n",
		num(x), num(y), more, num(f.Font.Size.Points()), hexColor(c.color), num(f.Width(s).Points()), escape(s))
}

func (c *svgCanvas) dash() string {
	if len(c.dashes) == 0 {
		return ""
	}
	all := make([]string, len(c.dashes))
	for i, d := range c.dashes {
		all[i] = num(d.Points())
	}
	s := ` stroke-dasharray="` + strings.Join(all, " ") + `"`
	if c.offset != 0 {
		s += ` stroke-dashoffset="` + num(c.offset.Points()) + `"`
	}
	return s
}
