package population

import (
	"cmp"
	"slices"

	"tautline/model/mask"
)

// A Shape is what a table can tell faces apart by, with what the three sizes do
// on them: faces of one shape are counted together.
type Shape struct {
	Type     mask.Type
	Half     int // 0 or 1: every second face; tables are searched on one, counted on the other
	Sex      Sex
	Reading  Reading
	Outcomes [sizeCount]Outcome
}

// A Place is one bin of the map over face length and width, by lower edges.
type Place struct {
	Type          mask.Type
	Length, Width Millimetres
	Chosen        Outcome // of the size that the catalogue's table chooses
	Any           bool    // some size fits
}

// A Served is the set of types that fit a face in the size chosen for it: bit i
// stands for the i-th type asked for.
type Served struct {
	Sex   Sex
	Types uint8
}

// A Count is how many faces share a key.
type Count[K any] struct {
	Key   K
	Faces int
}

// A Tally is what faces come to: counts only, so that tallies of parts add up
// to that of the whole, exactly and in any order.
type Tally struct {
	shapes map[Shape]int
	places map[Place]int
	served map[Served]int
}

func newTally() Tally {
	return Tally{map[Shape]int{}, map[Place]int{}, map[Served]int{}}
}

// Shapes, Places and Served give the counts in a fixed order.
func (t Tally) Shapes() []Count[Shape]  { return sorted(t.shapes, compareShapes) }
func (t Tally) Places() []Count[Place]  { return sorted(t.places, comparePlaces) }
func (t Tally) Served() []Count[Served] { return sorted(t.served, compareServed) }

// TallyOf is the way back from the counts of a file.
func TallyOf(shapes []Count[Shape], places []Count[Place], served []Count[Served]) Tally {
	t := newTally()
	restore(t.shapes, shapes)
	restore(t.places, places)
	restore(t.served, served)
	return t
}

func restore[K comparable](into map[K]int, counts []Count[K]) {
	for _, c := range counts {
		into[c.Key] += c.Faces
	}
}

// Faces is how many faces were counted.
func (t Tally) Faces() int {
	n := 0
	for _, faces := range t.served {
		n += faces
	}
	return n
}

// Merge gives the sum of tallies.
func Merge(parts ...Tally) Tally {
	sum := newTally()
	for _, t := range parts {
		add(sum.shapes, t.shapes)
		add(sum.places, t.places)
		add(sum.served, t.served)
	}
	return sum
}

func add[K comparable](to, from map[K]int) {
	for k, n := range from {
		to[k] += n
	}
}

func sorted[K comparable](counts map[K]int, compare func(a, b K) int) []Count[K] {
	out := make([]Count[K], 0, len(counts))
	for k, n := range counts {
		out = append(out, Count[K]{k, n})
	}
	slices.SortFunc(out, func(a, b Count[K]) int { return compare(a.Key, b.Key) })
	return out
}

func compareShapes(a, b Shape) int {
	return cmp.Or(cmp.Compare(a.Type, b.Type), cmp.Compare(a.Half, b.Half), cmp.Compare(a.Sex, b.Sex),
		cmp.Compare(a.Reading.First, b.Reading.First), cmp.Compare(a.Reading.Second, b.Reading.Second),
		slices.Compare(a.Outcomes[:], b.Outcomes[:]))
}

func comparePlaces(a, b Place) int {
	return cmp.Or(cmp.Compare(a.Type, b.Type), cmp.Compare(a.Length, b.Length), cmp.Compare(a.Width, b.Width),
		cmp.Compare(a.Chosen, b.Chosen), compareBool(a.Any, b.Any))
}

func compareServed(a, b Served) int {
	return cmp.Or(cmp.Compare(a.Sex, b.Sex), cmp.Compare(a.Types, b.Types))
}

func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}
