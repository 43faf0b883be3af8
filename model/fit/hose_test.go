package fit

import (
	"math"
	"testing"

	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/unit"
)

func hung(t *testing.T, h Hose) Point {
	t.Helper()
	m, err := mask.Find(mask.Nasal, "medium")
	if err != nil {
		t.Fatal(err)
	}
	at, _ := FindPosition("on the back")
	c := NewCase(m, face.Average(), 4, at)
	c.Hose = h
	f, err := PutOn(c)
	if err != nil {
		t.Fatal(err)
	}
	p, err := f.At(10 * unit.CmH2O)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func contactAt(p Point, s face.Site) float64 {
	for _, at := range p.Sites {
		if at.Site == s {
			return float64(at.Contact)
		}
	}
	return math.NaN()
}

// A hose that pulls towards the feet lifts the bridge and presses the lip; to
// one side it presses that side; supported it changes nothing; and the push on
// the face as a whole stays what straps and pressure make it.
func TestHosePull(t *testing.T) {
	down, left, up := unit.Angle(-math.Pi/2), unit.Angle(0), unit.Angle(math.Pi/2)
	free := hung(t, supportedHose())
	for name, c := range map[string]struct {
		toward      unit.Angle
		more, fewer face.Site
	}{
		"down": {down, face.Lip, face.Bridge},
		"up":   {up, face.Bridge, face.Lip},
		"left": {left, face.CheekLeft, face.CheekRight},
	} {
		p := hung(t, Hose{Pull: 0.5, Toward: c.toward, Height: 40 * unit.Mm})
		if !(contactAt(p, c.more) > 1.02*contactAt(free, c.more) && contactAt(p, c.fewer) < 0.98*contactAt(free, c.fewer)) {
			t.Errorf("%s: %s %.0f to %.0f Pa, %s %.0f to %.0f Pa", name, c.more, contactAt(free, c.more), contactAt(p, c.more),
				c.fewer, contactAt(free, c.fewer), contactAt(p, c.fewer))
		}
	}
	flat := hung(t, Hose{Pull: 1, Toward: down})
	if math.Abs(contactAt(flat, face.Bridge)-contactAt(free, face.Bridge)) > 1e-6 {
		t.Error("a hose at the rim's own height tilts the mask")
	}
}

// Balanced is At without the limits.
func TestBalancedIsAt(t *testing.T) {
	m, _ := mask.Find(mask.Oronasal, "medium")
	f, err := PutOn(NewCase(m, face.Average(), 3, Positions()[1]))
	if err != nil {
		t.Fatal(err)
	}
	a, err := f.At(14 * unit.CmH2O)
	if err != nil {
		t.Fatal(err)
	}
	b, err := f.Balanced(14*unit.CmH2O, nil)
	if err != nil || a.Leak != b.Leak || a.Mask != b.Mask {
		t.Errorf("%v, %v and %v, %v: %v", a.Leak, a.Mask, b.Leak, b.Mask, err)
	}
	c, err := f.Balanced(14*unit.CmH2O, func(unit.Pressure) unit.Flow { return 30 * unit.LPerMin })
	if err != nil || !(c.Mask < b.Mask) {
		t.Errorf("30 L/min through the mouth leaves the mask pressure at %v of %v: %v", c.Mask, b.Mask, err)
	}
}
