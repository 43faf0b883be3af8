package seal

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestSplitFindsAPlane: a mismatch that is a plane leaves no shape.
func TestSplitFindsAPlane(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := source(t)
		p := randomProblem(r)
		want := Pose{between(r, -5e-3, 5e-3), between(r, -0.1, 0.1), between(r, -0.1, 0.1)}
		for i := range p.Segments {
			s := &p.Segments[i]
			s.Mismatch = want.At(s.X, s.Y)
		}
		got, err := p.Split()
		if err != nil {
			t.Fatal(err)
		}
		for k := range want {
			if math.Abs(got.Plane[k]-want[k]) > 1e-12 {
				t.Errorf("plane %v, want %v", got.Plane, want)
			}
		}
		if got.Left > 1e-12 || math.Abs(got.Shape[7]) > 1e-12 {
			t.Errorf("%g m of shape in a plane", got.Left)
		}
	})
}

// TestSplitKeepsShape: on an even ring a wave that goes round twice or more has
// nothing of a plane in it, so all of it is shape and none the straps'.
func TestSplitKeepsShape(t *testing.T) {
	p := ring{radius: 0.04, width: 8e-3, soft: 2e5}.problem()
	want := Pose{1e-3, 0.02, -0.03}
	for i := range p.Segments {
		s := &p.Segments[i]
		s.Mismatch = want.At(s.X, s.Y) + 2e-3*math.Cos(2*math.Atan2(s.X, s.Y)+0.3)
	}
	got, err := p.Split()
	if err != nil {
		t.Fatal(err)
	}
	for k := range want {
		if math.Abs(got.Plane[k]-want[k]) > 1e-12 {
			t.Errorf("plane %v, want %v", got.Plane, want)
		}
	}
	if math.Abs(got.Left-4e-3) > 2e-5 || got.Total < got.Left/2 { // between its highest and lowest segment
		t.Errorf("shape %g m, want 4 mm of %g m", got.Left, got.Total)
	}
	if w := got.Shape[got.Worst]; math.Abs(w-2e-3) > 1e-5 {
		t.Errorf("it stands off most by %g m, want 2 mm", w)
	}
}

// TestSplitRefuses: on a single line no tilt can be told.
func TestSplitRefuses(t *testing.T) {
	p := ring{radius: 0.04, width: 8e-3, soft: 2e5}.problem()
	for i := range p.Segments {
		p.Segments[i].X = 0
	}
	if _, err := p.Split(); err == nil {
		t.Error("a rim without width is split")
	}
}
