package picture

import "gonum.org/v1/plot/vg"

// spread moves labels apart that would overlap. The middles come top first and
// each needs its height; afterwards they keep their order, do not overlap and
// lie between bottom and top as long as there is room.
func spread(middles, heights []vg.Length, bottom, top vg.Length) {
	ceiling := top
	for i := range middles {
		middles[i] = min(middles[i], ceiling-heights[i]/2)
		ceiling = middles[i] - heights[i]/2
	}
	// Those pushed through the floor push the ones above back up.
	floor := bottom
	for i := len(middles) - 1; i >= 0; i-- {
		middles[i] = max(middles[i], floor+heights[i]/2)
		floor = middles[i] + heights[i]/2
	}
}
