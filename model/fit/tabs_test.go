package fit

import (
	"testing"

	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/unit"
)

// TestTabs: the pull grows with the distance, and by the rough figures that
// bedside practice has (0.6 N/mm on a full face, 0.2 N/mm on a nasal mask;
// common practice, no source) to within a factor of two.
func TestTabs(t *testing.T) {
	for kind, perMm := range map[mask.Type]float64{mask.Oronasal: 0.6, mask.Nasal: 0.2} {
		m, err := mask.Find(kind, "medium")
		if err != nil {
			t.Fatal(err)
		}
		c := NewCase(m, face.Average(), 3, Position{})
		last := unit.Force(0)
		for _, in := range []unit.Length{4, 8, 12, 16} {
			pull, err := PullForTabs(c, in*unit.Mm)
			if err != nil {
				t.Fatal(err)
			}
			if pull <= last {
				t.Errorf("%s: %g mm pull with %v, less than a shorter way", kind, float64(in), pull)
			}
			if ratio := (pull - last).N() / 4 / perMm; ratio < 0.5 || ratio > 2 {
				t.Errorf("%s: %.2f N/mm on the way to %g mm, want about %g", kind, (pull-last).N()/4, float64(in), perMm)
			}
			last = pull
		}
	}
}

func TestTabsOutOfRange(t *testing.T) {
	m, err := mask.Find(mask.Nasal, "medium")
	if err != nil {
		t.Fatal(err)
	}
	for _, in := range []unit.Length{0, -3 * unit.Mm, 2 * unit.M} {
		if _, err := PullForTabs(NewCase(m, face.Average(), 3, Position{}), in); err == nil {
			t.Errorf("straps are taken in by %v", in)
		}
	}
}
