package scenario

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

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

func parsed(t *testing.T, text string) Scenario {
	t.Helper()
	s, err := Parse("s.toml", []byte(text), nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func input(t *testing.T, s Scenario, name string) unit.Parameter {
	t.Helper()
	all := Inputs(s)
	i := slices.IndexFunc(all, func(p unit.Parameter) bool { return p.Name == name })
	if i < 0 {
		t.Fatalf("no input %q", name)
	}
	return all[i]
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*(1+math.Abs(b)) }

func TestMinimalMeansWhatItSays(t *testing.T) {
	q := parsed(t, minimal).Question
	if q.Case.Straps.Pull != 3*unit.N || q.Case.Straps.Upper != 0.6 || q.Case.Position.Name != "on the back" ||
		!near(q.Pressure.CmH2O(), 12) || !near(q.Range[1].CmH2O(), 20) || !near(q.Limit.LPerMin(), 24) ||
		!near(q.Line.Level(0).MmHg(), 70) || q.Guess != [2]unit.Force{} {
		t.Errorf("%+v", q)
	}
	if len(q.Axes) != 1 || q.Axes[0].Variable != fit.ByStraps {
		t.Fatalf("swept: %+v", q.Axes)
	}
	// From 0.5 N to two and a half times 3 N in steps of 0.25 N.
	if n := q.Axes[0].Numbers; len(n) != 29 || !near(n[0], 0.5) || !near(n[1], 0.75) || !near(n[28], 7.5) {
		t.Errorf("straps swept: %v", n)
	}
}

// Grams on a scale are a force; 350 g pull 3.43 N (9.80665 mN each).
func TestForceInGramsAndByFeel(t *testing.T) {
	with := func(force string) fit.Question {
		return parsed(t, strings.Replace(minimal, `"3 N"`, `"`+force+`"`, 1)).Question
	}
	if f := with("350 g").Case.Straps.Pull; !near(f.N(), 3.4323275) {
		t.Errorf("350 g are %v", f)
	}
	for word, want := range map[string][3]float64{"loose": {0.98, 0.5, 2.5}, "Snug": {3.43, 2, 5},
		" TIGHT ": {5.88, 4, 9}, "one finger": {3.43, 2, 5}} {
		q := with(word)
		if got := [3]float64{q.Case.Straps.Pull.N(), q.Guess[0].N(), q.Guess[1].N()}; got != want {
			t.Errorf("%s: %v, want %v", word, got, want)
		}
	}
}

// Both sides at once, and one side otherwise, whatever the order in the file.
func TestSidesOfAPair(t *testing.T) {
	q := parsed(t, strings.Replace(minimal, "[straps]", `[face.deviation]
cheek_right = "2 mm"
cheek = "1 mm"
[straps]`, 1)).Question
	d := q.Case.Face.Deviation
	if !near(d[face.CheekLeft].Mm(), 1) || !near(d[face.CheekRight].Mm(), 2) {
		t.Errorf("left %v, right %v", d[face.CheekLeft], d[face.CheekRight])
	}
}

// A stated mismatch is the whole of it, however size and face differ.
func TestMismatchIsTheSum(t *testing.T) {
	text := strings.Replace(minimal, `name = "average"`, `name = "narrow bridge"
length = "105 mm"
[face.mismatch]
bridge = "-3 mm"
lip = "0.5 mm"`, 1)
	s := parsed(t, text)
	c := s.Question.Case
	for site, want := range map[face.Site]float64{face.Bridge: -3, face.Lip: 0.5} {
		if got := c.Mask.Mismatch(&c.Face, site).Mm(); !near(got, want) {
			t.Errorf("%s: %g, want %g", site, got, want)
		}
	}
	if p := input(t, s, "mismatch, "+face.Bridge.String()); p.Origin != unit.Stated || !near(p.Value, -3) {
		t.Errorf("%+v", p)
	}
}

// Segment by segment, the list says how many there are, and stands in the
// problem as it is.
func TestMismatchBySegment(t *testing.T) {
	values := strings.TrimSuffix(strings.Repeat(`"1 mm", `, 30), ", ")
	s := parsed(t, strings.Replace(minimal, "[straps]", "[face.mismatch]\nsegments = ["+values+"]\n[straps]", 1))
	p, err := s.Question.Case.Problem()
	if err != nil || len(p.Segments) != 30 {
		t.Fatalf("%d segments, %v", len(p.Segments), err)
	}
	for _, seg := range p.Segments {
		if !near(seg.Mismatch, 1e-3) {
			t.Errorf("mismatch %g", seg.Mismatch)
		}
	}
}

func TestSweepsKeepTheOrderOfTheFile(t *testing.T) {
	s := parsed(t, minimal+`[sweep]
position = ["sitting", "On the Back"]
balance = { from = "40 %", to = "70 %", steps = 4 }
`)
	axes := s.Question.Axes
	if len(axes) != 2 || axes[0].Variable != fit.ByPosition || axes[1].Variable != fit.ByBalance {
		t.Fatalf("%+v", axes)
	}
	if !slices.Equal(axes[0].Names, []string{"sitting", "on the back"}) || !near(axes[1].Numbers[1], 0.5) {
		t.Errorf("%+v", axes)
	}
}

// Whatever a scenario states, its list of inputs says so, with the value; and
// every default in the list lies within its own range.
func TestInputs(t *testing.T) {
	for _, file := range exampleFiles(t) {
		s, err := Open(file)
		if err != nil {
			t.Fatal(err)
		}
		seen := map[string]bool{}
		for _, p := range Inputs(s) {
			if seen[p.Name] {
				t.Errorf("%s: %q is there twice", file, p.Name)
			}
			seen[p.Name] = true
			if err := p.Check(p.SI()); err != nil {
				t.Errorf("%s: %v", file, err)
			}
			if p.Origin == "" || p.Origin != unit.Stated && p.Source == "" {
				t.Errorf("%s: %q comes from nowhere", file, p.Name)
			}
		}
		if p := input(t, s, "strap force"); p.Origin != unit.Stated || !near(p.SI(), s.Question.Case.Total().N()) {
			t.Errorf("%s: %+v", file, p)
		}
	}
}

func exampleFiles(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "scenarios", "*.toml"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no examples: %v", err)
	}
	return files
}

// every table of the example that states everything is known under its name:
// one letter added to any key is refused with that very key offered.
func TestEveryKeyIsGuarded(t *testing.T) {
	file := filepath.Join("..", "..", "testdata", "scenarios", "everything.toml")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(string(data), "\n")
	for i, line := range lines {
		key, _, found := strings.Cut(line, "=")
		key = strings.TrimSpace(key)
		if !found || key == "format" || strings.ContainsAny(key, "#[{ ") {
			continue
		}
		changed := slices.Clone(lines)
		changed[i] = strings.Replace(line, key, key+"q", 1)
		_, err := Parse("s.toml", []byte(strings.Join(changed, "\n")), Beside(file))
		if err == nil || !strings.Contains(err.Error(), `the key "`+key+`q" is not known`) ||
			!strings.Contains(err.Error(), `did you mean "`+key) {
			t.Errorf("line %d, %sq: %v", i+1, key, err)
		}
	}
}

// The one page about the format names every key and section that there is.
func TestFormatPageNamesEveryKey(t *testing.T) {
	page, err := os.ReadFile("FORMAT.md")
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "scenarios", "everything.toml"))
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(data)) {
		key, _, found := strings.Cut(line, "=")
		key = strings.TrimSpace(key)
		if found && !strings.ContainsAny(key, "#[{") && !strings.Contains(string(page), key) {
			t.Errorf("FORMAT.md does not name %q", key)
		}
	}
}

