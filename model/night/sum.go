package night

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat"

	"tautline/model/face"
	"tautline/model/unit"
)

// sum turns the nights into an answer.
func sum(q *Question, nights []summary) Answer {
	a := Answer{Question: *q, PerNight: map[Statistic]Band{}}
	var slices []slice
	var shares []float64
	for _, n := range nights {
		slices = append(slices, n.slices...)
		shares = append(shares, n.above)
		v := n.values[q.Statistic]
		a.Values = append(a.Values, v)
		if v > q.Limit {
			a.Over++
		}
		a.Turns += float64(n.turns) / float64(len(nights))
	}
	x, w := weighted(slices, func(slice) bool { return true })
	for _, p := range Percents() {
		a.Leak = append(a.Leak, quantile(p/100, x, w))
	}
	for _, s := range Statistics() {
		var values []float64
		for _, n := range nights {
			values = append(values, n.values[s].LPerMin())
		}
		a.PerNight[s] = band(values)
	}
	a.Above, a.AboveMean = band(shares), unit.Fraction(stat.Mean(shares, nil))
	a.parts(q, slices)
	a.hours(q, nights)
	a.skin(q, nights)
	a.rest(nights)
	return a
}

// band gives the tenth, the half and the nine tenths of a list.
func band(values []float64) Band {
	v := append([]float64(nil), values...)
	sort.Float64s(v)
	at := func(p float64) float64 { return stat.Quantile(p, stat.Empirical, v, nil) }
	return Band{at(0.1), at(0.5), at(0.9)}
}

// parts parts the time by position and by stage.
func (a *Answer) parts(q *Question, slices []slice) {
	for _, s := range q.Habits.Shares {
		if s.Share > 0 {
			name := s.Position.Name
			a.Positions = append(a.Positions, part(name, slices, q.Limit, func(s slice) bool { return s.position == name }))
		}
	}
	for stage := range stageCount {
		a.Stages = append(a.Stages, part(stage.String(), slices, q.Limit, func(s slice) bool { return s.stage == stage }))
	}
}

func part(name string, slices []slice, limit unit.Flow, in func(slice) bool) Part {
	var those []slice
	time, all := 0.0, 0.0
	for _, s := range slices {
		all += s.length
		if in(s) {
			time += s.length
			those = append(those, s)
		}
	}
	x, w := weighted(those, in)
	return Part{Name: name, Share: unit.Fraction(time / all), Leak: quantile(0.5, x, w), P95: quantile(0.95, x, w),
		Above: unit.Fraction(above(those, float64(limit)))}
}

// step is how finely the leak is followed along the night.
const step = 10 * unit.Minute

// hours spreads the leak over the nights, step by step.
func (a *Answer) hours(q *Question, nights []summary) {
	for at := step / 2; at < q.Hours; at += step {
		var values []float64
		for _, n := range nights {
			i := sort.Search(len(n.slices), func(i int) bool { return n.slices[i].from > float64(at) }) - 1
			v := unit.Flow(n.slices[i].leak).LPerMin()
			if n.slices[i].tipped {
				v = math.Inf(1)
			}
			values = append(values, v)
		}
		a.Hours = append(a.Hours, Hour{at, band(values)})
	}
}

// skin sums up what each site met.
func (a *Answer) skin(q *Question, nights []summary) {
	for site := range face.SiteCount {
		var all siteSum
		for i := range nights {
			s := &nights[i].sites[site]
			all.touched = all.touched || s.touched
			all.contact, all.over, all.around = all.contact+s.contact, all.over+s.over, all.around+s.around
			all.largest = max(all.largest, s.largest)
		}
		if !all.touched {
			continue
		}
		mean := unit.Pressure(all.contact / all.around)
		a.Sites = append(a.Sites, SiteLoad{Site: site, Mean: mean, Largest: unit.Pressure(all.largest),
			Load: q.Line.Load(mean, q.Hours), Over: unit.Fraction(all.over / all.around)})
	}
	top := math.Inf(-1)
	for _, s := range a.Sites {
		if s.Load > top+1e-9 { // of two alike the first is named
			top, a.Top = s.Load, s.Site
		}
	}
}

// rest adds the turns that opened the seal, the swing of the mask pressure, the
// mouth and the time tipped.
func (a *Answer) rest(nights []summary) {
	counts := map[opened]int{}
	known, whole, mouth := 0.0, 0.0, 0.0
	low, high := unit.Pressure(math.Inf(1)), unit.Pressure(math.Inf(-1))
	for _, n := range nights {
		for _, o := range n.opened {
			counts[o]++
		}
		a.Opened += float64(len(n.opened)) / float64(len(nights))
		known, mouth = known+n.known, mouth+n.mouth
		whole += float64(a.Question.Hours)
		low, high = min(low, n.low), max(high, n.high)
	}
	for o, n := range counts {
		a.Openings = append(a.Openings, Opened{o.site, o.to, float64(n) / float64(len(nights))})
	}
	sort.Slice(a.Openings, func(i, j int) bool {
		x, y := a.Openings[i], a.Openings[j]
		switch {
		case x.Each != y.Each:
			return x.Each > y.Each
		case x.Site != y.Site:
			return x.Site < y.Site
		}
		return x.To < y.To
	})
	// What is left of a night that holds to the last second is rounding.
	if a.Tipped = unit.Fraction(1 - known/whole); a.Tipped < 1e-9 {
		a.Tipped = 0
	}
	if known > 0 {
		a.Swing, a.Mouth = [2]unit.Pressure{low, high}, unit.Flow(mouth/known)
	}
}
