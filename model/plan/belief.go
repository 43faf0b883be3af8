package plan

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"

	"tautline/model/mask"
)

// A table holds, for every person of a belief and every candidate, the chances
// of each outcome as told. A candidate is a mask of the bank at a level that one
// may mean to set; they are numbered by mask, then level.
type table struct {
	bank    *bank
	lowest  int // level of a mask's first candidate
	perMask int
	// of[outcome][candidate] are the chances, one for each person.
	of [OutcomeCount][][]float64
	// contact of a candidate, mean over the bank's persons, log of Pa.
	contact []float64
}

// newTable works out all chances once, so that a belief is only weights.
func (b *bank) newTable(s Spreads) *table {
	t := &table{bank: b, lowest: 1, perMask: levels - 2}
	n := len(b.masks) * t.perMask
	for o := range t.of {
		t.of[o] = make([][]float64, n)
	}
	t.contact = make([]float64, n)
	// Nothing fails here, and a table is not left half done.
	_ = onAllCores(context.Background(), n, func(c int) error {
		t.work(c, s)
		return nil
	})
	return t
}

// work fills one candidate's part.
func (t *table) work(c int, s Spreads) {
	b := t.bank
	for o := range t.of {
		t.of[o][c] = make([]float64, len(b.people))
	}
	wrong := ToldWrong.SI()
	flat := wrong / float64(OutcomeCount)
	m, level := t.setting(c)
	for i := range b.people {
		told := b.meant(i, m, float64(level), s)
		for o := range told {
			t.of[o][c][i] = told[o]*(1-wrong) + flat
		}
		t.contact[c] += b.responses(i, m)[level].largest() / float64(len(b.people))
	}
}

// setting gives a candidate's mask and level; candidate is its inverse.
func (t *table) setting(c int) (m, level int) { return c / t.perMask, t.lowest + c%t.perMask }

func (t *table) candidate(m, level int) int { return m*t.perMask + level - t.lowest }

func (t *table) count() int { return len(t.contact) }

// mask gives a candidate's mask.
func (t *table) mask(c int) *mask.Mask { return &t.bank.masks[c/t.perMask] }

// A belief is one weight per person, summing to 1.
type belief []float64

// even is the belief before any outcome.
func even(n int) belief {
	b := make(belief, n)
	for i := range b {
		b[i] = 1 / float64(n)
	}
	return b
}

// without gives the belief with one face left out, and all persons that share it:
// nobody may be planned for by knowing them.
func (b belief) without(person int) belief {
	out := append(belief(nil), b...)
	clear(out[person/draws*draws : person/draws*draws+draws])
	return out.normed()
}

// normed makes the weights sum to 1; a belief that nobody agrees with is even.
func (b belief) normed() belief {
	sum := floats.Sum(b)
	if !(sum > 0) {
		return even(len(b))
	}
	floats.Scale(1/sum, b)
	return b
}

// after gives the belief once an outcome was told, by Bayes' rule.
func (b belief) after(like []float64) belief {
	out := make(belief, len(b))
	floats.MulTo(out, b, like)
	return out.normed()
}

// light is the share of the belief that reckoning with a few persons may leave out.
const light = 1e-3

// heavy lists the persons that carry the belief but for at most light of it. Few
// are left after some outcomes, which saves most of the work.
func (b belief) heavy() []int {
	out := make([]int, 0, len(b))
	least := light / float64(len(b))
	for i, w := range b {
		if w > least {
			out = append(out, i)
		}
	}
	return out
}

// over sums the belief over some persons, each times its own factor.
func (b belief) over(who []int, of []float64) (sum float64) {
	for _, i := range who {
		sum += b[i] * of[i]
	}
	return sum
}

// agreeing is the effective number of faces that carry the belief.
func (b belief) agreeing() float64 {
	sum := 0.0
	for i := 0; i < len(b); i += draws {
		w := floats.Sum(b[i : i+draws])
		sum += w * w
	}
	return 1 / math.Max(sum, 1e-300)
}
