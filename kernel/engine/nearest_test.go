package engine

import "testing"

func TestNearest(t *testing.T) {
	known := []string{"Mask", "Masks", "Face", "Straps", "PutOn"}
	for typed, want := range map[string]string{"Msak": "Mask", "amsk": "Mask", "Facce": "Face", "Stapsr": "Straps",
		"PtuOn": "PutOn", "mask": "Mask", "Unlike": "", "": ""} {
		if got := Nearest(typed, known); got != want {
			t.Errorf("%q is nearest to %q, not %q", typed, got, want)
		}
	}
}

func TestDistanceCountsSwapsOnce(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"ab", "ba", 1}, {"abc", "", 3}, {"", "abc", 3}, {"kitten", "sitting", 3}, {"straps", "strpas", 1}} {
		if got := distance(c.a, c.b); got != c.want {
			t.Errorf("%q to %q is %d steps, not %d", c.a, c.b, got, c.want)
		}
	}
}
