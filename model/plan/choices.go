package plan

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"

	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/unit"
)

// played is how many courses each forecast plays out.
const played = 120

// choices ranks the masks, each at its best strap force.
func (w *work) choices(ctx context.Context) ([]Choice, error) {
	var out []Choice
	for m := range w.table.bank.masks {
		p := w.policy(w.now)
		p.offer = make([]bool, len(w.offer))
		p.offer[m] = w.offer[m]
		c, ok := p.choose(w.now, w.course)
		if !ok {
			continue
		}
		choice := w.choice(c)
		f := w.play(ctx, func(i int) policy { return &starting{w.policy(w.now.without(i)), c, len(w.course)} })
		choice.Visits, choice.Changes, choice.Solved = f.Visits.Value, f.Changes.Value, f.ByVisit
		out = append(out, choice)
	}
	w.rank(out)
	return out, ctx.Err()
}

// rank sorts by visits; what differs by less than a tenth of a visit is sorted by
// mask changes, then by the load on the skin. What passes a stated line comes
// after all that keeps under it. What the plan tries first leads.
func (w *work) rank(out []Choice) {
	slices.SortStableFunc(out, func(a, b Choice) int {
		return cmp.Or(boolCompare(a.PastLine, b.PastLine), cmp.Compare(math.Round(a.Visits*10), math.Round(b.Visits*10)),
			cmp.Compare(math.Round(a.Changes*10), math.Round(b.Changes*10)), cmp.Compare(a.Contact, b.Contact))
	})
	c, ok := w.policy(w.now).choose(w.now, w.course)
	if !ok {
		return
	}
	first := w.setting(c)
	if i := slices.IndexFunc(out, func(o Choice) bool { return o.Setting == first }); i > 0 {
		lead := out[i]
		copy(out[1:i+1], out[:i])
		out[0] = lead
	}
}

// starting begins with one candidate and goes on as planned.
type starting struct {
	*planned
	first, from int
}

func (s *starting) next(course []tried) (int, bool) {
	if len(course) == s.from {
		return s.first, true
	}
	return s.planned.next(course)
}

// setting is a candidate as an answer gives it.
func (w *work) setting(c int) Setting {
	m, level := w.table.setting(c)
	k := &w.table.bank.masks[m]
	pull := pullAt(k.Type, level)
	s := w.q.spreads()
	off := unit.Force(math.Exp(1.2816 * math.Hypot(s.Set, s.Habit)))
	return Setting{Type: k.Type, Size: k.Size, Pull: pull, Range: [2]unit.Force{pull / off, pull * off}}
}

// choice tells what is expected of a candidate.
func (w *work) choice(c int) Choice {
	out := Choice{Setting: w.setting(c), Chances: w.odds(w.now, w.course, c)}
	open, _ := w.q.gate()
	for _, it := range open {
		if it.Type == out.Type && it.Size == out.Size {
			out.Items = append(out.Items, it)
		}
	}
	slices.SortStableFunc(out.Items, func(a, b Item) int { return boolCompare(a.Magnets, b.Magnets) })
	m, level := w.table.setting(c)
	var leak, contact []float64
	var sites [face.SiteCount]float64
	out.OverLine = w.line.chance(w.now, c)
	out.PastLine = out.OverLine > PassChance
	for i, weight := range w.now {
		r := &w.table.bank.responses(i, m)[level]
		leak, contact = append(leak, r.leak), append(contact, r.largest())
		sites[r.site] += weight
	}
	out.Leak = unit.Flow(math.Exp(quantile(0.5, leak, w.now)))
	out.Contact = unit.Pressure(math.Exp(quantile(0.5, contact, w.now)))
	for s := range sites {
		if sites[s] > sites[out.Site] {
			out.Site = face.Site(s)
		}
	}
	return out
}

func boolCompare(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// quantile gives a weighted quantile.
func quantile(p float64, x []float64, weights belief) float64 {
	x, w := slices.Clone(x), slices.Clone([]float64(weights))
	stat.SortWeighted(x, w)
	return stat.Quantile(p, stat.Empirical, x, w)
}

// play plays out courses from here on: persons of the belief stand for the
// truth, each left out of the belief that plans for them.
func (w *work) play(ctx context.Context, of func(i int) policy) Forecast {
	runs := make([]run, played)
	who := w.now.picked(played, w.q.Seed)
	_ = onAllCores(ctx, played, func(k int) error {
		r := rand.New(rand.NewPCG(w.q.Seed^visitStream, uint64(k)))
		i := who[k]
		refuses := w.drawRefusals(r)
		runs[k] = follow(of(i), w.table, w.course, func(c int) Outcome {
			m, level := w.table.setting(c)
			if refuses[typeIndex(w.table.bank.masks[m].Type)] {
				return NotWorn
			}
			return w.table.bank.visit(i, m, float64(level), w.q.spreads(), r)
		})
		return nil
	})
	return forecast(runs)
}

// picked draws persons by their weights, systematically.
func (b belief) picked(n int, seed uint64) []int {
	start := rand.New(rand.NewPCG(seed, truthStream)).Float64()
	out := make([]int, 0, n)
	sum, i := 0.0, 0
	for k := range n {
		at := (float64(k) + start) / float64(n)
		for i < len(b)-1 && sum+b[i] < at {
			sum += b[i]
			i++
		}
		out = append(out, i)
	}
	return out
}

// planned forecasts the plan for this person.
func (w *work) planned(ctx context.Context) Forecast {
	return w.play(ctx, func(i int) policy { return w.policy(w.now.without(i)) })
}

// byHand forecasts trial and error, in the order of types that does best.
func (w *work) byHand(ctx context.Context) (best Forecast) {
	for i, order := range orders() {
		f := w.play(ctx, func(i int) policy {
			p := &byHand{table: w.table, order: order, offer: w.offer}
			p.nose, p.length = w.table.bank.people[i].nose, w.table.bank.people[i].length
			if w.q.Look.NoseWidth > 0 {
				p.nose = float64(w.q.Look.NoseWidth)
			}
			if w.q.Look.Length > 0 {
				p.length = float64(w.q.Look.Length)
			}
			return p
		})
		if i == 0 || f.Visits.Value < best.Visits.Value {
			best = f
		}
	}
	return best
}

// held sums the belief up.
func (w *work) held() Belief {
	out := Belief{Refuses: map[mask.Type]float64{}, Agreeing: w.now.agreeing()}
	var bridge, sore []float64
	limit := math.Log(w.table.bank.limit / 2)
	for i, weight := range w.now {
		p := &w.table.bank.people[i]
		if p.lets && w.table.bank.nasalMouth(i) > limit {
			out.Mouth += weight
		}
		bridge, sore = append(bridge, float64(p.face.Deviation[face.Bridge])), append(sore, p.soreAt[onBridge])
	}
	for _, t := range mask.Types() {
		out.Refuses[t] = w.table.refuses(w.course, t)
	}
	for k, p := range []float64{0.1, 0.5, 0.9} {
		out.Bridge[k] = unit.Length(quantile(p, bridge, w.now))
		out.SoreAt[k] = unit.Pressure(math.Exp(quantile(p, sore, w.now)))
	}
	return out
}
