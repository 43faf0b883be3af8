package scenario

import (
	"strings"
	"testing"
)

var tabbed = strings.Replace(minimal, `force = "3 N"`, `tabs = "12 mm"`, 1)

// TestTabsAreAGuess: straps taken in by millimetres give a pull and the range
// that it may really lie in.
func TestTabsAreAGuess(t *testing.T) {
	s, err := Parse("tabs.toml", []byte(tabbed), nil)
	if err != nil {
		t.Fatal(err)
	}
	pull, g := s.Question.Case.Straps.Pull, s.Question.Guess
	if !(g[0] < pull && pull < g[1]) || g[1]/g[0] < 1.9 || g[1]/g[0] > 2.1 {
		t.Errorf("12 mm pull with %v, from %v to %v", pull, g[0], g[1])
	}
}

func TestTabsAreRefused(t *testing.T) {
	for wrong, want := range map[string]string{
		`tabs = "12 N"`:                        "a length is wanted",
		`tabs = "12 mm"` + "\nforce = \"3 N\"": "keep one of the two",
		`tabs = "200 mm"`:                      "tabs taken in is 200 mm",
		`tabs = "0 mm"`:                        "tabs taken in is 0 mm",
	} {
		_, err := Parse("tabs.toml", []byte(strings.Replace(tabbed, `tabs = "12 mm"`, wrong, 1)), nil)
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "not known") {
			t.Errorf("%s: %v", wrong, err)
		}
	}
}
