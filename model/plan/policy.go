package plan

// A planned is the plan as a policy: it holds a belief, and chooses what is most
// likely to be comfortable, looking one outcome further where that is asked for.
type planned struct {
	table *table
	prior belief
	known int    // visits of a course that the prior already knows
	offer []bool // of the bank's masks, which may be tried; nil for all
	line  *bound // nil when no line was stated
}

// How much less likely a step that is easier to take may be and still be taken
// first, as a difference and as a share of the best: within both the bedside order
// decides. Without the share it decided alone once all chances were low, and the
// same setting came again and again.
const (
	equal      = 0.02
	equalShare = 0.1
)

func (p *planned) next(course []tried) (int, bool) {
	b := p.prior
	for _, t := range course[p.known:] {
		b = b.after(p.table.of[t.outcome][t.candidate])
	}
	return p.choose(b, course)
}

// choose ranks what may be tried by the chance of being comfortable now; what is
// nearly as likely is left to the bedside order. Looking one outcome further, for
// what a visit tells, was tried and left no fewer unsolved.
//
// A setting worn mostTimes is left while another is worth a night. When none is,
// the belief alone says which may come once more: giving up solves nothing.
func (p *planned) choose(b belief, course []tried) (int, bool) {
	open, score := p.ranked(b, course, mostTimes)
	if best(open, score) < worthTrying {
		open, score = p.ranked(b, course, Cap)
	}
	most := best(open, score)
	least := most - min(equal, most*equalShare)
	pick := -1
	for _, c := range open {
		if score[c] >= least && (pick < 0 || p.easier(c, pick, course, score)) {
			pick = c
		}
	}
	return pick, pick >= 0
}

// ranked gives what may be tried, each worn fewer than so many times, with its
// chance of being comfortable.
func (p *planned) ranked(b belief, course []tried, times int) ([]int, map[int]float64) {
	open := p.open(course, times)
	who := b.heavy()
	score := make(map[int]float64, len(open))
	for _, c := range open {
		score[c] = p.table.worn(course, c) * b.over(who, p.table.of[Comfortable][c])
	}
	return p.line.under(b, p.table, open, course, score), score
}

// best is the highest score; 0 of none.
func best(open []int, score map[int]float64) (most float64) {
	for _, c := range open {
		most = max(most, score[c])
	}
	return most
}

// mostTimes is how often one setting is worn before it is left for others:
// the belief may be wrong about a person, and a third night of the same tells
// little.
const mostTimes = 2

// open lists the candidates that may be tried. A type that was not worn is not
// offered again, nor is a setting that was worn most times, nor a strap force above
// one that was sore. The sore one itself may have been one bad night: it may come
// again, but not at the next visit, as skin takes time to heal.
func (p *planned) open(course []tried, most int) []int {
	var out []int
	for c := range p.table.count() {
		if !p.closed(c, course, most) {
			out = append(out, c)
		}
	}
	return out
}

func (p *planned) closed(c int, course []tried, most int) bool {
	m, level := p.table.setting(c)
	if p.offer != nil && !p.offer[m] {
		return true
	}
	times := 0
	for i, t := range course {
		k, l := p.table.setting(t.candidate)
		if t.candidate == c {
			times++
		}
		last := i == len(course)-1
		switch {
		case times >= most:
			return true
		case t.outcome == NotWorn && p.table.bank.masks[k].Type == p.table.bank.masks[m].Type:
			return true
		case t.outcome == Sore && k == m && (level > l || level == l && last):
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
