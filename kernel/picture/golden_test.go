package picture

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

var update = flag.Bool("update", false, "write the golden pictures anew, after looking at them")

// TestGolden holds the looks of two pictures of invented numbers. When it fails
// after a wanted change, look at the new pictures before writing them anew.
func TestGolden(t *testing.T) {
	v := oronasal()
	v.leaking = map[face.Site]unit.Flow{face.Chin: 7.3 * unit.LPerMin}
	v.crushed = map[face.Site]bool{face.Bridge: true}
	window := fit.Window{Exists: true, Low: 1.4, High: 4.2}
	for name, p := range map[string]*Picture{
		"rim": Rim(v.point(), Named("An invented mask on an invented face")),
		"tradeoff": TradeOff(strapRows(1, 2, 3, 4, 5, 6), []fit.Window{window}, 10*unit.LPerMin,
			Line{"chosen line", 50 * unit.MmHg}),
	} {
		path := filepath.Join("testdata", name+".svg")
		if *update {
			if err := os.WriteFile(path, p.SVG(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(want, p.SVG()) {
			t.Errorf("%s looks different; after looking at it, run the test with -update", path)
		}
	}
}
