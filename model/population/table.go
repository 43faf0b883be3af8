package population

import (
	"math"

	"tautline/model/mask"
	"tautline/model/unit"
)

// Size is a place in mask.Sizes: small, medium, large.
type Size int

// sizeCount is how many sizes every type has.
const sizeCount = 3

// Millimetres is a dimension as a gauge shows it, in whole millimetres.
type Millimetres int

// Gauge reads a dimension to the nearest millimetre.
func Gauge(l unit.Length) Millimetres { return Millimetres(math.Round(l.Mm())) }

// Never is a cut that no face reaches.
const Never Millimetres = 1000

// Cuts are the readings from which on the medium and the large size are taken.
type Cuts struct{ Medium, Large Millimetres }

// At gives the size for a reading.
func (c Cuts) At(x Millimetres) Size {
	switch {
	case x >= c.Large:
		return 2
	case x >= c.Medium:
		return 1
	}
	return 0
}

// A Table chooses a size by two readings: the larger of what each asks for, so
// that no face hangs over the rim.
type Table struct{ First, Second Cuts }

// Choose gives the size of a face.
func (t Table) Choose(g Reading) Size { return max(t.First.At(g.First), t.Second.At(g.Second)) }

// A Reading is what a table looks at: face length and face width for a mask
// over nose and mouth, nose breadth (and nothing else) for the others.
type Reading struct{ First, Second Millimetres }

// Dimensions gives what the size of a type is chosen by; the second is absent
// for masks on the nose alone.
func Dimensions(kind mask.Type) []Dimension {
	if kind == mask.Oronasal {
		return []Dimension{FaceLength, FaceWidth}
	}
	return []Dimension{NoseBreadth}
}

// Read takes the readings of a person for a type.
func Read(p *Person, kind mask.Type) Reading {
	by := Dimensions(kind)
	r := Reading{First: Gauge(p.Size[by[0]])}
	if len(by) > 1 {
		r.Second = Gauge(p.Size[by[1]])
	}
	return r
}

// CatalogueTable gives a type's own table: a size is taken from the middle
// between the face that it is drawn for and the one of the next smaller size.
func CatalogueTable(kind mask.Type) (Table, error) {
	var fits [sizeCount]mask.Mask
	for i, size := range mask.Sizes() {
		var err error
		if fits[i], err = mask.Find(kind, size); err != nil {
			return Table{}, err
		}
	}
	cuts := func(of func(*mask.Mask) unit.Length) Cuts {
		middle := func(i int) Millimetres {
			return Millimetres(math.Ceil((of(&fits[i])+of(&fits[i+1])).Mm()/2 - 1e-9))
		}
		return Cuts{middle(0), middle(1)}
	}
	if len(Dimensions(kind)) == 1 {
		return Table{First: cuts(func(m *mask.Mask) unit.Length { return m.FitsNose }), Second: Cuts{Never, Never}}, nil
	}
	return Table{First: cuts(func(m *mask.Mask) unit.Length { return m.FitsLength }),
		Second: cuts(func(m *mask.Mask) unit.Length { return m.FitsWidth })}, nil
}

// MediumForAll is the table of a clinic that keeps one size.
var MediumForAll = Table{First: Cuts{0, Never}, Second: Cuts{Never, Never}}
