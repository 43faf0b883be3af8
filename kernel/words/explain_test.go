package words

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"tautline/model/unit"
)

const whyCells = `low := Readings(Reading(6*CmH2O, 1*LPerMin), Reading(9*CmH2O, 2*LPerMin))
high := Readings(low, Reading(12*CmH2O, 14*LPerMin), Reading(15*CmH2O, 33*LPerMin).Lying("on the back"))
why := Explain(high, Mask("nasal", "medium"), OnFlow("unintentional"), SteppedBy("person"), OnStatistic("mean"), DryMouth("no"), CushionAge(120*Day), Straps(3*N), SoreAt("bridge"))
`

// Readings from a file and typed in, what was seen, and numbers by name.
func TestExplain(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "readings", "rising.csv"))
	if err != nil {
		t.Fatal(err)
	}
	files := fstest.MapFS{"clinic.csv": {Data: data},
		"total.csv": {Data: []byte("pressure_cmH2O,total_leak_L_per_min\n8,14\n12,17\n")},
		"minus.csv": {Data: []byte("pressure_cmH2O,unintentional_leak_L_per_min\n8,-4\n12,-5\n")}}
	for cell, want := range map[string]string{
		whyCells + `why.Leading().Cause.ID()`:                                           "lift_off",
		whyCells + `why.Cause("lift_off").Probability > .5`:                             "true",
		whyCells + `why.Step("reseat").Now.Middle > 20*LPerMin`:                         "true",
		whyCells + `why.Sentence()`:                                                     "It looks most like a site of the seal that opens",
		whyCells + `why.Question.Seen`:                                                  "3",
		whyCells + `why`:                                                                "1. Look at the mask vent",
		`Explain(Readings("clinic.csv"), Mask("nasal", "medium")).Leading().Cause.ID()`: "lift_off",
		`Explain(Readings("total.csv"), Mask("nasal", "medium")).First()`:               "Look at the mask vent now",
		`Explain(Readings("minus.csv"), Mask("nasal", "medium"))`:                       "minus.csv, line 2: the leak is below zero",
		`Explain(Readings("clinic.csv", "total.csv"), Mask("nasal", "medium"))`:         "explain them one by one",
	} {
		if got := fmt.Sprint(readIn(t, files, cell)); !strings.Contains(got, want) {
			t.Errorf("%s gives %s, want %s", cell, got, want)
		}
	}
}

// Equal questions have equal answers, whether their leaks were simulated just
// now or before.
func TestExplainRemembersItsSimulations(t *testing.T) {
	p := &place{front: folder{files: fstest.MapFS{}}}
	l := ReadingList{All: []Reading{reading(6*cm, 1*lpm), reading(14*cm, 22*lpm)}}
	first := p.explain(l, findMask("nasal", "medium"), onFlow("unintentional")).String()
	for range mostBanks + 2 {
		if again := p.explain(l, findMask("nasal", "medium"), onFlow("unintentional")).String(); again != first {
			t.Fatalf("again it says\n%s", again)
		}
	}
	if len(p.banks) != 1 {
		t.Errorf("%d simulations are kept for one mask and pressure", len(p.banks))
	}
	for _, kind := range []string{"oronasal", "pillows"} {
		for _, size := range []string{"small", "medium", "large"} {
			p.explain(l, findMask(kind, size), onFlow("unintentional"))
		}
	}
	if len(p.banks) != mostBanks {
		t.Errorf("%d simulations are kept, want the last %d", len(p.banks), mostBanks)
	}
	if none := (*place)(nil).explain(l, findMask("nasal", "medium"), onFlow("unintentional")).String(); none != first {
		t.Errorf("without a place it says\n%s", none)
	}
}

// BenchmarkExplainMoved is what a moved control costs: the readings change, mask
// and highest pressure do not.
func BenchmarkExplainMoved(b *testing.B) {
	p := &place{front: folder{files: fstest.MapFS{}}}
	for i := 0; b.Loop(); i++ {
		l := ReadingList{All: []Reading{reading(6*cm, 1*lpm), reading(9*cm, 2*lpm), reading(15*cm, unit.Flow(5+i%40)*lpm)}}
		p.explain(l, findMask("nasal", "medium"), onFlow("unintentional"), steppedBy("person")).Mimebundle()
	}
}

const cm, lpm = unit.CmH2O, unit.LPerMin
