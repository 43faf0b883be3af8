package picture

import (
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

var gridInk = color.NRGBA{0xe4, 0xe4, 0xe4, 255}

// A style tells lines apart three ways: by colour, by dashes and by the shape
// of the points. The colours are Okabe and Ito's (Color universal design, 2008,
// from memory), the darker ones, as lines on white.
type style struct {
	ink    color.NRGBA
	dashes []vg.Length
	glyph  draw.GlyphDrawer
}

var styles = []style{
	{color.NRGBA{0x1a, 0x1a, 0x1a, 255}, nil, draw.CircleGlyph{}},
	{color.NRGBA{0x00, 0x62, 0x9b, 255}, []vg.Length{9, 4}, draw.BoxGlyph{}},
	{color.NRGBA{0xb8, 0x4a, 0x00, 255}, []vg.Length{3, 3}, draw.PyramidGlyph{}},
	{color.NRGBA{0x00, 0x75, 0x56, 255}, []vg.Length{12, 3, 3, 3}, diamond{}},
	{color.NRGBA{0x9a, 0x4c, 0x7c, 255}, []vg.Length{6, 2, 1, 2, 1, 2}, cross{}},
	{color.NRGBA{0x6b, 0x5b, 0x00, 255}, []vg.Length{1, 3}, ring{}},
}

// A series is one line, or a row of points where the horizontal axis has names.
type series struct {
	name   string
	points plotter.XYs // from left to right
	style  style
	joined bool // a line goes through the points
	dotted bool // the points are shown, or some of many
	stems  bool // thin lines down to zero
	values bool // each point has its number above it
	level  bool // its label is joined to the point by a level line
	band   bool // the panel is shaded from the first point to the last
}

// fewPoints is up to how many points of a line are all shown.
const fewPoints = 12

// Plot draws the series inside its axes. What lies beyond them is clipped, so
// that it ends at the edge instead of running over the page.
func (s series) Plot(c draw.Canvas, p *plot.Plot) {
	on := paper{c}
	tx, ty := p.Transforms(&c)
	if s.band {
		on.fill(s.style.ink, box(tx(s.points[0].X), c.Min.Y, tx(s.points[len(s.points)-1].X), c.Max.Y).Path())
		return
	}
	var pts []vg.Point
	for _, q := range s.points {
		if math.IsNaN(q.X+q.Y) || math.IsInf(q.X+q.Y, 0) {
			continue
		}
		pts = append(pts, vg.Point{X: tx(q.X), Y: ty(q.Y)})
		at := pts[len(pts)-1]
		if s.level {
			on.line(faint, 1, nil, at, vg.Point{X: c.Max.X, Y: at.Y})
		}
		if s.stems {
			on.line(faint, 2, nil, vg.Point{X: at.X, Y: ty(0)}, vg.Point{X: at.X, Y: min(at.Y, c.Max.Y)})
		}
		if s.values && c.Contains(at) {
			on.writeOver(regular(small), ink, vg.Point{X: at.X, Y: at.Y + 9}, centre, decimal(q.Y, 1))
		}
	}
	if s.joined {
		c.StrokeLines(draw.LineStyle{Color: s.style.ink, Width: 2.5, Dashes: s.style.dashes},
			c.ClipLinesXY(pts)...)
	}
	if !s.dotted && len(pts) > 1 {
		return
	}
	// On a line of many points a few shapes are enough to know it by.
	every := 1
	if s.joined && len(pts) > fewPoints {
		every = (len(pts) + 5) / 6
	}
	for i := every / 2; i < len(pts); i += every {
		c.DrawGlyph(draw.GlyphStyle{Color: s.style.ink, Radius: 4.5, Shape: s.style.glyph}, pts[i])
	}
}

// last is the point where the series leaves the axes to the right, for its
// label.
func (s series) last(c draw.Canvas, p scale) (vg.Length, bool) {
	for i := len(s.points) - 1; i >= 0; i-- {
		if y := s.points[i].Y; !math.IsNaN(y) && !math.IsInf(y, 0) {
			share := (y - p.low) / (p.high - p.low)
			return c.Y(math.Max(0, math.Min(1, share))), true
		}
	}
	return 0, false
}

// Glyphs that gonum lacks, or draws too thin for a projector.
type (
	diamond struct{}
	cross   struct{}
	ring    struct{}
	hollow  struct{}
)

func diamondPath(r vg.Length, at vg.Point) vg.Path {
	return polygon([]vg.Point{{X: at.X, Y: at.Y + r}, {X: at.X + r, Y: at.Y},
		{X: at.X, Y: at.Y - r}, {X: at.X - r, Y: at.Y}})
}

func (diamond) DrawGlyph(c *draw.Canvas, g draw.GlyphStyle, at vg.Point) {
	c.Fill(diamondPath(1.35*g.Radius, at))
}

func (hollow) DrawGlyph(c *draw.Canvas, g draw.GlyphStyle, at vg.Point) {
	c.SetColor(white)
	c.Fill(diamondPath(1.35*g.Radius, at))
	c.SetLineStyle(draw.LineStyle{Color: g.Color, Width: 2})
	c.Stroke(diamondPath(1.35*g.Radius, at))
}

func (cross) DrawGlyph(c *draw.Canvas, g draw.GlyphStyle, at vg.Point) {
	r := g.Radius
	c.StrokeLines(draw.LineStyle{Color: g.Color, Width: 2},
		[]vg.Point{{X: at.X - r, Y: at.Y - r}, {X: at.X + r, Y: at.Y + r}},
		[]vg.Point{{X: at.X - r, Y: at.Y + r}, {X: at.X + r, Y: at.Y - r}})
}

func (ring) DrawGlyph(c *draw.Canvas, g draw.GlyphStyle, at vg.Point) {
	c.SetColor(white)
	c.Fill(disc(at, g.Radius))
	c.SetLineStyle(draw.LineStyle{Color: g.Color, Width: 2})
	c.Stroke(disc(at, g.Radius))
}
