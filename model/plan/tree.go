package plan

import "gonum.org/v1/gonum/floats"

// treeDeep is how many visits the decision tree shows, and unlikely the chance
// of a path below which it is not drawn out.
const (
	treeDeep = 3
	unlikely = 0.01
)

// tree draws out the plan: what to try now, and after each outcome.
func (w *work) tree(b belief, course []tried, chance float64, deep int) *Step {
	p := w.policy(b)
	c, ok := p.choose(b, course)
	if !ok {
		return &Step{Move: Stop}
	}
	s := &Step{Move: FirstMask, Setting: w.setting(c)}
	if len(course) > 0 {
		s.Move = w.table.move(course[len(course)-1].candidate, c)
	}
	s.OverLine = w.line.chance(b, c)
	s.PastLine = s.OverLine > PassChance
	odds := w.odds(b, course, c)
	s.Solves = odds[Comfortable]
	if deep == 0 {
		return s
	}
	for _, o := range Outcomes() {
		branch := Branch{Outcome: o, Chance: odds[o]}
		then := append(course[:len(course):len(course)], tried{c, o})
		switch {
		case o == Comfortable:
			branch.Next = &Step{Move: Keep, Solves: 1}
		case len(then) >= Cap:
			branch.Next = &Step{Move: Stop}
		case deep > 1 && chance*odds[o] >= unlikely:
			branch.Next = w.tree(b.after(w.table.of[o][c]), then, chance*odds[o], deep-1)
		}
		s.After = append(s.After, branch)
	}
	return s
}

// odds gives the chances of all outcomes of a candidate.
func (w *work) odds(b belief, course []tried, c int) (out chances) {
	worn := w.table.worn(course, c)
	for o := range out {
		out[o] = worn * floats.Dot(b, w.table.of[o][c])
	}
	out[NotWorn] += 1 - worn
	return out
}
