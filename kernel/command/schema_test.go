package command

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"tautline/model/plan"
)

// output of one command line, which must succeed without a message.
func outputOf(t *testing.T, args ...string) []byte {
	t.Helper()
	var out, messages bytes.Buffer
	if code := Main(args, strings.NewReader(""), &out, &messages); code != done || messages.Len() > 0 {
		t.Fatalf("tautline %s: exit code %d, %s", strings.Join(args, " "), code, &messages)
	}
	return out.Bytes()
}

// conforms holds real output to a published schema.
func conforms(t *testing.T, schema string, output []byte) {
	t.Helper()
	c := jsonschema.NewCompiler()
	// What --draws adds is described once, and referred to by its address.
	draws, err := os.ReadFile(filepath.Join("..", "..", "testdata", "schema", "draws.schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	part, err := jsonschema.UnmarshalJSON(bytes.NewReader(draws))
	if err != nil {
		t.Fatal(err)
	}
	if err := c.AddResource("https://tautline.invalid/schema/draws.schema.json", part); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile(filepath.Join("..", "..", "testdata", "schema", schema))
	if err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(output))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Validate(v); err != nil {
		t.Errorf("%s: %v", schema, err)
	}
}

func TestVentKeepsItsSchema(t *testing.T) {
	curves := filepath.Join("..", "..", "testdata", "curves")
	for _, args := range [][]string{
		{"nasal.csv"}, {"oronasal.csv", "--altitude", "2500 m"}, {"pillows.csv", "--gas", "34 C, 95 %"},
		{"holes.toml", "--blocked", "95 %"}, {"nasal.csv", "--at", "0 cmH2O", "--at", "60 hPa"},
	} {
		args = append([]string{"vent", filepath.Join(curves, args[0]), "--json"}, args[1:]...)
		conforms(t, "vent.schema.json", outputOf(t, args...))
	}
}

func TestChecksKeepTheirSchema(t *testing.T) {
	conforms(t, "checks.schema.json", outputOf(t, "checks", "--json"))
}

func TestTheTrialKeepsItsSchema(t *testing.T) {
	// Few patients: what is aimed at may be missed, which fails after the report.
	var out, messages bytes.Buffer
	Main([]string{"checks", "--explain", "60", "--json"}, strings.NewReader(""), &out, &messages)
	conforms(t, "explain-trial.schema.json", out.Bytes())
}

func TestBreathKeepsItsSchema(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "scenarios", "breath", "*.toml"))
	if err != nil || len(files) < 4 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	for _, file := range append(files, example("everything")) {
		conforms(t, "breath.schema.json", outputOf(t, "breath", file, "--json"))
	}
}

func TestPlanKeepsItsSchema(t *testing.T) {
	patients := filepath.Join("..", "..", "testdata", "patients")
	conforms(t, "plan.schema.json", outputOf(t, "plan", filepath.Join(patients, "first-visit.toml"), "--json"))
	conforms(t, "plan.schema.json", outputOf(t, "plan", filepath.Join(patients, "second-visit.toml"),
		"--stock", filepath.Join("..", "..", "testdata", "stock.toml"), "--json"))
}

func TestPlanTrialKeepsItsSchema(t *testing.T) {
	out, _ := playedTrial(t, 20, false, plan.Setups(), "--json")
	conforms(t, "plan-trial.schema.json", []byte(out))
}

func TestExplainKeepsItsSchema(t *testing.T) {
	folder := filepath.Join("..", "..", "testdata")
	conforms(t, "explain.schema.json", outputOf(t, "explain", filepath.Join(folder, "patients", "leaks-at-high-pressure.toml"), "--json"))
	for _, file := range []string{"rising.csv", "below-the-vent.csv", "one-pressure.csv", "through-a-night.csv"} {
		conforms(t, "explain.schema.json", outputOf(t, "explain", filepath.Join(folder, "readings", file), "--mask", "nasal", "--size", "medium", "--json"))
	}
}

// TestEveryVerbsDrawsKeepTheirSchema: what draws add is described wherever they are asked.
func TestEveryVerbsDrawsKeepTheirSchema(t *testing.T) {
	folder := filepath.Join("..", "..", "testdata")
	for schema, args := range map[string][]string{
		"breath":     {"breath", filepath.Join(folder, "scenarios", "breath", "mouth-leak.toml")},
		"explain":    {"explain", filepath.Join(folder, "patients", "leaks-at-high-pressure.toml")},
		"plan":       {"plan", filepath.Join(folder, "patients", "second-visit.toml")},
		"population": {"population", example("population"), "--n", "20"},
		"night":      {"night", example("night-on-the-side"), "--nights", "2"},
		"sweep":      {"sweep", example("fits")},
	} {
		out := outputOf(t, append(args, "--draws", "2", "--seed", "3", "--json")...)
		conforms(t, schema+".schema.json", out)
		if !bytes.Contains(out, []byte(`"verdicts": [`)) {
			t.Errorf("%s has no draws in its answer", schema)
		}
	}
}
