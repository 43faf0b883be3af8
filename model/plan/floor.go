package plan

import "math"

// floors gives, for every simulated person, the chance that none of Cap visits is
// comfortable with the setting that serves this person best: what would stay
// unsolved if everything were known. Visits of one setting are independent, so
//
//	floor = (1 - max over settings of P(comfortable))^Cap
func (t *stage) floors() []float64 {
	out := make([]float64, len(t.truth.people))
	for i := range out {
		best := 0.0
		for c := range t.belief.count() {
			m, level := t.belief.setting(c)
			best = max(best, t.truth.meant(i, m, float64(level), t.really)[Comfortable])
		}
		out[i] = math.Pow(1-best, Cap)
	}
	return out
}

// beyond is the ratio of what two policies leave unsolved beyond the floor. By
// luck a policy may stay under it; the ratio is then below zero.
func beyond(a, b []run, floors []float64) Mean {
	return ratioOf(len(a), func(k int) (x, y float64) { return 1 - a[k].share() - floors[k], 1 - b[k].share() - floors[k] })
}
