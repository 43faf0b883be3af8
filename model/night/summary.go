package night

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat"

	"tautline/model/face"
	"tautline/model/unit"
)

// A summary is what is kept of one night.
type summary struct {
	slices []slice
	sites  [face.SiteCount]siteSum
	turns  int
	opened []opened
	low    unit.Pressure // lowest mask pressure while breathing in
	high   unit.Pressure // highest while breathing out
	mouth  float64       // leak times time
	known  float64       // time with numbers, s
	values map[Statistic]unit.Flow
	above  float64 // share of time
}

// A slice is one spell's leak with what it is sorted by.
type slice struct {
	from, length float64 // s
	leak         float64 // SI; not known where the mask is tipped
	position     string
	stage        Stage
	tipped       bool
}

type opened struct {
	site face.Site
	to   string
}

type siteSum struct {
	touched         bool
	contact, over   float64 // times time
	largest, around float64 // around: time
}

// summarize reduces a night to what the answer needs.
func (b *bed) summarize(spells []Spell) summary {
	q := b.q
	s := summary{low: unit.Pressure(math.Inf(1)), high: unit.Pressure(math.Inf(-1))}
	for i := range spells {
		at := &spells[i]
		s.slices = append(s.slices, slice{float64(at.From), float64(at.Length), float64(at.Total()), at.Position, at.Stage, at.Tipped})
		if at.Turned {
			s.turns++
			if site, ok := opens(spells[i-1], *at); ok {
				s.opened = append(s.opened, opened{site, at.Position})
			}
		}
		if at.Tipped {
			continue
		}
		s.known += float64(at.Length)
		s.mouth += float64(at.Mouth) * float64(at.Length)
		s.low, s.high = min(s.low, at.Low), max(s.high, at.High)
		level := float64(q.Line.Level(at.From + at.Length/2))
		for _, site := range at.Sites {
			s.sites[site.Site].add(float64(site.Contact), float64(at.Length), level)
		}
	}
	s.values = statistics(s.slices)
	s.above = above(s.slices, float64(q.Limit))
	return s
}

func (s *siteSum) add(contact, length, level float64) {
	s.touched = true
	s.contact += contact * length
	s.around += length
	s.largest = max(s.largest, contact)
	if contact > level {
		s.over += length
	}
}

// opens tells whether a turn opened the seal, and where: at the site whose leak
// rose most.
func opens(before, after Spell) (site face.Site, yes bool) {
	if before.Tipped || after.Tipped || after.Leak-before.Leak < unit.Flow(Opening.SI()) {
		return 0, false
	}
	most := unit.Flow(math.Inf(-1))
	for i, s := range after.Sites {
		if rise := s.Leak - before.Sites[i].Leak; rise > most {
			most, site = rise, s.Site
		}
	}
	return site, true
}

// statistics gives each statistic of one night, over the time with numbers; a
// night that the mask spent tipped altogether leaks without end.
func statistics(slices []slice) map[Statistic]unit.Flow {
	x, w := weighted(slices, func(slice) bool { return true })
	if len(x) == 0 {
		out := map[Statistic]unit.Flow{}
		for _, s := range Statistics() {
			out[s] = unit.Flow(math.Inf(1))
		}
		return out
	}
	return map[Statistic]unit.Flow{Mean: unit.Flow(stat.Mean(x, w)), Median: quantile(0.5, x, w),
		P95: quantile(0.95, x, w), Largest: unit.Flow(x[len(x)-1])}
}

// weighted gives leaks in rising order with the time that each lasted.
func weighted(slices []slice, keep func(slice) bool) (x, w []float64) {
	var kept []slice
	for _, s := range slices {
		if !s.tipped && keep(s) {
			kept = append(kept, s)
		}
	}
	sort.SliceStable(kept, func(i, j int) bool { return kept[i].leak < kept[j].leak })
	for _, s := range kept {
		x, w = append(x, s.leak), append(w, s.length)
	}
	return x, w
}

// quantile is the leak below which that share of the time lies.
func quantile(p float64, x, w []float64) unit.Flow {
	if len(x) == 0 {
		return 0
	}
	return unit.Flow(stat.Quantile(p, stat.Empirical, x, w))
}

// above is the share of time above a limit; tipped counts as above.
func above(slices []slice, limit float64) float64 {
	over, all := 0.0, 0.0
	for _, s := range slices {
		all += s.length
		if s.tipped || s.leak > limit {
			over += s.length
		}
	}
	if all == 0 {
		return 0
	}
	return over / all
}
