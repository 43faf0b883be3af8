package plan

import (
	"math/rand/v2"

	"tautline/model/mask"
)

// Whether a type is worn at all depends on nothing else of a person. It is
// therefore held beside the belief, as one chance for each type, and no simulated
// person is spent on it.

// refuses is the chance that a type is not worn: the assumed share until it was
// tried, and settled from then on.
func (t *table) refuses(course []tried, kind mask.Type) float64 {
	record := Refusal[kind]
	out := record.SI()
	for _, was := range course {
		if t.mask(was.candidate).Type != kind {
			continue
		}
		if was.outcome == NotWorn {
			return 1
		}
		out = 0
	}
	return out
}

// worn is the chance that a candidate is worn.
func (t *table) worn(course []tried, c int) float64 { return 1 - t.refuses(course, t.mask(c).Type) }

// drawRefusals draws which types one simulated person will not wear.
func (w *work) drawRefusals(r *rand.Rand) (out [typeCount]bool) {
	for i, t := range mask.Types() {
		out[i] = r.Float64() < w.table.refuses(w.course, t)
	}
	return out
}
