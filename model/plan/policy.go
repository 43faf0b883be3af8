package plan

import (
	"gonum.org/v1/gonum/floats"
)

// A planned is the plan as a policy: it holds a belief, and chooses what is most
// likely to be comfortable, looking one outcome further where that is asked for.
type planned struct {
	table *table
	prior belief
	known int    // visits of a course that the prior already knows
	offer []bool // of the bank's masks, which may be tried; nil for all
	line  *bound // nil when no line was stated
	// deep is how many of the likeliest candidates are looked at one outcome
	// further; 0 for none.
	deep int
}

// equal is how much less likely a step that is easier to take may be and still
// be taken first: within it the bedside order decides.
const equal = 0.02

func (p *planned) next(course []tried) (int, bool) {
	b := p.prior
	for _, t := range course[p.known:] {
		b = b.after(p.table.of[t.outcome][t.candidate])
	}
	return p.choose(b, course)
}

// choose ranks what may be tried by the chance of being comfortable now, plus,
// when looking further, at the next visit; within equal the bedside order decides.
func (p *planned) choose(b belief, course []tried) (int, bool) {
	open := p.open(course)
	if len(open) == 0 {
		return 0, false
	}
	score := make(map[int]float64, len(open))
	for _, c := range open {
		score[c] = floats.Dot(b, p.table.of[Comfortable][c])
	}
	if open = p.line.under(b, p.table, open, course, score); len(open) == 0 {
		return 0, false
	}
	if p.deep > 0 {
		open = likeliest(open, score, p.deep)
		for _, c := range open {
			score[c] += p.further(b, c, course)
		}
	}
	best := score[open[0]]
	for _, c := range open {
		best = max(best, score[c])
	}
	pick := -1
	for _, c := range open {
		if score[c] >= best-equal && (pick < 0 || p.easier(c, pick, course, score)) {
			pick = c
		}
	}
	return pick, true
}

// likeliest keeps the candidates with the highest scores, in their own order.
func likeliest(open []int, score map[int]float64, n int) []int {
	for len(open) > n {
		least := 0
		for i, c := range open {
			if score[c] < score[open[least]] {
				least = i
			}
		}
		open = append(open[:least:least], open[least+1:]...)
	}
	return open
}

// further is the chance that the visit after a candidate is comfortable, when
// this one is not.
func (p *planned) further(b belief, c int, course []tried) float64 {
	sum := 0.0
	like := make(belief, len(b))
	for o := LeaksAtBridge; o < OutcomeCount; o++ {
		floats.MulTo(like, b, p.table.of[o][c])
		most := 0.0
		for _, d := range p.open(append(course[:len(course):len(course)], tried{c, o})) {
			most = max(most, floats.Dot(like, p.table.of[Comfortable][d]))
		}
		sum += most
	}
	return sum
}

// mostTimes is how often one setting is worn before it is left for good: the
// belief may be wrong about a person, and a third night of the same tells little.
const mostTimes = 2

// open lists the candidates that may be tried: a type that was not worn is not
// offered again, nor is a strap force that was sore, or one above it, nor one
// that was worn mostTimes.
func (p *planned) open(course []tried) []int {
	var out []int
	for c := range p.table.count() {
		if !p.closed(c, course) {
			out = append(out, c)
		}
	}
	return out
}

func (p *planned) closed(c int, course []tried) bool {
	m, level := p.table.setting(c)
	if p.offer != nil && !p.offer[m] {
		return true
	}
	times := 0
	for _, t := range course {
		k, l := p.table.setting(t.candidate)
		if t.candidate == c {
			times++
		}
		switch {
		case times >= mostTimes:
			return true
		case t.outcome == NotWorn && p.table.bank.masks[k].Type == p.table.bank.masks[m].Type:
			return true
		case t.outcome == Sore && k == m && level >= l:
			return true
		}
	}
	return false
}

// easier tells whether a comes before b in the bedside order: fewer mask changes
// first, then looser straps, then the likelier one.
func (p *planned) easier(a, b int, course []tried, score map[int]float64) bool {
	if len(course) > 0 {
		last := course[len(course)-1].candidate
		x, y := p.table.move(last, a), p.table.move(last, b)
		if x != y {
			return x < y
		}
	}
	if p.table.mask(a) == p.table.mask(b) {
		return a < b
	}
	return score[a] > score[b]
}

// move names the step from one candidate to another.
func (t *table) move(from, to int) Move {
	switch a, b := t.mask(from), t.mask(to); {
	case from == to:
		return Reseat
	case a == b && to < from:
		return Loosen
	case a == b:
		return Tighten
	case a.Type == b.Type:
		return ChangeSize
	}
	return ChangeType
}
