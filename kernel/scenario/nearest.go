package scenario

import (
	"fmt"
	"strings"
)

// didYouMean offers the known word nearest to one that is not, or all of them
// when none is near.
func didYouMean(word string, known []string) string {
	if best := nearest(word, known); best != "" {
		return fmt.Sprintf("; did you mean %q?", best)
	}
	return "; known here: " + strings.Join(known, ", ")
}

// nearest gives the known word with the fewest letters changed, if at most a
// third of them are, or one that starts like it.
func nearest(word string, known []string) string {
	best, fewest := "", 1+(len(word)+2)/3
	for _, k := range known {
		d := distance(strings.ToLower(word), strings.ToLower(k))
		if d < fewest {
			best, fewest = k, d
		}
	}
	return best
}

// distance counts the letters to insert, delete, replace or swap with their
// neighbour (optimal string alignment).
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	if len(x) > 64 { // no key of ours comes near; keep the table small
		return len(x)
	}
	before, last, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		row[0] = i
		for j := 1; j <= len(y); j++ {
			change := last[j-1]
			if x[i-1] != y[j-1] {
				change++
			}
			row[j] = min(change, last[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(y)]
}
