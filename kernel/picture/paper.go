package picture

import (
	"image/color"
	"math"
	"strings"

	xfont "golang.org/x/image/font"
	_ "gonum.org/v1/plot" // fills font.DefaultCache with the embedded faces
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// The inks. All lettering is dark enough on white for a washed-out projector.
var (
	white = color.NRGBA{255, 255, 255, 255}
	ink   = color.NRGBA{0x1a, 0x1a, 0x1a, 255}
	soft  = color.NRGBA{0x55, 0x55, 0x55, 255} // second-rank lettering
	faint = color.NRGBA{0xb0, 0xb0, 0xb0, 255} // leaders and grids
	mist  = color.NRGBA{0xf4, 0xf4, 0xf4, 255} // the breathing space inside a rim
)

// Lettering in pixels. At 900 px wide nothing is smaller than 14.
const (
	small  vg.Length = 14
	normal vg.Length = 16
	large  vg.Length = 21
)

// paper is the sheet that a picture is drawn on: gonum's canvas with the few
// strokes that these pictures need. The origin is at the bottom left.
type paper struct{ draw.Canvas }

// regular and bold give gonum's embedded Liberation Sans.
func regular(size vg.Length) font.Face {
	return font.DefaultCache.Lookup(font.Font{Typeface: "Liberation", Variant: "Sans"}, size)
}

func bold(size vg.Length) font.Face {
	return font.DefaultCache.Lookup(font.Font{Typeface: "Liberation", Variant: "Sans",
		Weight: xfont.WeightBold}, size)
}

// align says which part of a text stands at its point.
type align float64

const (
	left   align = 0
	centre align = 0.5
	right  align = 1
)

// write sets one line of text with its baseline at the point.
func (p paper) write(f font.Face, k color.Color, at vg.Point, a align, s string) {
	p.SetColor(k)
	if c, ok := p.Canvas.Canvas.(*svgCanvas); ok {
		c.text(f, at, a, s)
		return
	}
	at.X -= vg.Length(a) * f.Width(s)
	p.FillString(f, at, s)
}

// writeOver does the same over lines and bands: a white ground keeps it legible.
func (p paper) writeOver(f font.Face, k color.Color, at vg.Point, a align, s string) {
	w := f.Width(s)
	x := at.X - vg.Length(a)*w
	size := f.Font.Size
	p.fill(color.NRGBA{255, 255, 255, 225}, box(x-2, at.Y-0.25*size, x+w+2, at.Y+0.85*size).Path())
	p.write(f, k, at, a, s)
}

func (p paper) fill(k color.Color, path vg.Path) {
	p.SetColor(k)
	p.Fill(path)
}

// line strokes an open line through the points; dashes may be nil.
func (p paper) line(k color.Color, width vg.Length, dashes []vg.Length, pts ...vg.Point) {
	p.StrokeLines(draw.LineStyle{Color: k, Width: width, Dashes: dashes}, pts)
}

// outline strokes a closed polygon.
func (p paper) outline(k color.Color, width vg.Length, dashes []vg.Length, pts ...vg.Point) {
	p.SetLineStyle(draw.LineStyle{Color: k, Width: width, Dashes: dashes})
	p.Stroke(polygon(pts))
}

func polygon(pts []vg.Point) vg.Path {
	var path vg.Path
	for i, pt := range pts {
		if i == 0 {
			path.Move(pt)
		} else {
			path.Line(pt)
		}
	}
	path.Close()
	return path
}

func disc(at vg.Point, r vg.Length) vg.Path {
	var path vg.Path
	path.Move(vg.Point{X: at.X + r, Y: at.Y})
	path.Arc(at, r, 0, 2*math.Pi)
	path.Close()
	return path
}

func box(x0, y0, x1, y1 vg.Length) vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: x0, Y: y0}, Max: vg.Point{X: x1, Y: y1}}
}

// shorten cuts a text that is wider than there is room for, and shows that it
// did.
func shorten(f font.Face, s string, room vg.Length) string {
	if f.Width(s) <= room {
		return s
	}
	r := []rune(s)
	for len(r) > 1 && f.Width(strings.TrimSpace(string(r))+"…") > room {
		r = r[:len(r)-1]
	}
	return strings.TrimSpace(string(r)) + "…"
}

// wrap breaks a text at spaces into at most max lines that fit the room; the
// last one is shortened when the text is longer still.
func wrap(f font.Face, s string, room vg.Length, max int) []string {
	var lines []string
	line := ""
	words := unbreakable(s)
	for i, w := range words {
		longer := strings.TrimSpace(line + " " + w)
		if line == "" || f.Width(longer) <= room {
			line = longer
			continue
		}
		if len(lines) == max-1 {
			line = strings.Join(append([]string{line}, words[i:]...), " ")
			break
		}
		lines, line = append(lines, line), w
	}
	if line != "" {
		lines = append(lines, line)
	}
	for i := range lines {
		lines[i] = shorten(f, lines[i], room)
	}
	return lines
}

// unbreakable parts a text into words, a number together with its unit.
func unbreakable(s string) []string {
	var words []string
	number := false
	for _, w := range strings.Fields(s) {
		if number {
			words[len(words)-1] += " " + w
		} else {
			words = append(words, w)
		}
		last := w[len(w)-1]
		number = last >= '0' && last <= '9'
	}
	return words
}
