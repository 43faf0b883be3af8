package picture

import (
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"tautline/model/fit"
)

// A baseline is what a picture that is drawn again and again was at the start:
// it stays, in grey, so that every change is seen against it.
type baseline struct {
	point *fit.Point // of a rim
	rows  []fit.Row  // of a chart
	name  string     // what the grey is: "the start, straps 3 N"
}

// BaselinePoint keeps a rim's starting point in grey on the picture; the name
// says what the grey is.
func BaselinePoint(p fit.Point, name string) Option {
	return func(o *options) {
		o.start.point, o.start.name = &p, name
		o.others = append(o.others, p)
	}
}

// BaselineRows keeps a chart's starting lines in grey on the picture.
func BaselineRows(rows []fit.Row, name string) Option {
	return func(o *options) { o.start.rows, o.start.name = rows, name }
}

// greyInk is dark enough on white to follow and too pale to be taken for a line
// of its own.
var greyInk = color.NRGBA{0x8c, 0x8c, 0x8c, 255}

var greyStyle = style{ink: greyInk, glyph: ring{}}

// under lays the starting lines below those of now. A cell that the start did
// not have gets none.
func (b baseline) under(c *chart, cells []cell) {
	if len(b.rows) == 0 {
		return
	}
	for i := range c.cells {
		for _, old := range cells {
			if old.name == c.cells[i].name || len(cells) == 1 && len(c.cells) == 1 {
				c.cells[i].under(old)
			}
		}
	}
	c.key = append(c.key, series{name: b.words(), style: greyStyle, joined: true})
}

func (l *cell) under(old cell) {
	for j := range min(len(l.panels), len(old.panels)) {
		var all []series
		for _, s := range old.panels[j].series {
			all = append(all, series{points: s.points, style: greyStyle, joined: s.joined, dotted: !s.joined})
		}
		l.panels[j].series = append(all, l.panels[j].series...)
	}
}

// greyRoom is the height of the line that says what the grey is.
const greyRoom vg.Length = 22

// loops are those of the starting point: a picture must have room for them.
func (b baseline) loops() []loop {
	if b.point == nil {
		return nil
	}
	return loopsOf(b.point.Segments)
}

// words say what the grey is; nothing without a baseline.
func (b baseline) words() string {
	switch {
	case b.point != nil:
		return "grey: " + b.name + ", leak " + perMinute(b.point.Leak)
	case len(b.rows) > 0:
		return "grey: " + b.name
	}
	return ""
}

// inWords adds the baseline to a text alternative.
func (b baseline) inWords(alt string) string {
	if s := b.words(); s != "" {
		alt += " In " + s + "."
	}
	return alt
}

// beneath gives a rim's starting state on the same scales, to trace.
func (b baseline) beneath(now *rim) *rim {
	if b.point == nil {
		return nil
	}
	old := &rim{Point: *b.point, loops: loopsOf(b.point.Segments), frame: now.frame, band: now.band, arrow: now.arrow}
	old.cells = old.bands()
	return old
}

// trace draws the edges of the bands and the arrows as lines that show on
// white and on every colour of the scale: grey dashes on a white line.
func (r *rim) trace(on paper) {
	both := func(pts []vg.Point) {
		on.outline(color.NRGBA{255, 255, 255, 150}, 1.4, nil, pts...)
		on.outline(greyInk, 1.4, dashedGrey, pts...)
	}
	for i := range r.loops {
		inner, outer := r.edges(i)
		both(inner)
		both(outer)
	}
	for _, a := range r.arrows() {
		both(a)
	}
}

var dashedGrey = []vg.Length{5, 3}

// greyKey is the line that says what the grey is.
func (r *rim) greyKey(on paper, y vg.Length) {
	x := margin
	on.StrokeLines(draw.LineStyle{Color: greyInk, Width: 1.6, Dashes: dashedGrey}, []vg.Point{{X: x, Y: y + 5}, {X: x + 34, Y: y + 5}})
	on.write(regular(small), soft, vg.Point{X: x + 42, Y: y}, left, shorten(regular(small), r.start.words(), rimWidth-2*margin-42))
}
