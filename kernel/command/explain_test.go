package command

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every example file is explained, in JSON that keeps its schema.
func TestExplainKeepsItsSchema(t *testing.T) {
	data := filepath.Join("..", "..", "testdata")
	files, err := filepath.Glob(filepath.Join(data, "readings", "*.csv"))
	if err != nil || len(files) < 4 {
		t.Fatalf("no example readings: %v", err)
	}
	for _, f := range files {
		conforms(t, "explain.schema.json", outputOf(t, "explain", f, "--mask", "nasal", "--size", "medium", "--lips-closed", "no change", "--json"))
	}
	conforms(t, "explain.schema.json", outputOf(t, "explain", filepath.Join(data, "patients", "leaks-at-high-pressure.toml"), "--json"))
}

// A shelf of example files without the word that they are invented would be
// taken for data.
func TestExampleReadingsSayThatTheyAreInvented(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join("..", "..", "testdata", "readings", "*.csv"))
	for _, f := range files {
		if data, err := os.ReadFile(f); err != nil || !strings.Contains(string(data), "invented") {
			t.Errorf("%s does not say that its patient is invented (%v)", f, err)
		}
	}
}