// Names that only differ in case and spaces are the same name.
func TestNamesAreLenient(t *testing.T) {
	text := strings.NewReplacer(`"nasal"`, `" Nasal"`, `"medium"`, `"MEDIUM"`, `"average"`, `"Average "`,
		`"on the back"`, `"On  the Back"`).Replace(minimal)
	if q := parsed(t, text).Question; q.Case.Mask.Size != "medium" || q.Case.Position.Name != "on the back" {
		t.Errorf("%+v", q.Case.Mask)
	}
}

// A file made to cost memory or time is refused at once or read at once; no
// test of ours could wait for a reader that follows it all the way down.
func TestHostileFiles(t *testing.T) {
	const head = "format = \"tautline scenario 1\"\n"
	for name, text := range map[string]string{
		"dots":   head + strings.Repeat("a.", 400000) + "a = 1\n",
		"table":  head + "[" + strings.Repeat("a.", 400000) + "a]\nb = 1\n",
		"deep":   head + "a = " + strings.Repeat("[", 400000) + "\n",
		"inline": head + "a = " + strings.Repeat("{a = ", 5000) + "1" + strings.Repeat("}", 5000) + "\n",
		"many":   head + strings.Repeat("[[face.feature]]\n", 50000),
		"large":  head + strings.Repeat("# nothing\n", 200000),
	} {
		_, err := Parse("s.toml", []byte(text), nil)
		if err == nil || !strings.HasPrefix(err.Error(), "s.toml") || len(err.Error()) > 10000 {
			t.Errorf("%s: %.200v", name, err)
		}
	}
}
