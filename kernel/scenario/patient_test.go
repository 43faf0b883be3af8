package scenario

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tautline/model/mask"
	"tautline/model/plan"
	"tautline/model/unit"
)

var allParts = []Part{FacePart, GatesPart, PressurePart, LimitPart}

func exampleData(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestPatientIsReadWhole(t *testing.T) {
	p, err := ParsePatient("p.toml", exampleData(t, "patients/second-visit.toml"), allParts...)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Look.Ticks) != 1 || p.Look.NoseWidth.Mm() != 34 || p.Look.MouthOpen != plan.No {
		t.Errorf("the face is %+v", p.Look)
	}
	if g := p.Gates; g.Vomiting != plan.No || g.TakesOffAlone != plan.Yes || g.Implants != plan.Yes || g.NoseBlocked != plan.Unknown || g.Covers != mask.Nasal {
		t.Errorf("the gates are %+v", g)
	}
	if h := p.Therapy; h.Range[1] != 16*unit.CmH2O || h.Limit.LPerMin() != 24 || h.Position != "on the back" {
		t.Errorf("the therapy is %+v", h)
	}
	want := plan.Visit{Type: mask.Nasal, Size: "medium", Pull: 3 * unit.N, What: plan.LeaksAtBridge}
	if len(p.Tried) != 1 || p.Tried[0] != want {
		t.Errorf("the outcomes are %+v", p.Tried)
	}
}

func TestStockIsReadWhole(t *testing.T) {
	s, err := ParseStock("s.toml", exampleData(t, "stock.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Masks) != 11 {
		t.Fatalf("%d lines", len(s.Masks))
	}
	if got, want := s.Masks[8], (plan.Item{Type: mask.Oronasal, Size: "medium", Vented: true, Reprocessed: true, Count: 1}); got != want {
		t.Errorf("%+v", got)
	}
}

// What is wrong with a file is said with its line and what to do.
func TestPatientFilesThatAreRefused(t *testing.T) {
	text := string(exampleData(t, "patients/second-visit.toml"))
	for _, c := range []struct{ old, new, want string }{
		{`"narrow bridge"`, `"narow bridge"`, `p.toml, line 6: ticks "narow bridge" is not known; did you mean "narrow bridge"?`},
		{`["narrow bridge"]`, `["narrow bridge", "flat bridge"]`, `line 6: ticks hold both "narrow bridge" and "flat bridge"`},
		{`["narrow bridge"]`, `["narrow bridge", "none"]`, `line 6: ticks hold "none" or "don't know" beside others`},
		{`["narrow bridge"]`, `["glasses", "glasses"]`, `line 6: ticks says "glasses" twice`},
		{`"34 mm"`, `34`, `line 7: nose_width = 34 has no unit: write nose_width = "34 mm"`},
		{`"34 mm"`, `"3400 mm"`, `line 7: nose width is`},
		{`vomiting        = "no"`, ``, `vomiting is missing in [gates], and it has no default: write vomiting = "yes", "no" or "don't know"`},
		{`vomiting        = "no"`, `vomiting = "maybe"`, `line 11: vomiting "maybe" is not known; known here: don't know, yes, no`},
		{`covers_at_most  = "nose"`, `covers_at_most = "face"`, `covers_at_most "face" is not known`},
		{`range = ["4 cmH2O", "16 cmH2O"]`, ``, `range is missing in [pressure]`},
		{`line = "70 mmHg"`, ``, `line is missing in [limit]`},
		{`what   = "leaks at the bridge"`, `what = "leaks at the bride"`, `did you mean "leaks at the bridge"?`},
		{`what   = "leaks at the bridge"`, ``, `what is missing in [[outcome]]`},
		{`size   = "medium"`, `size = "M"`, `size "M" is not known; known here: small, medium, large`},
		{`"tautline patient 1"`, `"tautline stock 1"`, `this is a stock file; give it with --stock`},
		{`[gates]`, `[gate]`, `the key "gate" is not known here; did you mean "gates"?`},
	} {
		_, err := ParsePatient("p.toml", []byte(strings.Replace(text, c.old, c.new, 1)), allParts...)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s -> %s: got %v\nwant %s", c.old, c.new, err, c.want)
		}
	}
	if _, err := ParsePatient("p.toml", []byte(`format = "tautline patient 1"`)); err != nil {
		t.Errorf("nothing was needed: %v", err)
	}
}

func TestStockFilesThatAreRefused(t *testing.T) {
	text := string(exampleData(t, "stock.toml"))
	for _, c := range []struct{ old, new, want string }{
		{`count   = 4`, `count = -4`, `line 11: count is -4: write how many there are`},
		{`count   = 4`, `count = "four"`, `count is "four"`},
		{`vented  = true             # a vent of its own`, ``, `vented is missing in [[mask]], and it has no default`},
		{`"small"`, `"medium"`, `this mask stands here twice`},
		{`state   = "new" `, `state = "old" `, `state "old" is not known`},
		{`type    = "nasal"`, `type = "nosal"`, `type "nosal" is not known; did you mean "nasal"?`},
		{`"tautline stock 1"`, `"tautline scenario 1"`, `ask tautline sweep about it`},
	} {
		_, err := ParseStock("s.toml", []byte(strings.Replace(text, c.old, c.new, 1)))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s -> %s: got %v\nwant %s", c.old, c.new, err, c.want)
		}
	}
	if _, err := ParseStock("s.toml", []byte(`format = "tautline stock 1"`)); err == nil || !strings.Contains(err.Error(), "no mask is listed") {
		t.Errorf("an empty shelf: %v", err)
	}
}

// FuzzPatient and FuzzStock hold what is true of every file: read or refused
// without a panic, each line of a refusal with the file's name.
func FuzzPatient(f *testing.F) {
	f.Add(exampleData(f, "patients/first-visit.toml"))
	f.Add(exampleData(f, "patients/second-visit.toml"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := ParsePatient("p.toml", data, allParts...)
		named(t, "p.toml", err)
		if err == nil && (p.Therapy.Limit <= 0 || p.Therapy.Range[0] > p.Therapy.Range[1]) {
			t.Fatalf("a therapy that cannot be: %+v", p.Therapy)
		}
	})
}

func FuzzStock(f *testing.F) {
	f.Add(exampleData(f, "stock.toml"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ParseStock("s.toml", data)
		named(t, "s.toml", err)
		for _, m := range s.Masks {
			if err == nil && (m.Type == "" || m.Size == "" || m.Count < 0 || m.Count > mostMasks) {
				t.Fatalf("a mask that cannot be: %+v", m)
			}
		}
	})
}

func named(t *testing.T, file string, err error) {
	t.Helper()
	if err == nil {
		return
	}
	for line := range strings.SplitSeq(err.Error(), "\n") {
		if !strings.HasPrefix(line, file) {
			t.Fatalf("a refusal without its file: %q", line)
		}
	}
}
