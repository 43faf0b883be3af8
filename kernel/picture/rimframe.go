package picture

import (
	"math"

	"gonum.org/v1/plot/vg"

	"tautline/model/face"
	"tautline/model/fit"
)

// A loop is one closed stretch of rim: a mask has one, pillows have two.
type loop []fit.SegmentState

// loopsOf parts the segments where the next one is not a neighbour: after a
// jump much longer than a segment, or from one nostril to the other.
func loopsOf(segments []fit.SegmentState) []loop {
	var loops []loop
	start := 0
	for i := 1; i <= len(segments); i++ {
		if i < len(segments) && !apart(segments[i-1], segments[i]) {
			continue
		}
		if l := loop(segments[start:i]); len(l) >= 3 && l.drawable() {
			loops = append(loops, l)
		}
		start = i
	}
	return loops
}

func apart(a, b fit.SegmentState) bool {
	nostril := a.Site == face.NostrilLeft || a.Site == face.NostrilRight
	if nostril && a.Site != b.Site {
		return true
	}
	jump := math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y))
	return jump > 3*math.Max(float64(a.Length), float64(b.Length)) && a.Length > 0 && b.Length > 0
}

// drawable is false when a corner of the loop lies nowhere.
func (l loop) drawable() bool {
	for _, s := range l {
		if v := float64(s.X) + float64(s.Y); math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// bounds are the loop's extremes in the rim's plane, in metres.
func (l loop) bounds() (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, s := range l {
		x0, x1 = math.Min(x0, float64(s.X)), math.Max(x1, float64(s.X))
		y0, y1 = math.Min(y0, float64(s.Y)), math.Max(y1, float64(s.Y))
	}
	return
}

// smallestHalf is half the loop's shorter side, in metres: a band wider than
// that would cover the hole.
func (l loop) smallestHalf() float64 {
	x0, y0, x1, y1 := l.bounds()
	return math.Min(x1-x0, y1-y0) / 2
}

// rimFrame maps the rim's plane to the sheet.
type rimFrame struct {
	perMetre       vg.Length
	y0             float64   // the height on the rim that lies at the middle
	middle, height vg.Length // of the rim's room on the sheet, and of the sheet
}

// frameOf fits all loops into the rim's box. The rim's own midline stays in the
// middle of the sheet, so that a lopsided rim looks lopsided.
func frameOf(loops []loop) rimFrame {
	half, low, high := 0.0, math.Inf(1), math.Inf(-1)
	for _, l := range loops {
		x0, y0, x1, y1 := l.bounds()
		half = math.Max(half, math.Max(-x0, x1))
		low, high = math.Min(low, y0), math.Max(high, y1)
	}
	f := rimFrame{perMetre: mostPerMM * 1000}
	if half > 0 && high > low {
		f.y0 = (low + high) / 2
		f.perMetre = min(f.perMetre, rimBoxWidth/vg.Length(2*half), rimBoxHeight/vg.Length(high-low))
		f.height = vg.Length(high-low) * f.perMetre
	}
	room := max(leastRim, f.height)
	f.middle = keyTop + belowRim + room/2
	f.height = vg.Length(math.Ceil(float64(f.middle + room/2 + aboveRim)))
	return f
}

// at places a segment. X counts to the wearer's left, which from inside is the
// viewer's left too, so it runs against the sheet's x.
func (f rimFrame) at(s fit.SegmentState) vg.Point {
	return vg.Point{
		X: rimWidth/2 - f.perMetre*vg.Length(s.X),
		Y: f.middle + f.perMetre*vg.Length(float64(s.Y)-f.y0)}
}

func (f rimFrame) all(l loop) []vg.Point {
	pts := make([]vg.Point, len(l))
	for i, s := range l {
		pts[i] = f.at(s)
	}
	return pts
}

// outwards gives the unit normals of a closed polygon, pointing out of it.
func outwards(pts []vg.Point) []vg.Point {
	area := vg.Length(0)
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		area += p.X*q.Y - q.X*p.Y
	}
	turn := vg.Length(1)
	if area < 0 {
		turn = -1
	}
	normals := make([]vg.Point, len(pts))
	for i := range pts {
		a, b := pts[(i+len(pts)-1)%len(pts)], pts[(i+1)%len(pts)]
		normals[i] = unitVector(vg.Point{X: (b.Y - a.Y) * turn, Y: (a.X - b.X) * turn})
	}
	return normals
}

// unitVector has length one; a vector without a direction becomes one upwards.
func unitVector(v vg.Point) vg.Point {
	n := vg.Length(math.Hypot(float64(v.X), float64(v.Y)))
	if n == 0 {
		return vg.Point{Y: 1}
	}
	return vg.Point{X: v.X / n, Y: v.Y / n}
}

// towards is the point a way along a direction.
func towards(p, direction vg.Point, way vg.Length) vg.Point {
	return vg.Point{X: p.X + direction.X*way, Y: p.Y + direction.Y*way}
}

// between is the middle of two points.
func between(p, q vg.Point) vg.Point { return vg.Point{X: (p.X + q.X) / 2, Y: (p.Y + q.Y) / 2} }
