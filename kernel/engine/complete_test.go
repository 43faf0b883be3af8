package engine

import (
	"context"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// answers is what completion offers where the bar stands in a cell.
func answers(e *Engine, cell string) (matches []string, replaced string) {
	before, after, _ := strings.Cut(cell, "|")
	code := before + after
	matches, start, end := e.Complete(code, utf8.RuneCountInString(before))
	return matches, string([]rune(code)[start:end])
}

func taughtEngine(t *testing.T) *Engine {
	e, _ := newEngine(t)
	e.Teach(Help{Strings: map[string][][]string{"PutOn": {{"full face", "nasal"}, {"large"}}}})
	cell := "import (\"math\"; \"strings\")\n" +
		"type pair struct { Seat; Left, Right []Seat; note string }\n" +
		"func (p *pair) Both() map[string]Seat { return nil }\n" +
		"seats := []Seat{{3*N}}; both := pair{}; µm := 3*N; f := func() (pair, error) { return both, nil }"
	if _, _, err := e.Run(context.Background(), cell); err != nil {
		t.Fatal(err)
	}
	return e
}

func TestComplete(t *testing.T) {
	e := taughtEngine(t)
	for _, c := range []struct{ cell, first, replaced string }{
		{"Str|", "Straps", "Str"},
		{"str|", "string strings struct Straps", "str"},
		{"sea|", "seats", "sea"},
		{"µ|", "µm", "µ"},
		{"seats[0].|", "At Loosen Pull", ""},
		{"seats[0].P|", "Pull", "P"},
		{"seats[0].|\nfmt.Println(3)", "At Loosen Pull", ""},
		{"PutOn(\"nasal\", 3*N).|", "At Loosen Pull", ""},
		{"PutOn(\"nasal\", 3*N).\n\t|", "At Loosen Pull", ""},
		{"both.Both()[\"a\"].|", "At Loosen Pull", ""},
		{"both.|", "At Both Left Loosen Pull Right Seat note", ""},
		{"both.Left[0].Pull.|", "String", ""},
		{"x, _ := f(); x.Rig|", "Right", "Rig"},
		{"for i, s := range seats { if s.|", "At Loosen Pull", ""},
		{"for _, s := range seats {\n\ts.|\n}", "At Loosen Pull", ""},
		{"func g(seat Seat) Force { return seat.|", "At Loosen Pull", ""},
		{"func g(seat Seat) Force { return sea|", "seat seats", "sea"},
		{"Each(func(pull Force) any { return pul|", "pull", "pul"},
		{"\"µ́😀\"; math.Sq|", "Sqrt Sqrt2 SqrtE SqrtPhi SqrtPi", "Sq"},
		{"(&both).Sea|", "Seat", "Sea"},
		{"Straps(3*|", "N µm Straps", ""},
		{"Straps(|", "N µm Straps", ""},
		{"PutOn(\"nasal\", 3*|)", "N µm Straps", ""},
		{"seats[0].At(12*|", "CmH2O", ""},
		{"PutOn(\"|", "full face nasal", ""},
		{"PutOn(\"na|\", 3*N)", "nasal", "na"},
		{"PutOn(\"face|\", 3*N)", "full face", "face"},
		{"PutOn(Pick([]string{\"a\", \"b\"}), \"|", "large", ""},
		{"import \"gonum.org/v1/gonum/st|", "gonum.org/v1/gonum/stat", "gonum.org/v1/gonum/st"},
		{"12|", "", ""}, {"12.|", "", ""}, {"// Str|", "", ""}, {"/* Str|", "", ""}, {"'S|", "", ""},
		{"\"Str|", "", "Str"}, {"nothing.|", "", ""}, {"seats[0].x|", "", "x"},
		{"a)]} Str|", "", "Str"}, {"", "", ""},
		{"Straps(3*N)|", "", ""},
	} {
		got, replaced := answers(e, c.cell)
		if text := strings.Join(got, " "); !strings.HasPrefix(text+" ", strings.TrimSpace(c.first+" ")) || replaced != c.replaced {
			t.Errorf("%q: %.80q for %q", c.cell, text, replaced)
		}
	}
}

func TestCompleteLeavesOutWhatCannotBeTyped(t *testing.T) {
	e := taughtEngine(t)
	for _, cell := range []string{"|", "both.|", "math.|", "g|", "x := |"} {
		got, _ := answers(e, cell)
		for _, name := range got {
			if !isName(name) || name == stand || name == "go" || name == "Mimebundle" {
				t.Errorf("%q offers %q", cell, name)
			}
		}
	}
}

// What a running cell does not hold up, and what its own declarations do not
// reach yet.
func TestCompleteWhileACellRuns(t *testing.T) {
	e := taughtEngine(t)
	ctx, cancel := context.WithCancel(context.Background())
	over := make(chan bool)
	go func() {
		e.Run(ctx, "later := 3*N; for { later += 1*N }")
		close(over)
	}()
	for range 50 {
		if got, _ := answers(e, "seats[0].Pu|"); !slices.Equal(got, []string{"Pull"}) {
			t.Errorf("offers %q", got)
		}
	}
	cancel()
	<-over
}

func TestCompleteClampsTheCursor(t *testing.T) {
	e := taughtEngine(t)
	for _, cursor := range []int{-5, 0, 3, 4, 1000} {
		_, start, end := e.Complete("µ😀N", cursor)
		if start < 0 || start > end || end > 3 {
			t.Errorf("at %d: %d to %d", cursor, start, end)
		}
	}
}

func FuzzComplete(f *testing.F) {
	for _, cell := range []string{"Straps(3*", "seats[0].", "for i := range seats { seats[i].", "type t struct { a t }; var x t; x.",
		"func f[T any](x T) { x.", "import \"ma", "switch x := seats[0].(type) { case Se", "L: for { goto ", "/*", "`"} {
		f.Add(cell, len(cell))
	}
	e, err := New(testWords(), &strings.Builder{})
	if err != nil {
		f.Fatal(err)
	}
	e.Run(context.Background(), "seats := []Seat{{3*N}}")
	f.Fuzz(func(t *testing.T, code string, cursor int) {
		_, start, end := e.Complete(code, cursor)
		if start < 0 || start > end || end > utf8.RuneCountInString(code) {
			t.Errorf("%q at %d: %d to %d", code, cursor, start, end)
		}
		e.Inspect(code, cursor, 1)
		e.Page(code)
	})
}
