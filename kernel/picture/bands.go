package picture

import (
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// A bandRow is a strip over the panels that says what went on meanwhile: its
// name stands before it, and each piece has its own where there is room.
type bandRow struct {
	name   string
	pieces []piece
}

// A piece is one stretch of a strip.
type piece struct {
	from, to float64
	text     string
	tint     color.NRGBA
}

// The height of one strip and the step to the next.
const stripHeight, stripStep vg.Length = 18, 22

// The tints are pale, so that dark letters stand out on them; neighbours also
// differ in lightness.
var (
	tintLight = color.NRGBA{0xf2, 0xf2, 0xf2, 255}
	tintGrey  = color.NRGBA{0xd0, 0xd0, 0xd0, 255}
	tintBlue  = color.NRGBA{0xbf, 0xdd, 0xf0, 255}
	tintSand  = color.NRGBA{0xf6, 0xd8, 0xb4, 255}
	tintRose  = color.NRGBA{0xe2, 0xc3, 0xd8, 255}
)

func (c *chart) drawBands(on paper, l cell, d draw.Canvas) {
	y := d.Max.Y + 12
	for i := len(l.bands) - 1; i >= 0; i-- {
		row := l.bands[i]
		for _, p := range row.pieces {
			x0, x1 := c.x.at(d, p.from), c.x.at(d, p.to)
			on.fill(p.tint, box(x0, y, x1, y+stripHeight).Path())
			on.outline(soft, 0.7, nil, vg.Point{X: x0, Y: y}, vg.Point{X: x1, Y: y},
				vg.Point{X: x1, Y: y + stripHeight}, vg.Point{X: x0, Y: y + stripHeight})
			if f := regular(small); f.Width(p.text)+6 <= x1-x0 {
				on.write(f, ink, vg.Point{X: (x0 + x1) / 2, Y: y + 4}, centre, p.text)
			}
		}
		on.write(regular(small), ink, vg.Point{X: d.Min.X - 8, Y: y + 4}, right, row.name)
		y += stripStep
	}
}
