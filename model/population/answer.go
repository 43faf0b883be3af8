package population

import (
	"context"
	"math"

	"tautline/model/mask"
)

// A Share counts what becomes of some faces.
type Share struct {
	Faces   int
	Fits    int // with a fit window
	ByLine  int // sealed only past the reference line
	ByShape int // not sealed by any strap force looked at
}

// Part gives the share with a window, 0 to 1; NaN for no faces.
func (s Share) Part() float64 { return float64(s.Fits) / float64(s.Faces) }

// Margin gives how far the share may be off, 0 to 1, because only so many faces
// were drawn:
//
//	1.96 sqrt(p (1 - p) / n), with p held half a face away from none and all
//
// the normal approximation of 95 % of draws; source: any text on counting.
// Example: 1000 of 2000 give 0.022.
func (s Share) Margin() float64 {
	n := float64(s.Faces)
	p := min(max(s.Part(), 0.5/n), 1-0.5/n)
	return 1.96 * math.Sqrt(p*(1-p)/n)
}

func (s *Share) add(o Outcome, faces int) {
	s.Faces += faces
	switch o {
	case Fits:
		s.Fits += faces
	case ByLine:
		s.ByLine += faces
	case ByShape:
		s.ByShape += faces
	}
}

// A SizeAnswer is one size of a type.
type SizeAnswer struct {
	Size string
	// Chosen counts the faces that the type's own table gives this size, and
	// Everybody all faces, were there no other size.
	Chosen, Everybody Share
}

// A TableKind says where a size table comes from.
type TableKind int

// The tables that are compared.
const (
	Own        TableKind = iota // the catalogue's
	LengthOnly                  // its cuts of face length, the width left aside
	OneSize                     // medium for all
	Found                       // the best found by trying all
)

// A TableAnswer is what a table would do on the half of the faces that no
// table was searched on.
type TableAnswer struct {
	Kind  TableKind
	Table Table
	Share Share
}

// A TypeAnswer is one type of mask.
type TypeAnswer struct {
	Type   mask.Type
	By     []Dimension // what its size is chosen by
	Chosen Share       // in the size that the own table chooses
	BySex  [SexCount]Share
	// Whichever counts a face as fitting when any size does: no table can do
	// better.
	Whichever Share
	Sizes     []SizeAnswer
	Tables    []TableAnswer
	Bins      []Bin
}

// A Bin is one bin of the map over face length and width.
type Bin struct {
	Length, Width Millimetres // lower edges
	Share         Share       // in the chosen size
	Whichever     int         // faces that some size fits
}

// An Answer is all that a population answers.
type Answer struct {
	Question Question
	Sexes    [SexCount]int // faces drawn of each
	Types    []TypeAnswer
	// Some counts faces that at least one type fits in the size chosen for it;
	// None by sex those that none does.
	Some Share
	None [SexCount]int
}

// Ask draws the faces and answers.
func Ask(ctx context.Context, q Question) (Answer, error) {
	t, err := CountFaces(ctx, q, 0, q.Faces, nil)
	if err != nil {
		return Answer{}, err
	}
	return Conclude(q, t)
}

// Conclude answers from a tally, which may have come together from parts.
func Conclude(q Question, t Tally) (Answer, error) {
	a := Answer{Question: q}
	kinds, err := q.types()
	if err != nil {
		return a, err
	}
	for _, c := range t.Served() {
		a.Sexes[c.Key.Sex] += c.Faces
		a.Some.Faces += c.Faces
		if c.Key.Types == 0 {
			a.None[c.Key.Sex] += c.Faces
		} else {
			a.Some.Fits += c.Faces
		}
	}
	for _, kind := range kinds {
		one, err := concludeType(kind, t)
		if err != nil {
			return a, err
		}
		a.Types = append(a.Types, one)
	}
	return a, nil
}

func concludeType(kind mask.Type, t Tally) (TypeAnswer, error) {
	a := TypeAnswer{Type: kind, By: Dimensions(kind)}
	own, err := CatalogueTable(kind)
	if err != nil {
		return a, err
	}
	for _, size := range mask.Sizes() {
		a.Sizes = append(a.Sizes, SizeAnswer{Size: size})
	}
	var halves [2][]Count[Shape]
	for _, c := range t.Shapes() {
		if c.Key.Type == kind {
			halves[c.Key.Half] = append(halves[c.Key.Half], c)
			a.count(own, c)
		}
	}
	a.compare(own, halves)
	a.place(t)
	return a, nil
}

func (a *TypeAnswer) count(own Table, c Count[Shape]) {
	size := own.Choose(c.Key.Reading)
	o := c.Key.Outcomes[size]
	a.Chosen.add(o, c.Faces)
	a.BySex[c.Key.Sex].add(o, c.Faces)
	a.Whichever.add(easiest(c.Key.Outcomes), c.Faces)
	a.Sizes[size].Chosen.add(o, c.Faces)
	for i := range a.Sizes {
		a.Sizes[i].Everybody.add(c.Key.Outcomes[i], c.Faces)
	}
}

// easiest is the best outcome of all sizes: outcomes are numbered best first.
func easiest(all [sizeCount]Outcome) Outcome { return min(all[0], all[1], all[2]) }

// compare counts the tables on the second half of the faces, one of them found
// on the first half.
func (a *TypeAnswer) compare(own Table, halves [2][]Count[Shape]) {
	tables := []TableAnswer{{Kind: Own, Table: own}, {Kind: OneSize, Table: MediumForAll}}
	if len(a.By) > 1 {
		lengths := Table{First: own.First, Second: Cuts{Never, Never}}
		tables = append(tables, TableAnswer{Kind: LengthOnly, Table: lengths})
	}
	tables = append(tables, TableAnswer{Kind: Found, Table: Best(halves[0], own)})
	for i := range tables {
		tables[i].Share = tables[i].Table.serves(halves[1])
	}
	a.Tables = tables
}

// serves counts what a table does on faces.
func (t Table) serves(counts []Count[Shape]) (s Share) {
	for _, c := range counts {
		s.add(c.Key.Outcomes[t.Choose(c.Key.Reading)], c.Faces)
	}
	return s
}

// place gathers the map.
func (a *TypeAnswer) place(t Tally) {
	for _, c := range t.Places() {
		if c.Key.Type != a.Type {
			continue
		}
		n := len(a.Bins)
		if n == 0 || a.Bins[n-1].Length != c.Key.Length || a.Bins[n-1].Width != c.Key.Width {
			a.Bins = append(a.Bins, Bin{Length: c.Key.Length, Width: c.Key.Width})
			n++
		}
		b := &a.Bins[n-1]
		b.Share.add(c.Key.Chosen, c.Faces)
		if c.Key.Any {
			b.Whichever += c.Faces
		}
	}
}
