package picture

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/palette/moreland"
	"gonum.org/v1/plot/vg"

	"tautline/model/fit"
	"tautline/model/unit"
)

// thinnest is the line that the rim is drawn with where it does not touch at
// all; contact adds to it, so that a lifted rim still shows its colour.
const thinnest vg.Length = 4

// A band is one segment as drawn: its middle on the rim, the way out, and half
// the width at its start, middle and end, so that neighbours meet.
type band struct {
	fit.SegmentState
	at, out        vg.Point
	half           vg.Length
	inner, outer   [3]vg.Point // start, middle, end
	loop, position int         // which loop, and where on it
}

// A spot is a place on the rim's middle line, between segments too, so that
// what is symmetric is drawn symmetric.
type spot struct {
	at, out vg.Point
	half    vg.Length
}

// spot finds the place a fractional number of segments along a loop.
func (r *rim) spot(index int, position float64) spot {
	n := len(r.loops[index])
	first := 0
	for r.cells[first].loop != index {
		first++
	}
	low := math.Floor(position)
	w := vg.Length(position - low)
	i := (int(low)%n + n) % n
	a, b := r.cells[first+i], r.cells[first+(i+1)%n]
	mix := func(p, q vg.Length) vg.Length { return p*(1-w) + q*w }
	return spot{
		at:   vg.Point{X: mix(a.at.X, b.at.X), Y: mix(a.at.Y, b.at.Y)},
		out:  unitVector(vg.Point{X: mix(a.out.X, b.out.X), Y: mix(a.out.Y, b.out.Y)}),
		half: mix(a.half, b.half)}
}

// bands lays out all segments of all loops.
func (r *rim) bands() []band {
	var all []band
	for i, l := range r.loops {
		all = append(all, r.bandsOf(i, l)...)
	}
	return all
}

func (r *rim) bandsOf(index int, l loop) []band {
	pts := r.frame.all(l)
	normals := outwards(pts)
	cells := make([]band, len(l))
	for i, s := range l {
		w := math.Max(0, finite(s.Contact.MmHg())) * r.band
		cells[i] = band{SegmentState: s, at: pts[i], out: normals[i],
			half: (thinnest + vg.Length(w)) / 2, loop: index, position: i}
	}
	for i := range cells {
		c, before, after := &cells[i], cells[(i+len(l)-1)%len(l)], cells[(i+1)%len(l)]
		for k, other := range []band{before, *c, after} {
			mid := between(c.at, other.at)
			out := unitVector(between(c.out, other.out))
			half := (c.half + other.half) / 2
			c.inner[k], c.outer[k] = towards(mid, out, -half), towards(mid, out, half)
		}
	}
	return cells
}

// shape is the band's outline.
func (b band) shape() []vg.Point {
	return []vg.Point{b.inner[0], b.outer[0], b.outer[1], b.outer[2], b.inner[2], b.inner[1]}
}

// drawBands fills the bands and edges them, so that the pale middle of the
// colour scale still shows on white. Hatching marks a crushed cushion.
func (r *rim) drawBands(on paper) {
	for _, b := range r.cells {
		k := marginColor(b.Margin)
		on.fill(k, polygon(b.shape()))
		on.outline(k, 0.6, nil, b.shape()...) // closes the seams between neighbours
	}
	for i := range r.loops {
		inner, outer := r.edges(i)
		on.outline(soft, 0.8, nil, inner...)
		on.outline(soft, 0.8, nil, outer...)
	}
	way := vg.Length(0)
	for _, b := range r.cells {
		if !b.Crushed {
			continue
		}
		on.line(ink, 2.4, nil, b.outer[:]...)
		on.line(ink, 2.4, nil, b.inner[:]...)
		// One stroke every eight pixels, however fine the segments are.
		way += vg.Length(math.Hypot(float64(b.outer[2].X-b.outer[0].X), float64(b.outer[2].Y-b.outer[0].Y)))
		if way >= 8 {
			way = 0
			on.line(ink, 1.3, nil, b.inner[0], b.outer[2])
		}
	}
}

// edges are the two edges of a loop's band, each as one closed line.
func (r *rim) edges(loop int) (inner, outer []vg.Point) {
	for _, b := range r.cells {
		if b.loop == loop { // a cell ends where the next one starts
			inner, outer = append(inner, b.inner[:2]...), append(outer, b.outer[:2]...)
		}
	}
	return inner, outer
}

// marginColor is the one diverging scale: orange where the rim has lifted, blue
// where it holds, pale at zero. Blue and orange stay apart in all common kinds
// of colour blindness, and the two ends differ in lightness too little to
// suggest that one of them is the better. The interpolation is Moreland's
// (Diverging color maps for scientific visualization, ISVC 2009,
// 10.1007/978-3-642-10520-3_9).
func marginColor(p unit.Pressure) color.Color {
	v := float64(p / marginScale)
	if math.IsNaN(v) {
		v = 0
	}
	k, err := marginMap.At(math.Max(-0.999, math.Min(0.999, v)))
	if err != nil {
		return faint
	}
	return k
}

var marginMap = func() interface {
	At(float64) (color.Color, error)
} {
	m := moreland.NewSmoothDiverging(
		color.NRGBA{0xc8, 0x58, 0x10, 255}, color.NRGBA{0x1f, 0x5f, 0xa8, 255}, 92)
	m.SetMin(-1)
	m.SetMax(1)
	m.SetConvergePoint(0)
	return m
}()
