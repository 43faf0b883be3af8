package engine

import (
	"strings"
	"testing"
	"unicode/utf8"
)

func aboutEngine(t *testing.T) *Engine {
	e := taughtEngine(t)
	e.Teach(Help{Docs: map[string]Doc{
		"Straps": {Text: "Straps sets the pull.", Sign: "Straps(pull Force) Force", Equation: "sum of a < b", Unit: "newtons",
			Range: "0.05 to 60 N", Source: "assumed", Example: "Straps(3*N)"},
		"Seat": {Text: "A Seat is a seat."}, "Seat.Pull": {Text: "How hard it is pulled."}}})
	return e
}

func TestInspect(t *testing.T) {
	e := aboutEngine(t)
	for _, c := range []struct{ cell, want string }{
		{"Str|aps(3*N)", "Straps(pull Force) Force\nStraps sets the pull.\nequation: sum of a < b\nunit: newtons\nvalid range: 0.05 to 60 N\nsource: assumed\nexample: Straps(3*N)"},
		{"Straps(|", "Straps(pull Force) Force\nStraps sets the pull."},
		{"Straps(3*|)", "Straps(pull Force) Force\nStraps sets the pull."},
		{"PutOn(\"na|", "PutOn(string, Force) Seat"},
		{"seats[0].Pu|ll", "Pull Force\nHow hard it is pulled.\nunit: a force, written like 3*N"},
		{"both.Pull|", "Pull Force\nHow hard it is pulled."},
		{"seats[0].At(|", "At(Pressure) string\nunit: a pressure, written like 12*CmH2O"},
		{"N|", "N: a unit of force, such as in 3*N"},
		{"µm|", "µm Force\nunit: a force, written like 3*N"},
		{"math|.Pi", "package math (math)\nhas Abs, "},
		{"Seat|", "type Seat\nA Seat is a seat.\ncan be read out of it: At, Loosen, Pull"},
		{"for _, s := range seats { s|", "s Seat\nA Seat is a seat."},
		{"nobody|", ""}, {"seats[0].nobody|", ""}, {"|", ""}, {"3|", ""}, {"// Straps|", ""},
	} {
		before, after, _ := strings.Cut(c.cell, "|")
		got, ok := e.Inspect(before+after, utf8.RuneCountInString(before), 0)
		if ok != (c.want != "") || !strings.HasPrefix(got.Text, c.want) {
			t.Errorf("%q: %q", c.cell, got.Text)
		}
		if strings.Contains(got.HTML, "a < b") || ok && !strings.HasPrefix(got.HTML, "<p><code>") {
			t.Errorf("%q: %s", c.cell, got.HTML)
		}
	}
}

func TestPage(t *testing.T) {
	e := aboutEngine(t)
	for _, c := range []struct{ cell, want string }{
		{"?Straps", "Straps(pull Force)"},
		{" Straps?\n", "Straps(pull Force)"},
		{"??seats[0].Pull", "Pull Force"},
		{"?seats", "seats []Seat"},
		{"?Stapsr", "nothing is called Stapsr here; did you mean Straps?"},
		{"?seats[0].Pul", "Pul cannot be read out of a Seat; did you mean Pull?"},
		{"?", "?name tells what a name means"},
		{"?3*", "3* is not a name"},
		{"?<b>", "<b> is not a name"},
	} {
		name, ok := Asked(c.cell)
		got := e.Page(name)
		if !ok || !strings.HasPrefix(got.Text, c.want) || strings.Contains(got.HTML, "<b>") && c.cell == "?<b>" {
			t.Errorf("%q: %q", c.cell, got)
		}
	}
	for _, cell := range []string{"Straps(3*N)", "", "x := \"?\"; x", "a?b", "?a\n?b", "// why?", "x := 3 // or 4?", "\"why?"} {
		if name, ok := Asked(cell); ok {
			t.Errorf("%q asks for %q", cell, name)
		}
	}
}
