package mask

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"

	"tautline/model/face"
	"tautline/model/unit"
)

// A Piece is one segment of a rim cut into equal lengths.
type Piece struct {
	Site   face.Site
	X, Y   float64 // m
	Length float64 // m
	At     float64 // share of the way round, from the top towards the wearer's left
}

// An Outline is a rim cut into pieces, with what the whole curve encloses.
type Outline struct {
	Pieces    []Piece
	Landmarks []float64 // shares of the way round, rising
	Sites     []face.Site
	Length    float64 // m
	Area      float64 // m2, inside the contact band
	CX, CY    float64 // m, middle of that area
}

// Shares gives where round the rim each piece's middle lies.
func (o *Outline) Shares() []float64 {
	at := make([]float64, len(o.Pieces))
	for i := range at {
		at[i] = o.Pieces[i].At
	}
	return at
}

// fine is how many straight pieces stand for the curve while it is measured.
const fine = 2048

// Outline cuts the rim into n pieces of equal length. Width is that of the
// contact band, whose inner half does not count towards the area.
func (r *Rim) Outline(n int, width unit.Length) (Outline, error) {
	if n < 8 || n > fine {
		return Outline{}, fmt.Errorf("a rim is cut into 8 to %d pieces, not %d", fine, n)
	}
	curve, err := r.curve()
	if err != nil {
		return Outline{}, err
	}
	along := make([]float64, fine+1)
	for i := range fine {
		a, b := curve[i], curve[(i+1)%fine]
		along[i+1] = along[i] + math.Hypot(b[0]-a[0], b[1]-a[1])
	}
	out := Outline{Length: along[fine]}
	out.enclose(curve, float64(width))
	// The formula for the area grows again where the band fills the rim.
	if !(out.Area > 0 && min(r.spanX(), r.spanY()) > width) {
		return Outline{}, fmt.Errorf("a contact band %s wide leaves no room inside the rim", width)
	}
	if err := out.place(r, curve, along); err != nil {
		return Outline{}, err
	}
	for i := range n {
		t := (float64(i) + 0.5) / float64(n)
		x, y := walk(curve, along, t*out.Length)
		out.Pieces = append(out.Pieces, Piece{Site: out.siteAt(t), X: x, Y: y,
			Length: out.Length / float64(n), At: t})
	}
	return out, nil
}

// curve gives the rim as a fine polygon, from the top towards the left.
func (r *Rim) curve() ([][2]float64, error) {
	if len(r.Points) > 0 {
		return r.throughPoints()
	}
	if !(r.Width > 0) || !(r.Height > 0) || r.Taper < 0 || r.Taper >= 1 {
		return nil, fmt.Errorf("a rim %s by %s with taper %g is not an oval", r.Width, r.Height, r.Taper)
	}
	c := make([][2]float64, fine)
	half := float64(r.Width) / 2 / widest(r.Taper)
	for i := range c {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / fine)
		c[i][0] = float64(r.CentreX) + half*sin*(1-r.Taper*cos)
		c[i][1] = float64(r.CentreY) + float64(r.Height)/2*cos
	}
	return c, nil
}

// widest is the largest value of sin a (1 - taper cos a): a tapered oval bulges
// below its middle, and Width is meant where it is widest.
func widest(taper float64) float64 {
	if taper == 0 {
		return 1
	}
	cos := (1 - math.Sqrt(1+8*taper*taper)) / (4 * taper) // where the slope is zero
	return math.Sqrt(1-cos*cos) * (1 - taper*cos)
}

// throughPoints joins stated points by periodic shape-preserving cubics over
// the distance between them.
func (r *Rim) throughPoints() ([][2]float64, error) {
	points, err := r.clockwise()
	if err != nil {
		return nil, err
	}
	// Three further points on each side make the ends join without a seam.
	const lap = 3
	n := len(points)
	at, xs, ys := []float64{0}, []float64{}, []float64{}
	for i := -lap; i <= n+lap; i++ {
		p := points[(i+n)%n]
		xs, ys = append(xs, float64(p[0])), append(ys, float64(p[1]))
		if k := len(xs) - 1; k > 0 {
			at = append(at, at[k-1]+math.Hypot(xs[k]-xs[k-1], ys[k]-ys[k-1]))
		}
	}
	var fx, fy interp.AkimaSpline
	if err := fx.Fit(at, xs); err != nil {
		return nil, err
	}
	if err := fy.Fit(at, ys); err != nil {
		return nil, err
	}
	start, end := at[lap], at[lap+n]
	c := make([][2]float64, fine)
	for i := range c {
		t := start + (end-start)*float64(i)/fine
		c[i] = [2]float64{fx.Predict(t), fy.Predict(t)}
	}
	return c, nil
}

