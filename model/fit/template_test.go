package fit

import (
	"math/rand/v2"
	"testing"

	"tautline/model/face"
	"tautline/model/seal"
	"tautline/model/unit"
)

// TestTemplate: a face put into a template gives the problem that a new case
// gives, whatever the mask, to the last bit but for how the pull is multiplied.
func TestTemplate(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		c := randomCase(r)
		tmpl, err := NewTemplate(c)
		if err != nil {
			t.Fatal(err)
		}
		p := tmpl.Problem()
		c.Face.Length += unit.Length(5*r.NormFloat64()) * unit.Mm
		c.Face.Width += unit.Length(5*r.NormFloat64()) * unit.Mm
		for s := range face.SiteCount {
			c.Face.Deviation[s] = unit.Length(2*r.NormFloat64()) * unit.Mm
		}
		c.Face.Features = nil
		tmpl.Put(&c.Face, p)
		tmpl.Pull(p, c.Straps.Pull)
		want, err := c.Problem()
		if err != nil {
			t.Fatal(err)
		}
		same(t, p, want)
	}
}

func same(t *testing.T, got, want *seal.Problem) {
	t.Helper()
	for i := range want.Segments {
		if got.Segments[i] != want.Segments[i] {
			t.Fatalf("segment %d: %+v, want %+v", i, got.Segments[i], want.Segments[i])
		}
	}
	for i := range want.Straps {
		if off := got.Straps[i].Pull - want.Straps[i].Pull; off > 1e-12 || off < -1e-12 {
			t.Fatalf("strap %d pulls %g N, want %g", i, got.Straps[i].Pull, want.Straps[i].Pull)
		}
	}
}
