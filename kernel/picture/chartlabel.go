package picture

import (
	"image/color"
	"sort"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// An endLabel names a line where it leaves the panel.
type endLabel struct {
	lines []string
	y     vg.Length
	ink   color.Color
	face  font.Face
	glyph draw.GlyphDrawer
}

// labelWidth is the widest that a name beside the panels may be before it is
// broken.
const labelWidth vg.Length = 168

// endLabels collects the names of a panel's lines, top first.
func (c *chart) endLabels(p panel, d draw.Canvas) []endLabel {
	var all []endLabel
	for _, s := range p.series {
		if y, ok := s.last(d, p.y); ok && s.name != "" {
			all = append(all, endLabel{wrap(bold(small), s.name, labelWidth-16, 2), y, s.style.ink, bold(small), s.style.glyph})
		}
	}
	for _, r := range p.rules {
		text, y := r.text, p.y.up(d, r.y)
		if y > d.Max.Y+0.5 {
			text, y = text+" ↑", d.Max.Y
		}
		all = append(all, endLabel{wrap(regular(small), text, labelWidth, 3), y, ink, regular(small), nil})
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].y > all[j].y })
	return all
}

// labelRoom is the width that the names beside a row's last cell take.
func (c *chart) labelRoom(l cell) vg.Length {
	room := vg.Length(0)
	for _, p := range l.panels {
		for _, e := range c.endLabels(p, draw.Canvas{}) {
			for _, s := range e.lines {
				w := e.face.Width(s)
				if e.glyph != nil {
					w += 16
				}
				room = max(room, w)
			}
		}
	}
	if room == 0 {
		return 16
	}
	return room + 26
}

// drawLabels writes the names beside their lines, moved apart where lines meet.
func (c *chart) drawLabels(on paper, p panel, d draw.Canvas) {
	labels := c.endLabels(p, d)
	middles, heights := make([]vg.Length, len(labels)), make([]vg.Length, len(labels))
	for i, l := range labels {
		middles[i], heights[i] = l.y, 17*vg.Length(len(l.lines))+1
	}
	spread(middles, heights, d.Min.Y-8, d.Max.Y+8)
	for i, l := range labels {
		x := d.Max.X + 22
		on.line(faint, 1, nil, vg.Point{X: d.Max.X + 2, Y: l.y}, vg.Point{X: x - 4, Y: middles[i]})
		if l.glyph != nil {
			on.DrawGlyphNoClip(draw.GlyphStyle{Color: l.ink, Radius: 4.5, Shape: l.glyph}, vg.Point{X: x + 5, Y: middles[i]})
			x += 16
		}
		y := middles[i] + heights[i]/2 - 13
		for _, s := range l.lines {
			on.write(l.face, l.ink, vg.Point{X: x, Y: y}, left, s)
			y -= 17
		}
	}
}