// clockwise gives the stated points from the first towards the wearer's left,
// whichever way round they were written, and refuses too few and repeated ones.
func (r *Rim) clockwise() ([][2]unit.Length, error) {
	n := len(r.Points)
	if n < 6 {
		return nil, fmt.Errorf("a rim needs at least 6 points, not %d", n)
	}
	area := 0.0
	for i, b := range r.Points {
		a := r.Points[(i+n-1)%n]
		if apart := math.Hypot(float64(b[0]-a[0]), float64(b[1]-a[1])); !(apart > 0) {
			return nil, fmt.Errorf("point %d of the rim stands where the one before it does", i+1)
		}
		area += float64(b[0]*a[1] - a[0]*b[1]) // positive as in enclose
	}
	if area >= 0 {
		return r.Points, nil
	}
	turned := slices.Clone(r.Points)
	slices.Reverse(turned[1:])
	return turned, nil
}

// enclose measures the area inside the contact band and its middle. The band's
// inner half takes away length*width/2, less what the curve's turning gives
// back (Steiner's formula for the inner parallel curve).
func (o *Outline) enclose(curve [][2]float64, width float64) {
	var area, mx, my float64
	for i := range curve {
		a, b := curve[i], curve[(i+1)%len(curve)]
		cross := b[0]*a[1] - a[0]*b[1] // towards the left is clockwise with Y up
		area += cross / 2
		mx += (a[0] + b[0]) * cross / 6
		my += (a[1] + b[1]) * cross / 6
	}
	o.CX, o.CY = mx/area, my/area
	o.Area = area - o.Length*width/2 + math.Pi*width*width/4
}

// place finds each landmark's share of the way round.
func (o *Outline) place(r *Rim, curve [][2]float64, along []float64) error {
	type mark struct {
		at   float64
		site face.Site
	}
	var marks []mark
	for _, l := range r.Landmarks {
		best, at := math.Inf(1), 0.0
		want := math.Remainder(float64(l.Angle), 2*math.Pi)
		for i, p := range curve {
			turn := math.Atan2((p[0]-o.CX)/float64(r.spanX()), (p[1]-o.CY)/float64(r.spanY()))
			if off := math.Abs(math.Remainder(turn-want, 2*math.Pi)); off < best-1e-12 {
				best, at = off, along[i]/o.Length
			}
		}
		marks = append(marks, mark{at, l.Site})
	}
	slices.SortFunc(marks, func(a, b mark) int {
		if a.at < b.at {
			return -1
		}
		return 1
	})
	for i, m := range marks {
		if i > 0 && m.at == marks[i-1].at {
			return fmt.Errorf("the sites %s and %s stand at the same place of the rim", marks[i-1].site, m.site)
		}
		o.Landmarks, o.Sites = append(o.Landmarks, m.at), append(o.Sites, m.site)
	}
	if len(marks) == 0 {
		return fmt.Errorf("the rim names no site")
	}
	return nil
}

// spanX and spanY make angles on a tall rim mean the same as on a round one.
func (r *Rim) spanX() unit.Length { return span(r.Points, 0, r.Width) }
func (r *Rim) spanY() unit.Length { return span(r.Points, 1, r.Height) }

func span(points [][2]unit.Length, k int, otherwise unit.Length) unit.Length {
	if len(points) == 0 {
		return otherwise
	}
	lo, hi := points[0][k], points[0][k]
	for _, p := range points {
		lo, hi = min(lo, p[k]), max(hi, p[k])
	}
	return hi - lo
}

// siteAt gives the site whose landmark is nearest along the rim.
func (o *Outline) siteAt(t float64) face.Site {
	best, site := math.Inf(1), o.Sites[0]
	for i, at := range o.Landmarks {
		if off := math.Abs(math.Remainder(t-at, 1)); off < best {
			best, site = off, o.Sites[i]
		}
	}
	return site
}

// walk gives the point at a distance along the curve.
func walk(curve [][2]float64, along []float64, s float64) (x, y float64) {
	i, _ := slices.BinarySearch(along, s)
	i = min(max(i-1, 0), len(curve)-1)
	a, b := curve[i], curve[(i+1)%len(curve)]
	t := (s - along[i]) / (along[i+1] - along[i])
	return a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])
}
