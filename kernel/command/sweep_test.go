package command

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"tautline/kernel/report"
)

// examples are the scenarios that are shipped.
func examples(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "scenarios", "*.toml"))
	if err != nil || len(files) < 8 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	return files
}

func example(name string) string {
	return filepath.Join("..", "..", "testdata", "scenarios", name+".toml")
}

func TestSweepKeepsItsSchema(t *testing.T) {
	for _, file := range examples(t) {
		conforms(t, "sweep.schema.json", outputOf(t, "sweep", file, "--json"))
		conforms(t, "inputs.schema.json", outputOf(t, "sweep", file, "--inputs", "--json"))
	}
}

func sweepOf(t *testing.T, name string) report.SweepResult {
	t.Helper()
	var r report.SweepResult
	if err := json.Unmarshal(outputOf(t, "sweep", example(name), "--json"), &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// The examples are named for what they show. The sentence that matters must
// carry the numbers that the answer holds, whatever they are.
func TestExamplesShowWhatTheirNamesSay(t *testing.T) {
	for _, c := range []struct {
		name, verdict string
		holds         func(report.SweepResult) bool
		says          func(report.SweepResult) []string
	}{
		{"seals-at-8-leaks-at-16", "opens", func(r report.SweepResult) bool {
			// Below 20 cmH2O, and about where its name says.
			return *r.Now.LiftOff > 7 && *r.Now.LiftOff < 16 && strings.HasPrefix(r.Now.OpensFirst, "nose_side") &&
				*r.Window.Low > *r.Asked.Strap
		}, func(r report.SweepResult) []string {
			return []string{"On the back at 20 cmH2O", "both nose sides", flow(r.Top.Leak), flow(r.Top.Vent)}
		}},
		{"opens-at-the-bridge", "opens", func(r report.SweepResult) bool {
			return r.Now.OpensFirst == "bridge" && *r.Now.LiftOff < 20 && *r.Top.Leak > *r.Asked.Limit
		}, func(r report.SweepResult) []string { return []string{"first at the bridge", flow(r.Top.Leak)} }},
		{"opens-at-the-chin", "opens", func(r report.SweepResult) bool {
			return r.Now.OpensFirst == "chin" && *r.Now.LiftOff < 20 && *r.Top.Leak > *r.Asked.Limit
		}, func(r report.SweepResult) []string { return []string{"first at the chin", flow(r.Top.Leak)} }},
		{"no-window-by-shape", "no window by shape", func(r report.SweepResult) bool {
			return r.Window.Low == nil && r.Window.SealsFrom == nil && *r.Window.LeastLeak > *r.Asked.Limit
		}, func(r report.SweepResult) []string {
			return []string{"no strap setting holds 20 cmH2O", "shape", "10 N", flow(r.Window.LeastLeak)}
		}},
		{"no-window-by-the-line", "no window by line", func(r report.SweepResult) bool {
			return r.Window.Low == nil && *r.Window.SealsFrom > *r.Window.LineUntil && *r.Window.TopAtSeal > *r.Asked.Line.Level
		}, func(r report.SweepResult) []string {
			return []string{"no strap setting holds 20 cmH2O", "bridge", "capillary", "32 mmHg", whole(r.Window.TopAtSeal) + " mmHg"}
		}},
		{"too-tight", "too tight", func(r report.SweepResult) bool {
			return *r.Asked.Strap > *r.Window.High && *r.Top.Leak < 0.1
		}, func(r report.SweepResult) []string {
			return []string{"tighter than it needs", "bridge", "70 mmHg", whole(largest(r.Top)) + " mmHg"}
		}},
		{"fits", "holds", func(r report.SweepResult) bool {
			return *r.Asked.Strap > *r.Window.Low && *r.Asked.Strap < *r.Window.High
		}, func(r report.SweepResult) []string { return []string{"holds up to 15 cmH2O", flow(r.Top.Vent)} }},
	} {
		r := sweepOf(t, c.name)
		if r.Verdict != c.verdict || !c.holds(r) {
			t.Errorf("%s: %s, %+v, %+v", c.name, r.Verdict, r.Window, r.Asked)
		}
		for _, part := range c.says(r) {
			if sentence := r.Sentences[1]; !strings.Contains(sentence, part) {
				t.Errorf("%s: %q does not say %q", c.name, sentence, part)
			}
		}
	}
}

// Seven examples, seven different sentences.
func TestExamplesDiffer(t *testing.T) {
	said := map[string]string{}
	for _, file := range examples(t) {
		name := strings.TrimSuffix(filepath.Base(file), ".toml")
		s := sweepOf(t, name).Sentences[1]
		if other, ok := said[s]; ok {
			t.Errorf("%s and %s say the same: %s", name, other, s)
		}
		said[s] = name
	}
}

func flow(x *float64) string { return bedside(*x) + " L/min" }

func whole(x *float64) string { return strconv.FormatFloat(*x, 'f', 0, 64) }

// bedside is how sentences say numbers: whole from ten on, else one decimal.
func bedside(x float64) string {
	if x >= 9.95 {
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	return strings.TrimSuffix(strconv.FormatFloat(x, 'f', 1, 64), ".0")
}

func largest(p report.PointItem) *float64 {
	top := 0.0
	for _, s := range p.Sites {
		top = max(top, *s.Contact)
	}
	return &top
}

// The rows add up: the sites' leaks are the leak.
func TestSweepRowsAddUp(t *testing.T) {
	for _, file := range examples(t) {
		r := sweepOf(t, strings.TrimSuffix(filepath.Base(file), ".toml"))
		if len(r.Rows) == 0 || len(r.Windows) == 0 {
			t.Errorf("%s: %d rows, %d windows", file, len(r.Rows), len(r.Windows))
		}
		for _, row := range r.Rows {
			sum := 0.0
			for _, s := range row.Sites {
				sum += *s.Leak
			}
			// Numbers are printed with eight digits.
			if d := sum - *row.Leak; math.Abs(d) > 1e-7*(1+*row.Leak) {
				t.Errorf("%s: sites leak %g, the mask %g", file, sum, *row.Leak)
			}
		}
	}
}

// A file that states every number with its default gives the answer of one that
// states none of them.
func TestEverythingStatesTheDefaults(t *testing.T) {
	var few report.SweepResult
	out := outputFrom(t, minimal, "sweep", "-", "--json")
	if err := json.Unmarshal(out, &few); err != nil {
		t.Fatal(err)
	}
	all := sweepOf(t, "everything")
	for _, p := range [][2]report.PointItem{{few.Now, all.Now}, {few.Top, all.Top}} {
		a, _ := json.Marshal(rounded(p[0]))
		b, _ := json.Marshal(rounded(p[1]))
		if string(a) != string(b) {
			t.Errorf("everything.toml no longer states the defaults (run tautline sweep --inputs on both):\n%s\n%s", a, b)
		}
	}
}

// rounded forgets what the last digits of a stated number may move.
func rounded(p report.PointItem) report.PointItem {
	for _, x := range []*float64{p.Mask, p.StrapAtPressure, p.Push, p.Vent, p.Leak, p.LiftOff, p.Onset} {
		round(x)
	}
	for _, s := range p.Sites {
		for _, x := range []*float64{s.Contact, s.ContactMean, s.Margin, s.Gap, s.Leak} {
			round(x)
		}
	}
	return p
}

func round(x *float64) {
	if x != nil {
		*x, _ = strconv.ParseFloat(strconv.FormatFloat(*x, 'g', 5, 64), 64)
	}
}

// minimal states only what has no default.
const minimal = `format = "tautline scenario 1"
[mask]
type = "nasal"
size = "medium"
[face]
name = "average"
[straps]
force = "3 N"
[posture]
position = "on the back"
[pressure]
set = "12 cmH2O"
range = ["4 cmH2O", "20 cmH2O"]
[limit]
leak = "24 L/min"
line = "70 mmHg"
`

func TestSweepCSVHasALineForEachPointAndSite(t *testing.T) {
	r := sweepOf(t, "fits")
	rows, err := csv.NewReader(strings.NewReader(string(outputOf(t, "sweep", example("fits"), "--csv")))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if want := 1 + len(r.Rows)*len(r.Rows[0].Sites); len(rows) != want {
		t.Errorf("%d lines, want %d", len(rows), want)
	}
	place := map[string]int{}
	for i, head := range rows[0] {
		place[head] = i
	}
	first := rows[1]
	for head, want := range map[string]*float64{"pressure_cmH2O": r.Rows[0].Pressure, "strap_N": r.Rows[0].Strap,
		"margin_cmH2O": r.Rows[0].Sites[0].Margin, "site_leak_L_per_min": r.Rows[0].Sites[0].Leak} {
		if got, err := strconv.ParseFloat(first[place[head]], 64); err != nil || got != *want {
			t.Errorf("%s is %s, want %g", head, first[place[head]], *want)
		}
	}
}

// A file of more than 64 MB, junk, and a folder are refused in one sentence.
func TestSweepRefusesWhatIsNoScenario(t *testing.T) {
	large := filepath.Join(t.TempDir(), "large.toml")
	junk := filepath.Join(t.TempDir(), "junk.toml")
	if err := errors.Join(os.WriteFile(large, nil, 0o600), os.Truncate(large, 65<<20),
		os.WriteFile(junk, []byte("format = \x00\x01\xfe\xff\x00"), 0o600)); err != nil {
		t.Fatal(err)
	}
	for file, want := range map[string]string{large: "is larger than 64 MB", junk: "is not a text file", ".": "is a folder"} {
		var out, messages strings.Builder
		code := Main([]string{"sweep", file}, strings.NewReader(""), &out, &messages)
		if code != failed || out.Len() > 0 || !strings.Contains(messages.String(), want) || strings.Count(messages.String(), "\n") != 1 {
			t.Errorf("%s: exit code %d, %q", file, code, messages.String())
		}
	}
}

// outputFrom is outputOf with something on standard input.
func outputFrom(t *testing.T, stdin string, args ...string) []byte {
	t.Helper()
	var out, messages strings.Builder
	if code := Main(args, strings.NewReader(stdin), &out, &messages); code != done || messages.Len() > 0 {
		t.Fatalf("tautline %s: exit code %d, %s", strings.Join(args, " "), code, messages.String())
	}
	return []byte(out.String())
}
