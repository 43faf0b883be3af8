package picture

import (
	"sort"
	"testing"

	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"
)

// TestSpread: where there is room, labels keep their order, stay inside and do
// not overlap; labels that are apart already do not move.
func TestSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wish := rapid.SliceOfN(rapid.Float64Range(-50, 550), 1, 12).Draw(t, "middles")
		sort.Sort(sort.Reverse(sort.Float64Slice(wish)))
		middles, heights := make([]vg.Length, len(wish)), make([]vg.Length, len(wish))
		for i, w := range wish {
			middles[i] = vg.Length(w)
			heights[i] = vg.Length(rapid.Float64Range(5, 40).Draw(t, "height"))
		}
		spread(middles, heights, 0, 500)
		above := vg.Length(500)
		for i, m := range middles {
			if top := m + heights[i]/2; top > above+1e-9 {
				t.Fatalf("label %d reaches %v into what is above it", i, top-above)
			}
			above = m - heights[i]/2
		}
		if above < -1e-9 {
			t.Fatalf("the last label hangs %v below", -above)
		}
	})
}
