package plan

import (
	"context"
	"math/rand/v2"
	"slices"

	"tautline/model/mask"
)

// Plan says what to try first, and next after each outcome. Same question, same
// seed, same answer, whatever the number of cores.
func Plan(ctx context.Context, q Question) (Answer, error) {
	if err := q.Check(); err != nil {
		return Answer{}, err
	}
	a := Answer{Question: q, Warnings: q.warnings()}
	_, a.RuledOut = q.gate()
	w, err := q.think(ctx)
	if err != nil {
		return Answer{}, err
	}
	a.Belief = w.held()
	if a.Belief.Agreeing < fewAgree {
		a.Warnings = append(a.Warnings, LittleLeft)
	}
	if w.over() {
		return a, nil
	}
	if a.Choices, err = w.choices(ctx); err != nil {
		return Answer{}, err
	}
	if len(a.Choices) > 0 {
		a.Next = w.tree(w.now, w.course, 1, treeDeep)
		a.Planned, a.Trial = w.planned(ctx), w.byHand(ctx)
	}
	return a, ctx.Err()
}

// First says what to try first and what to expect of the plan, and nothing else:
// a small part of the work of Plan, for whoever asks many times. The only choice
// is told by its setting.
func First(ctx context.Context, q Question) (Answer, error) {
	if err := q.Check(); err != nil {
		return Answer{}, err
	}
	a := Answer{Question: q}
	w, err := q.think(ctx)
	if err != nil || w.over() {
		return a, err
	}
	if c, ok := w.policy(w.now).choose(w.now, w.course); ok {
		a.Choices = []Choice{{Setting: w.setting(c)}}
		a.Planned = w.planned(ctx)
	}
	return a, ctx.Err()
}

// fewAgree is the effective number of simulated persons below which the belief
// is a wide guess.
const fewAgree = 15

// warnings are those that need no calculation.
func (q *Question) warnings() (out []Warning) {
	if q.Look.NoseWidth == 0 && q.Look.Length == 0 {
		out = append(out, NoGauge)
	}
	if q.Position.Name == "" {
		out = append(out, PositionUnknown)
	}
	if slices.ContainsFunc(q.Tried, func(v Visit) bool { return v.Pull == 0 }) {
		out = append(out, PullUnknown)
	}
	if slices.Contains(q.Look.Ticks, Glasses) {
		out = append(out, UntoldGlasses)
	}
	if len(q.Tried) >= Cap {
		out = append(out, NoVisitsLeft)
	}
	return out
}

// A work is a question with its belief, after all that was tried.
type work struct {
	q      *Question
	table  *table
	line   *bound
	offer  []bool // of the bank's masks, which may be tried
	now    belief
	course []tried
}

// think draws the persons, puts the masks on them and weighs what was tried.
func (q *Question) think(ctx context.Context) (*work, error) {
	s, err := q.setup()
	if err != nil {
		return nil, err
	}
	offered := len(s.masks)
	if err := s.addTried(q.Tried); err != nil {
		return nil, err
	}
	n := q.People
	if n == 0 {
		n = usualPeople
	}
	r := rand.New(rand.NewPCG(q.Seed, beliefStream))
	b, err := s.gather(ctx, n, q.spreads(), &q.Look, r)
	if err != nil {
		return nil, err
	}
	w := &work{q: q, table: b.newTable(q.spreads()), now: b.prior, offer: make([]bool, len(s.masks))}
	w.line = q.newBound(w.table)
	for m := range offered {
		w.offer[m] = true
	}
	for _, v := range q.Tried {
		w.learn(v)
	}
	return w, nil
}

// addTried adds the masks that were tried and may not be tried again, or are no
// longer there: what came of them tells of the person all the same.
func (s *setup) addTried(visits []Visit) error {
	for _, v := range visits {
		if s.find(v.Type, v.Size) >= 0 {
			continue
		}
		m, err := mask.Find(v.Type, v.Size)
		if err != nil {
			return err
		}
		s.masks = append(s.masks, m)
	}
	return nil
}

func (s *setup) find(t mask.Type, size string) int {
	return slices.IndexFunc(s.masks, func(m mask.Mask) bool { return m.Type == t && m.Size == size })
}

// learn moves the belief by one visit. A strap force that is not known may be
// any; a leak whose place was not seen may be either.
func (w *work) learn(v Visit) {
	m := w.table.bank.find(v.Type, v.Size)
	like := make([]float64, len(w.now))
	low, high := 1, levels-2
	level := float64(middle)
	if v.Pull > 0 {
		level = min(max(levelOf(v.Type, v.Pull), 0), levels-1)
		low, high = 0, 0
	}
	for i := range like {
		for l := low; l <= high; l++ {
			at := level
			if v.Pull == 0 {
				at = float64(l)
			}
			like[i] += w.table.bank.told(i, m, at, w.q.spreads(), v)
		}
	}
	w.now = w.now.after(like)
	nearest := min(max(int(level+0.5), w.table.lowest), w.table.lowest+w.table.perMask-1)
	w.course = append(w.course, tried{w.table.candidate(m, nearest), v.What})
}

// told gives the chance that a visit was told as it was.
func (b *bank) told(i, m int, level float64, s Spreads, v Visit) float64 {
	c := b.meant(i, m, level, s)
	p := c[v.What]
	if v.Anywhere {
		p = c[LeaksAtBridge] + c[LeaksElsewhere]
	}
	return p*(1-ToldWrong.SI()) + ToldWrong.SI()/float64(OutcomeCount)
}

// over tells that there is nothing left to plan: solved, or given up.
func (w *work) over() bool {
	n := len(w.course)
	return n >= Cap || n > 0 && w.course[n-1].outcome == Comfortable
}

// policy is the plan from here on under a belief that already knows the course.
func (w *work) policy(b belief) *planned {
	return &planned{table: w.table, prior: b, known: len(w.course), offer: w.offer, line: w.line}
}
