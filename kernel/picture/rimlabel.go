package picture

import (
	"sort"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"

	"tautline/model/fit"
)

// A siteBlock is one site's label: its lines and where it points to.
type siteBlock struct {
	lines  []labelLine // the first is the name
	target spot
}

type labelLine struct {
	text string
	face font.Face
}

const lineStep vg.Length = 18 // from one line of a label to the next

func (b siteBlock) height() vg.Length { return vg.Length(len(b.lines)) * lineStep }

func (b siteBlock) width() vg.Length {
	widest := vg.Length(0)
	for _, l := range b.lines {
		widest = max(widest, l.face.Width(l.text))
	}
	return min(widest, columnWidth)
}

// blocks are the labels of one column, top first.
func (r *rim) blocks(column side) []siteBlock {
	var all []siteBlock
	for _, s := range r.Sites {
		if target, ok := r.pointerTo(s.Site, column); ok && sideOf(s.Site) == column {
			all = append(all, siteBlock{r.linesOf(s), target})
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].target.at.Y > all[j].target.at.Y })
	return all
}

func (r *rim) linesOf(s fit.SiteState) []labelLine {
	lines := []labelLine{{siteLabel(s.Site), bold(normal)}}
	add := func(f font.Face, text string) { lines = append(lines, labelLine{text, f}) }
	add(regular(small), mmHg(s.Contact))
	add(regular(small), "margin "+signed(s.Margin))
	if s.Leak > 0 {
		add(regular(small), "leak "+perMinute(s.Leak))
	}
	if s.Crushed {
		add(regular(small), "crushed")
	}
	switch {
	case s.Site == r.OpensFirst && r.HasLiftOff:
		add(bold(small), "opens first,")
		add(bold(small), atLift(r.Point))
	case s.Site == r.OpensFirst:
		add(bold(small), "would open first")
	}
	return lines
}

// labels writes the sites' names and numbers: those of the sides in columns,
// those of the midline inside the rim, where nothing else stands.
func (r *rim) labels(on paper) {
	edge := margin + columnWidth
	r.column(on, r.blocks(wearersLeft), edge, right, 1)
	r.column(on, r.blocks(wearersRight), rimWidth-edge, left, -1)
	for _, b := range r.blocks(midline) {
		r.inside(on, b)
	}
}

// column writes blocks at an edge with leaders to the rim.
func (r *rim) column(on paper, blocks []siteBlock, edge vg.Length, a align, inwards vg.Length) {
	top, bottom := r.frame.height-aboveRim+60, keyTop+belowRim-60
	middles := make([]vg.Length, len(blocks))
	heights := make([]vg.Length, len(blocks))
	for i, b := range blocks {
		middles[i], heights[i] = b.target.at.Y, b.height()+14
	}
	spread(middles, heights, bottom, top)
	for i, b := range blocks {
		y := middles[i] + b.height()/2 - lineStep + 4
		tip := towards(b.target.at, b.target.out, b.target.half)
		on.line(faint, 1, nil, vg.Point{X: edge + 6*inwards, Y: y + 5},
			vg.Point{X: edge + 26*inwards, Y: y + 5}, tip)
		b.write(on, vg.Point{X: edge, Y: y}, a)
	}
}

// inside writes a midline site's block in from its band, as far as it takes for
// the block to fit between the sides of a rim that is narrow there.
func (r *rim) inside(on paper, b siteBlock) {
	in := vg.Point{X: -b.target.out.X, Y: -b.target.out.Y}
	edge := towards(b.target.at, in, b.target.half)
	gap := vg.Length(22)
	first := func() vg.Length { // baseline of the name
		if in.Y > 0 {
			return edge.Y + gap + b.height() - lineStep + 4
		}
		return edge.Y - gap - lineStep + 4
	}
	for gap < rimBoxHeight/3 && !r.fits(b, first()) {
		gap += 6
	}
	on.line(faint, 1, nil, edge, towards(edge, in, gap-4))
	b.write(on, vg.Point{X: rimWidth / 2, Y: first()}, centre)
}

// fits is true where no part of the band comes under the block.
func (r *rim) fits(b siteBlock, y vg.Length) bool {
	half, top, bottom := b.width()/2+8, y+lineStep, y+lineStep-b.height()-4
	for _, c := range r.cells {
		p := c.inner[1]
		if p.Y < top && p.Y > bottom && p.X > rimWidth/2-half && p.X < rimWidth/2+half {
			return false
		}
	}
	return true
}

func (b siteBlock) write(on paper, at vg.Point, a align) {
	for _, l := range b.lines {
		on.write(l.face, ink, at, a, shorten(l.face, l.text, columnWidth))
		at.Y -= lineStep
	}
}
