package report

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestWrapKeepsWordsAndWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[a-zé]{1,20}`)).Draw(t, "words")
		text := strings.Join(words, " ")
		out := Wrap(text, "  ")
		if strings.Join(strings.Fields(out), " ") != text {
			t.Fatalf("%q became %q", text, out)
		}
		for _, line := range strings.Split(out, "\n") {
			if columns(line) > Width {
				t.Fatalf("%q is wider than %d", line, Width)
			}
		}
	})
}

func TestColourTakesNoRoom(t *testing.T) {
	ink := Ink{Colour: true}
	plain := Columns("  ", [][]string{{"a", "12"}, {"bcd", "3"}})
	bold := Columns("  ", [][]string{{ink.Bold("a"), "12"}, {"bcd", ink.Warn("3")}})
	strip := strings.NewReplacer("\x1b[1m", "", "\x1b[33m", "", "\x1b[0m", "")
	if strip.Replace(bold) != plain {
		t.Errorf("%q against %q", bold, plain)
	}
	if (Ink{}).Warn("x") != "x" {
		t.Error("plain ink colours")
	}
}
