package mask

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mathext"
	"pgregory.net/rapid"

	"tautline/model/face"
	"tautline/model/unit"
)

func oval(width, height unit.Length, taper float64) Rim {
	return Rim{Width: width * unit.Mm, Height: height * unit.Mm, Taper: taper,
		Landmarks: landmarks(face.Bridge, 0, face.NoseSideLeft, 40, face.CheekLeft, 85, face.CornerLeft, 130, face.Chin, 180)}
}

// pointed gives points on the rim, written the way of the clock as its wearer
// has it (towards the left).
func (r Rim) pointed(n int) Rim {
	width := r.Width / unit.Length(widest(r.Taper))
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		r.Points = append(r.Points, [2]unit.Length{r.CentreX + width/2*unit.Length(sin*(1-r.Taper*cos)),
			r.CentreY + r.Height/2*unit.Length(cos)})
	}
	r.Width, r.Height = 0, 0
	return r
}

func cut(t rapid.TB, r Rim, n int, width unit.Length) Outline {
	t.Helper()
	out, err := r.Outline(n, width)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestEllipse: area and length against the exact formulas; the perimeter by the
// complete elliptic integral, the inner parallel curve by Steiner's formula.
func TestEllipse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(30, 100).Draw(t, "width"), rapid.Float64Range(30, 100).Draw(t, "height")
		band := rapid.Float64Range(0, 10).Draw(t, "band")
		r := oval(unit.Length(a), unit.Length(b), 0)
		r.CentreX, r.CentreY = 7*unit.Mm, -3*unit.Mm
		out := cut(t, r, 96, unit.Length(band)*unit.Mm)
		long, short := max(a, b)/2, min(a, b)/2
		around := 4 * long * mathext.CompleteE(1-short*short/(long*long))
		inside := math.Pi*a*b/4 - around*band/2 + math.Pi*band*band/4
		if off := out.Length*1e3/around - 1; math.Abs(off) > 1e-5 {
			t.Errorf("length off by %g", off)
		}
		if off := out.Area*1e6/inside - 1; math.Abs(off) > 1e-5 {
			t.Errorf("area off by %g", off)
		}
		if math.Abs(out.CX-7e-3) > 1e-9 || math.Abs(out.CY+3e-3) > 1e-9 {
			t.Errorf("its middle is at %g, %g", out.CX, out.CY)
		}
	})
}

// TestWidthIsTheWidest: a tapered oval is as wide and as high as it says.
func TestWidthIsTheWidest(t *testing.T) {
	for _, taper := range []float64{0, 1e-9, 0.25, 0.6, 0.99} {
		c, err := (&Rim{Width: 88 * unit.Mm, Height: 112 * unit.Mm, Taper: taper}).curve()
		if err != nil {
			t.Fatal(err)
		}
		x, y := 0.0, 0.0
		for _, p := range c {
			x, y = max(x, 2*p[0]), max(y, 2*p[1])
		}
		if math.Abs(x-88e-3) > 1e-6 || math.Abs(y-112e-3) > 1e-6 {
			t.Errorf("taper %g: %g by %g m", taper, x, y)
		}
	}
}

// TestMediumAreas: the areas that the invented masks are drawn for, inside the
// contact band.
func TestMediumAreas(t *testing.T) {
	for kind, want := range map[Type]float64{Oronasal: 61, Nasal: 16} {
		m, err := Find(kind, "medium")
		if err != nil {
			t.Fatal(err)
		}
		if got := cut(t, m.Rims[0], 96, m.Width).Area * 1e4; math.Abs(got-want) > 1 {
			t.Errorf("%s: %g cm2, want %g", kind, got, want)
		}
	}
}

// TestPieces: equal lengths that add up, each on the rim and in order, the
// nearest landmark's site on each.
func TestPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(8, 400).Draw(t, "pieces")
		r := oval(unit.Length(rapid.Float64Range(40, 100).Draw(t, "width")), 90, rapid.Float64Range(0, 0.6).Draw(t, "taper"))
		if rapid.Bool().Draw(t, "pointed") {
			r = r.pointed(40)
		}
		out := cut(t, r, n, 8*unit.Mm)
		if len(out.Pieces) != n {
			t.Fatalf("%d pieces, want %d", len(out.Pieces), n)
		}
		sum := 0.0
		for i, p := range out.Pieces {
			sum += p.Length
			if p.Length != out.Pieces[0].Length || math.Abs(p.At-(float64(i)+0.5)/float64(n)) > 1e-12 {
				t.Errorf("piece %d is %g m long, at %g", i, p.Length, p.At)
			}
			q := out.Pieces[(i+1)%n]
			if chord := math.Hypot(q.X-p.X, q.Y-p.Y); chord > p.Length*(1+1e-9) || n >= 200 && chord < 0.9*p.Length {
				t.Errorf("piece %d: %g m to the next, but %g m long", i, chord, p.Length)
			}
		}
		if math.Abs(sum/out.Length-1) > 1e-12 {
			t.Errorf("pieces add up to %g of %g m", sum, out.Length)
		}
	})
}

