package command

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"tautline/kernel/report"
)

func TestNightKeepsItsSchema(t *testing.T) {
	for _, name := range []string{"night-on-the-side", "night-lips", "everything"} {
		conforms(t, "night.schema.json", outputOf(t, "night", example(name), "--nights", "4", "--json"))
	}
	// Straps so slack that the mask tips off leave numbers that do not exist.
	tips := strings.NewReplacer(`"3 N"`, `"0.05 N"`).Replace(minimal) + "[night]\nstatistic = \"mean\"\nnights = 2\n[hose]\npull = \"10 N\"\n"
	conforms(t, "night.schema.json", outputFrom(t, tips, "night", "-", "--json"))
	conforms(t, "care.schema.json", outputOf(t, "night", example("everything"), "--care", "--json"))
}

// The same seed gives the same bytes; another seed other nights.
func TestNightsComeFromTheirSeed(t *testing.T) {
	of := func(seed string) []byte {
		return outputOf(t, "night", example("night-on-the-side"), "--nights", "5", "--seed", seed, "--json")
	}
	one := of("7")
	if !bytes.Equal(one, of("7")) {
		t.Error("the same seed gives other nights")
	}
	if bytes.Equal(one, of("8")) {
		t.Error("another seed gives the same nights")
	}
}

// The example shows what it says: it holds on the back and opens on a side,
// and the sentence that matters carries the numbers of the answer.
func TestTheNightOpensOnTheSide(t *testing.T) {
	var r report.NightResult
	if err := json.Unmarshal(outputOf(t, "night", example("night-on-the-side"), "--nights", "40", "--json"), &r); err != nil {
		t.Fatal(err)
	}
	if back, left := r.Positions[0], r.Positions[1]; !(*back.Above < 0.1 && *left.Above > 0.3) {
		t.Errorf("above the limit on the back %v, on the left side %v", *back.Above, *left.Above)
	}
	if !strings.Contains(r.Sentences[1], flow(r.Asked.Limit)) || !strings.Contains(r.Sentences[1], "of 40 simulated nights") {
		t.Errorf("the sentence that matters: %s", r.Sentences[1])
	}
	if len(r.Openings) == 0 || !strings.HasPrefix(r.Openings[0].Site, "cheek") {
		t.Errorf("turns open the seal at %v", r.Openings)
	}
}
