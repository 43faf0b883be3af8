package plan

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

const (
	// PassChance is how likely a setting may be to pass a stated reference line
	// and still count as keeping under it (assumed): one in five, as the range of
	// the straps holds four of five times.
	PassChance = 0.2
	// worthTrying is the chance of being comfortable below which a setting is not
	// worth a night: neither because it keeps under the line, nor because it was
	// not tried yet (assumed).
	worthTrying = 0.05
)

// A bound is the stated reference line over a table: which persons pass it, for
// each candidate as it is meant. Nil when no line was stated: none is assumed.
type bound struct {
	past [][]float64 // 1 for who passes it, by candidate and person
}

// newBound works out who passes the question's line.
func (q *Question) newBound(t *table) *bound {
	if !q.Line.IsSet() {
		return nil
	}
	line := math.Log(float64(q.Line.Level(q.Worn)))
	l := &bound{past: make([][]float64, t.count())}
	for c := range l.past {
		l.past[c] = make([]float64, len(t.bank.people))
		m, level := t.setting(c)
		for i := range l.past[c] {
			if t.bank.responses(i, m)[level].largest() > line {
				l.past[c][i] = 1
			}
		}
	}
	return l
}

// chance that a candidate passes the line; 0 without a line.
func (l *bound) chance(b belief, c int) float64 {
	if l == nil {
		return 0
	}
	return floats.Dot(b, l.past[c])
}

// keeps tells whether a candidate counts as keeping under the line.
func (l *bound) keeps(b belief, c int) bool { return l.chance(b, c) <= PassChance }

// under leaves the candidates that keep under the line and are worth a night.
// When there are none, all that is left is what passes it, without a strap that
// is pulled further where the line is passed already.
func (l *bound) under(b belief, t *table, open []int, course []tried, score map[int]float64) []int {
	if l == nil {
		return open
	}
	var kept, passing []int
	for _, c := range open {
		switch {
		case l.keeps(b, c) && score[c] >= worthTrying:
			kept = append(kept, c)
		case !l.keeps(b, c) && !l.tightens(b, t, course, c):
			passing = append(passing, c)
		}
	}
	if len(kept) > 0 {
		return kept
	}
	return passing
}

// tightens tells whether a candidate pulls a mask further at which the line was
// passed already, at whichever visit that was.
func (l *bound) tightens(b belief, t *table, course []tried, c int) bool {
	for _, was := range course {
		if t.move(was.candidate, c) == Tighten && !l.keeps(b, was.candidate) {
			return true
		}
	}
	return false
}
