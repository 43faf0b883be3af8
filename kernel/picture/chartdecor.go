package picture

import (
	"sort"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A rule is a horizontal line that somebody chose: a leak limit, a reference
// line.
type rule struct {
	y    float64
	text string
}

// A post is a vertical line at a place worth naming.
type post struct {
	x    float64
	text string
}

// A span is an outlined range of the horizontal axis. It may stay open at
// either end, where nothing beyond was looked at.
type span struct {
	low, high         float64
	openBelow, openUp bool
	text              string
}

func (f fact) face() font.Face {
	if f.bold {
		return bold(normal)
	}
	return regular(normal)
}

// at places a value of the horizontal axis on a panel, kept inside it.
func (s scale) at(c draw.Canvas, v float64) vg.Length {
	x := c.Min.X + (c.Max.X-c.Min.X)*vg.Length((finite(v)-s.low)/(s.high-s.low))
	return max(c.Min.X, min(c.Max.X, x))
}

func (s scale) up(c draw.Canvas, v float64) vg.Length {
	return c.Min.Y + (c.Max.Y-c.Min.Y)*vg.Length((finite(v)-s.low)/(s.high-s.low))
}

// decorate adds to a finished cell what lies over its panels or beside them.
func (c *chart) decorate(on paper, l cell, data []draw.Canvas, last bool) {
	for j, p := range l.panels {
		c.drawRules(on, p, data[j])
		c.drawMarks(on, p, data[j])
		if last {
			c.drawLabels(on, p, data[j])
		}
	}
	c.drawBands(on, l, data[0])
	c.drawSpan(on, l, data)
	c.drawPosts(on, l, data)
	c.drawHead(on, l, data[0])
}

// drawMarks draws vertical lines in one panel. Beyond the axis there is no line
// to draw: an arrow shows where it would be.
func (c *chart) drawMarks(on paper, p panel, d draw.Canvas) {
	for _, m := range p.marks {
		x, y := c.x.at(d, m.x), d.Max.Y-16
		switch {
		case m.x > c.x.high:
			on.writeOver(regular(small), ink, vg.Point{X: x - 4, Y: y}, right, m.text+" →")
		case m.x < c.x.low:
			on.writeOver(regular(small), ink, vg.Point{X: x + 4, Y: y}, left, "← "+m.text)
		default:
			on.line(ink, 1.2, []vg.Length{5, 4}, vg.Point{X: x, Y: d.Min.Y}, vg.Point{X: x, Y: d.Max.Y})
			c.besides(on, d, x, y, m.text)
		}
	}
}

// besides writes a text next to a vertical line, on the side that has room.
func (c *chart) besides(on paper, d draw.Canvas, x, y vg.Length, s string) {
	f := regular(small)
	if x+8+f.Width(s) > d.Max.X && x-8-f.Width(s) > d.Min.X {
		on.writeOver(f, ink, vg.Point{X: x - 8, Y: y}, right, s)
		return
	}
	on.writeOver(f, ink, vg.Point{X: x + 8, Y: y}, left, shorten(f, s, chartWidth-x-12))
}

func (c *chart) drawRules(on paper, p panel, d draw.Canvas) {
	for _, r := range p.rules {
		if y := p.y.up(d, r.y); y >= d.Min.Y && y <= d.Max.Y+0.5 {
			on.line(ink, 1.2, []vg.Length{2, 3}, vg.Point{X: d.Min.X, Y: y}, vg.Point{X: d.Max.X, Y: y})
		}
	}
}

// drawSpan outlines a range over all panels of a cell, with its words above.
func (c *chart) drawSpan(on paper, l cell, data []draw.Canvas) {
	if l.span == nil {
		return
	}
	top, bottom := data[0].Max.Y, data[len(data)-1].Min.Y
	x0, x1 := c.x.at(data[0], l.span.low), c.x.at(data[0], l.span.high)
	// An end beyond the axis is not drawn: the box would seem to stop there.
	openBelow, openUp := l.span.openBelow || l.span.low < c.x.low, l.span.openUp || l.span.high > c.x.high
	if openBelow {
		x0 = data[0].Min.X
	}
	if openUp {
		x1 = data[0].Max.X
	}
	edges := [][]vg.Point{
		{{X: x0, Y: top + 3}, {X: x1, Y: top + 3}},
		{{X: x0, Y: bottom}, {X: x1, Y: bottom}}}
	if !openBelow {
		edges = append(edges, []vg.Point{{X: x0, Y: bottom}, {X: x0, Y: top + 3}})
	}
	if !openUp {
		edges = append(edges, []vg.Point{{X: x1, Y: bottom}, {X: x1, Y: top + 3}})
	}
	for _, e := range edges {
		on.line(ink, 2.5, nil, e...)
	}
	f := bold(small)
	half := f.Width(l.span.text) / 2
	middle := max(data[0].Min.X+half, min((x0+x1)/2, data[0].Max.X-half))
	on.write(f, ink, vg.Point{X: middle, Y: top + 10}, centre, l.span.text)
}

// drawPosts draws vertical lines over all panels. Their words stand above, each
// on a line of its own, the leftmost post's highest, so that none crosses a word.
func (c *chart) drawPosts(on paper, l cell, data []draw.Canvas) {
	posts := append([]post{}, l.posts...)
	sort.SliceStable(posts, func(i, j int) bool { return posts[i].x < posts[j].x })
	bottom := data[len(data)-1].Min.Y
	for i, p := range posts {
		x := c.x.at(data[0], p.x)
		top := data[0].Max.Y + 6 + noteStep*vg.Length(len(posts)-1-i)
		on.line(ink, 1.4, []vg.Length{6, 3}, vg.Point{X: x, Y: bottom}, vg.Point{X: x, Y: top + 12})
		c.besides(on, data[0], x, top, p.text)
	}
}

// drawHead writes a cell's name and note above everything.
func (c *chart) drawHead(on paper, l cell, d draw.Canvas) {
	y := d.Max.Y + 8 + noteStep*vg.Length(len(l.posts))
	if l.span != nil {
		y += noteStep + 4
	}
	notes := c.noteLines(l)
	for i := len(notes) - 1; i >= 0; i-- {
		on.write(regular(small), ink, vg.Point{X: d.Min.X, Y: y}, left, notes[i])
		y += noteStep
	}
	if l.name != "" {
		f := bold(normal)
		on.write(f, ink, vg.Point{X: d.Min.X, Y: y}, left, shorten(f, l.name, d.Max.X-d.Min.X))
	}
}

// drawKey shows a sample of each kind of mark with its name.
func (c *chart) drawKey(on paper, y vg.Length) {
	x := margin
	for _, s := range c.key {
		mid := vg.Point{X: x + 17, Y: y + 5}
		if s.joined {
			on.line(s.style.ink, 2.5, s.style.dashes, vg.Point{X: x, Y: mid.Y}, vg.Point{X: x + 34, Y: mid.Y})
		}
		if s.dotted {
			on.DrawGlyphNoClip(draw.GlyphStyle{Color: s.style.ink, Radius: 4.5, Shape: s.style.glyph}, mid)
		}
		on.write(regular(small), ink, vg.Point{X: x + 42, Y: y}, left, s.name)
		f := regular(small)
		x += 42 + f.Width(s.name) + 26
	}
}
