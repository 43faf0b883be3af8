package engine

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"
)

// Any text gives a value or a sentence, never a fault of the engine itself.
func FuzzCell(f *testing.F) {
	for _, cell := range []string{"x := 1", "fit.At(12*CmH2O)", "func f() int {", "type T struct { a int }\nT{1}",
		"for i := range 3 { println(i) }", "import (\n\"fmt\"\n)", "min(1, 2.5)", "label: for { break label }",
		"var a, b = 1, \"x\"", "x, y := 1", "const c = iota", "switch x := any(1).(type) { case int: x }", "`", "N = ", "_ = 3*N"} {
		f.Add(cell)
	}
	f.Fuzz(func(t *testing.T, cell string) {
		if strings.Contains(cell, "make") || strings.Contains(cell, "recover") {
			return // a large make or a caught interrupt would stop the test, not the engine
		}
		var out bytes.Buffer
		e, err := New(testWords(), &out)
		if err != nil {
			t.Fatal(err)
		}
		defer e.Close()
		ctx, cancel := context.WithTimeout(context.Background(), 200*time.Millisecond)
		defer cancel()
		_, _, err = e.Run(ctx, cell)
		if err != nil && strings.Contains(err.Error(), "engine itself failed") {
			t.Errorf("%q: %v", cell, err)
		}
	})
}
