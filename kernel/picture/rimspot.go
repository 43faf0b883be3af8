package picture

import (
	"math"
	"sort"

	"gonum.org/v1/plot/vg"

	"tautline/model/face"
)

// A stretch is a site's share of a loop, counted in segments along it.
type stretch struct {
	loop        int
	first, last int // last may run past the loop's end, where the seam is inside
	whole       bool
}

// stretchOf finds where a site lies.
func (r *rim) stretchOf(site face.Site) (stretch, bool) {
	for i, l := range r.loops {
		n := len(l)
		count, start := 0, -1
		for k := range l {
			if l[k].Site != site {
				continue
			}
			count++
			if l[(k+n-1)%n].Site != site {
				start = k
			}
		}
		switch {
		case count == n:
			return stretch{i, 0, n - 1, true}, true
		case count > 0:
			last := start
			for l[(last+1)%n].Site == site {
				last++
			}
			return stretch{i, start, last, false}, true
		}
	}
	return stretch{}, false
}

// pointerTo picks the spot that a site's label points at: the middle of the
// site, or a place beside it where an arrow starts there.
func (r *rim) pointerTo(site face.Site, column side) (spot, bool) {
	at, ok := r.stretchOf(site)
	if !ok {
		return spot{}, false
	}
	spots := r.candidates(at, column)
	if column == midline {
		return spots[0], true // its label is inside, the arrow outside
	}
	for _, s := range spots {
		if r.clear(s) {
			return s, true
		}
	}
	return spots[0], true
}

func (r *rim) candidates(at stretch, column side) []spot {
	var spots []spot
	if !at.whole {
		for _, share := range []float64{0.5, 0.3, 0.7, 0.15, 0.85} {
			if column == wearersRight { // the list goes down one side and up the other
				share = 1 - share
			}
			spots = append(spots, r.spot(at.loop, float64(at.first)+share*float64(at.last-at.first)))
		}
		return spots
	}
	// A whole loop, as a pillow is, is pointed at where it faces its label.
	towardsLabel := vg.Length(1)
	if column == wearersLeft {
		towardsLabel = -1
	}
	for i := at.first; i <= at.last; i++ {
		spots = append(spots, r.spot(at.loop, float64(i)))
	}
	sort.SliceStable(spots, func(i, j int) bool {
		return spots[i].out.X*towardsLabel > spots[j].out.X*towardsLabel
	})
	return spots
}

// clear is true where a level line from the spot to its label meets no arrow.
func (r *rim) clear(s spot) bool {
	const air = 8
	for _, a := range r.arrows() {
		low, high := a[0].Y, a[0].Y
		for _, p := range a {
			low, high = min(low, p.Y), max(high, p.Y)
		}
		sameSide := (a[0].X-rimWidth/2)*(s.at.X-rimWidth/2) > 0
		if sameSide && s.at.Y > low-air && s.at.Y < high+air {
			return false
		}
	}
	return true
}

// firstSpots are the places with the smallest margin on the site that opens
// first: the middle of each stretch that shares it.
func (r *rim) firstSpots() []spot {
	at, ok := r.stretchOf(r.OpensFirst)
	if !ok {
		return nil
	}
	l := r.loops[at.loop]
	least := math.Inf(1)
	for i := at.first; i <= at.last; i++ {
		least = math.Min(least, float64(l[i%len(l)].Margin))
	}
	var spots []spot
	for i := at.first; i <= at.last; {
		end := i
		for end <= at.last && float64(l[end%len(l)].Margin) <= least+tied {
			end++
		}
		if end > i {
			spots = append(spots, r.spot(at.loop, float64(i+end-1)/2))
		}
		i = max(end, i+1)
	}
	return spots
}

// tied is how close two margins are, in Pa, that count as the same.
const tied = 0.01

// markFirst sets a ring on the very place that opens first.
func (r *rim) markFirst(on paper) {
	for _, s := range r.firstSpots() {
		on.fill(ink, disc(s.at, 8))
		on.fill(white, disc(s.at, 5.5))
		on.fill(ink, disc(s.at, 2.5))
	}
}
