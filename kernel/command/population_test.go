package command

import (
	"os"
	"path/filepath"
	"testing"
)

func TestPopulationKeepsItsSchema(t *testing.T) {
	scenarios := filepath.Join("..", "..", "testdata", "scenarios")
	for _, args := range [][]string{{"population", "--n", "80"}, {"population", "--n", "1"},
		{"too-tight", "--n", "30"}, {"no-window-by-the-line", "--n", "30"}} {
		args = append([]string{"population", filepath.Join(scenarios, args[0]+".toml"), "--json"}, args[1:]...)
		conforms(t, "population.schema.json", outputOf(t, args...))
	}
	folder := t.TempDir()
	outputOf(t, "population", filepath.Join(scenarios, "population.toml"), "--n", "40", "--parts", "2", "--out", folder)
	parts, err := filepath.Glob(filepath.Join(folder, "*"))
	if err != nil || len(parts) != 2 {
		t.Fatalf("%d files in the folder of parts (%v), want 2", len(parts), err)
	}
	for _, path := range parts {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		conforms(t, "population-part.schema.json", data)
	}
}
