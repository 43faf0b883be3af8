package scenario

import (
	"math"
	"os"
	"testing"
)

// FuzzParse holds what is true of every file: it is read or refused without a
// panic; a refusal names the file in each of its lines; and what was read can
// be asked, with every number finite and inside its range.
func FuzzParse(f *testing.F) {
	for _, file := range exampleFiles(f) {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Parse("s.toml", data, nil)
		if err != nil {
			named(t, "s.toml", err)
			return
		}
		if err := s.Question.Check(); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Question.Case.Problem(); err != nil {
			t.Fatal(err)
		}
		for _, p := range Inputs(s) {
			if math.IsNaN(p.Value) || math.IsInf(p.Value, 0) || p.Check(p.SI()) != nil {
				t.Fatalf("%s is %v", p.Name, p)
			}
		}
	})
}
