package engine

import (
	"strings"
	"testing"
)

func TestNames(t *testing.T) {
	for _, c := range []struct{ code, gives, uses string }{
		{`mask := Mask("nasal", "medium")`, "mask", "Mask"},
		{"fit := PutOn(mask, face, Straps(3*N))", "fit", "N PutOn Straps face mask"},
		{"fit.At(12*CmH2O)", "", "CmH2O fit"},
		{"x = x + 1", "x", "x"},
		{"x++", "x", "x"},
		{"a, b := f()", "a b", "f"},
		{"a[i] = 2", "a", "a i"},
		{"p.q.r = 2", "p", "p"},
		{"var y float64 = z", "y", "float64 z"},
		{"func f(a int) int { return a + k }", "f", "a int k"},
		{"type T struct { n int }", "T", "int n"},
		{"import \"math\"\nmath.Sqrt(2)", "", "math"},
		{"for i := 0; i < 3; i++ { total = total + i }", "total", "i total"},
		{"Live(Slider(\"straps\", 1*N, 8*N), func(f Force) any { return PutOn(mask, face, Straps(f)) })", "", "Force Live N PutOn Slider Straps any f face mask"},
		{"func f()", "f", ""},
		{"x := ", "", ""},
		{"", "", ""},
	} {
		gives, uses := Names(c.code)
		if g, u := strings.Join(gives, " "), strings.Join(uses, " "); g != c.gives || u != c.uses {
			t.Errorf("%s: gives %q, uses %q", c.code, g, u)
		}
	}
}
