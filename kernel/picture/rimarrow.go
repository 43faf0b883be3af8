package picture

import (
	"math"

	"gonum.org/v1/plot/vg"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

// A leak is the flow through one unbroken stretch of a site.
type leak struct {
	site   face.Site
	flow   unit.Flow
	loop   int
	middle float64 // where on the loop the middle of the flow is, in segments
}

// allLeaks gathers the leaks of every loop.
func allLeaks(loops []loop) []leak {
	var all []leak
	for i, l := range loops {
		all = append(all, leaksOf(i, l)...)
	}
	return all
}

// leaksOf gathers neighbouring segments of one site that leak; a site that
// leaks in two places has two leaks. It starts where one stretch ends, so that
// the seam of the list, in the middle of the bridge, does not part an arrow.
func leaksOf(index int, l loop) []leak {
	var all []leak
	start := 0
	for start < len(l) && together(l[(start+len(l)-1)%len(l)], l[start]) {
		start++
	}
	for k := 0; k < len(l); {
		var flow unit.Flow
		var moment float64
		first := l[(start+k)%len(l)]
		for more := true; more && k < len(l); k++ {
			s := l[(start+k)%len(l)]
			if flows(s.Leak) {
				flow += s.Leak
				moment += float64(s.Leak) * float64(start+k)
			}
			more = together(s, l[(start+k+1)%len(l)])
		}
		if flow > 0 {
			all = append(all, leak{first.Site, flow, index, moment / float64(flow)})
		}
	}
	return all
}

// together says that two neighbours belong to one leak.
func together(a, b fit.SegmentState) bool {
	return a.Site == b.Site && flows(a.Leak) && flows(b.Leak)
}

func flows(q unit.Flow) bool { return q > 0 && !math.IsInf(float64(q), 0) }

// The arrow's form in parts of its length: its area is arrowFill times the
// length squared, so the length follows from the area and every arrow has the
// same form.
const (
	headLength, headWidth, shaftWidth = 0.46, 0.62, 0.28
	arrowFill                         = (1-headLength)*shaftWidth + headLength*headWidth/2
)

func arrowLength(area float64) vg.Length { return vg.Length(math.Sqrt(area / arrowFill)) }

// arrow is the outline of one that covers the area, in square pixels.
func arrow(from, direction vg.Point, area float64) []vg.Point {
	l := arrowLength(area)
	d := unitVector(direction)
	across := vg.Point{X: -d.Y, Y: d.X}
	at := func(along, aside vg.Length) vg.Point {
		return towards(towards(from, d, along*l), across, aside*l)
	}
	neck := vg.Length(1 - headLength)
	return []vg.Point{at(0, shaftWidth/2), at(neck, shaftWidth/2), at(neck, headWidth/2), at(1, 0),
		at(neck, -headWidth/2), at(neck, -shaftWidth/2), at(0, -shaftWidth/2)}
}

// arrows are the outlines of all leaks large enough to see.
func (r *rim) arrows() [][]vg.Point {
	var all [][]vg.Point
	for _, l := range allLeaks(r.loops) {
		if area := r.arrow * l.flow.LPerMin(); arrowLength(area) >= shortest {
			s := r.spot(l.loop, l.middle)
			all = append(all, arrow(towards(s.at, s.out, s.half+10), s.out, area))
		}
	}
	return all
}

func (r *rim) drawArrows(on paper) {
	for _, a := range r.arrows() {
		drawArrow(on, a)
	}
}

func drawArrow(on paper, outline []vg.Point) {
	on.fill(ink, polygon(outline))
	on.outline(white, 0.8, nil, outline...)
}
