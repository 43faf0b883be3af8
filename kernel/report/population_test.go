package report_test

import (
	"context"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"tautline/kernel/report"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/population"
	"tautline/model/skin"
	"tautline/model/unit"
)

// peopled asks of few and many faces, easily and hardly fitted, of one type
// and of all, so that every sentence about a population is met.
func peopled(t *testing.T) (out []population.Answer) {
	t.Helper()
	m, err := mask.Find(mask.Oronasal, "medium")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		faces      int
		mmHg, high float64
		leak       float64
		types      []mask.Type
	}{{1, 70, 12, 20, nil}, {60, 90, 12, 20, nil}, {150, 45, 20, 5, nil}, {40, 10, 20, 1, nil},
		{60, 50, 55, 0.2, []mask.Type{mask.Oronasal}}, {60, 200, 55, 0.2, []mask.Type{mask.Oronasal}}} {
		line, err := skin.Chosen(unit.Pressure(c.mmHg) * unit.MmHg)
		if err != nil {
			t.Fatal(err)
		}
		at, _ := fit.FindPosition("on the back")
		q := population.Usual(fit.Question{Case: fit.NewCase(m, face.Average(), 5, at), Pressure: 10 * unit.CmH2O,
			Range: [2]unit.Pressure{6 * unit.CmH2O, unit.Pressure(c.high) * unit.CmH2O}, Limit: unit.Flow(c.leak) * unit.LPerMin,
			Line: line, Worn: 7 * unit.Hour, Between: fit.UsualBetween()})
		q.Faces, q.Types = c.faces, c.types
		a, err := population.Ask(context.Background(), q)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, a)
	}
	return out
}

// TestPopulationSentences holds every answer to what none may say, to 80
// columns, to its cautions and to saying whose faces these are.
func TestPopulationSentences(t *testing.T) {
	everything := ""
	for _, a := range peopled(t) {
		text := report.PopulationText(a, report.Ink{})
		for _, line := range strings.Split(text, "\n") {
			if n := utf8.RuneCountInString(line); n > report.Width {
				t.Errorf("%d columns: %s", n, line)
			}
		}
		flat := strings.Join(strings.Fields(text), " ")
		if found := never.FindString(flat); found != "" {
			t.Errorf("an answer says %q: %s", found, flat)
		}
		if bad := regexp.MustCompile(`NaN|Inf|%!|\(EXTRA`).FindString(flat); bad != "" {
			t.Errorf("an answer holds %q: %s", bad, flat)
		}
		for _, wanted := range []string{"vented mask", "not a medical device", "soldiers, not of sleep patients", "Afterwards: "} {
			if !strings.Contains(flat, wanted) {
				t.Errorf("an answer comes without %q: %s", wanted, flat)
			}
		}
		everything += flat
	}
	for _, template := range []string{"Another size of it would do", "sealing goes past the line", "no strap force looked at seals (shape)",
		"None of these types has a window on", "Every face has a window", "the searched size table would serve", "no size table was found"} {
		if !strings.Contains(everything, template) {
			t.Errorf("no answer met the sentence with %q", template)
		}
	}
}