// TestOutlineMirrors: an even mask has even pieces.
func TestOutlineMirrors(t *testing.T) {
	for _, r := range []Rim{oval(88, 112, 0.25), oval(88, 112, 0.25).pointed(36)} {
		out := cut(t, r, 96, 10*unit.Mm)
		if math.Abs(out.CX) > 1e-12 {
			t.Errorf("its middle is off by %g m", out.CX)
		}
		for i, p := range out.Pieces {
			q := out.Pieces[len(out.Pieces)-1-i]
			if math.Abs(p.X+q.X) > 1e-9 || math.Abs(p.Y-q.Y) > 1e-9 || p.Site != q.Site.Mirror() {
				t.Errorf("piece %d at %g, %g (%s), its mirror at %g, %g (%s)", i, p.X, p.Y, p.Site, q.X, q.Y, q.Site)
			}
		}
		for k, at := range out.Landmarks {
			m := slices.Index(out.Sites, out.Sites[k].Mirror())
			if math.Abs(math.Remainder(at+out.Landmarks[m], 1)) > 1e-9 {
				t.Errorf("%s at %g, its mirror at %g", out.Sites[k], at, out.Landmarks[m])
			}
		}
	}
}

// TestLandmarkOrder: from the bridge towards the wearer's left and round, in
// whichever order they were written.
func TestLandmarkOrder(t *testing.T) {
	r := oval(88, 112, 0.25)
	want := []face.Site{face.Bridge, face.NoseSideLeft, face.CheekLeft, face.CornerLeft, face.Chin,
		face.CornerRight, face.CheekRight, face.NoseSideRight}
	r.Landmarks = slices.Clone(r.Landmarks)
	slices.Reverse(r.Landmarks)
	out := cut(t, r, 96, 10*unit.Mm)
	if !slices.Equal(out.Sites, want) || !slices.IsSorted(out.Landmarks) {
		t.Errorf("%v at %v", out.Sites, out.Landmarks)
	}
	if out.Pieces[24].X < 0 || out.Pieces[0].Y < 0 {
		t.Error("the pieces do not go from the top towards the wearer's left")
	}
}

// TestPointsEitherWay: points written the other way round give the same rim.
func TestPointsEitherWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := oval(unit.Length(rapid.Float64Range(40, 100).Draw(t, "width")), 90, 0.25)
		r.CentreX = unit.Length(rapid.Float64Range(-20, 20).Draw(t, "aside")) * unit.Mm
		r = r.pointed(rapid.IntRange(8, 60).Draw(t, "points"))
		back := r
		back.Points = slices.Clone(r.Points)
		slices.Reverse(back.Points[1:])
		a, b := cut(t, r, 48, 6*unit.Mm), cut(t, back, 48, 6*unit.Mm)
		if !(a.Area > 0) || a.Area != b.Area || !slices.Equal(a.Pieces, b.Pieces) || !slices.Equal(a.Landmarks, b.Landmarks) {
			t.Errorf("one way %g m2, the other %g m2", a.Area, b.Area)
		}
	})
}

// TestPointsFollowTheOval: a rim stated by points close to the oval is nearly
// the oval.
func TestPointsFollowTheOval(t *testing.T) {
	r := oval(88, 112, 0.25)
	want, got := cut(t, r, 96, 10*unit.Mm), cut(t, r.pointed(36), 96, 10*unit.Mm)
	if math.Abs(got.Area/want.Area-1) > 1e-3 || math.Abs(got.Length/want.Length-1) > 1e-3 {
		t.Errorf("area %g, length %g; of the oval %g and %g", got.Area, got.Length, want.Area, want.Length)
	}
	for i, p := range want.Pieces {
		q := got.Pieces[i]
		if off := math.Hypot(p.X-q.X, p.Y-q.Y); off > 0.2e-3 {
			t.Errorf("piece %d is %g mm off the oval", i, off*1e3)
		}
	}
}

func TestOutlineRefuses(t *testing.T) {
	good := oval(88, 112, 0.25)
	change := func(f func(*Rim)) Rim { r := good.pointed(12); f(&r); return r }
	for says, r := range map[string]Rim{
		"is not an oval":                 oval(0, 112, 0.25),
		"taper 1 is not an oval":         oval(88, 112, 1),
		"leaves no room":                 oval(8, 9, 0),
		"needs at least 6 points, not 5": change(func(r *Rim) { r.Points = r.Points[:5] }),
		"point 4 of the rim stands":      change(func(r *Rim) { r.Points[3] = r.Points[2] }),
		"point 1 of the rim stands":      change(func(r *Rim) { r.Points[11] = r.Points[0] }),
		"point 3 of the rim stands":      change(func(r *Rim) { slices.Reverse(r.Points[1:]); r.Points[2] = r.Points[1] }),
		"point 5 of the rim stands":      change(func(r *Rim) { r.Points[4][0] = unit.Length(math.NaN()) }),
		"at the same place":              change(func(r *Rim) { r.Landmarks = append(r.Landmarks, Landmark{Site: face.Lip}) }),
		"names no site":                  change(func(r *Rim) { r.Landmarks = nil }),
	} {
		if _, err := r.Outline(96, 10*unit.Mm); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("want an error that says %q, got %v", says, err)
		}
	}
	for _, n := range []int{-1, 0, 7, fine + 1} {
		if _, err := good.Outline(n, 10*unit.Mm); err == nil {
			t.Errorf("a rim in %d pieces passes", n)
		}
	}
	nan := oval(unit.Length(math.NaN()), 112, 0.25)
	if _, err := nan.Outline(96, 10*unit.Mm); err == nil {
		t.Error("a width that is no number passes")
	}
	nan = oval(88, 112, math.NaN())
	if _, err := nan.Outline(96, 10*unit.Mm); err == nil {
		t.Error("a taper that is no number passes")
	}
}
