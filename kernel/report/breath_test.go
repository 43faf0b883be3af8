package report_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"tautline/kernel/report"
	"tautline/model/airway"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// breaths goes through masks, levels, mouths and leaks, so that every template
// of a sentence about a breath is met.
func breaths(t *testing.T) (out []report.BreathAnswer) {
	t.Helper()
	for i := range 54 {
		m, err := mask.Find(mask.Types()[i%3], "medium")
		if err != nil {
			t.Fatal(err)
		}
		c := fit.NewCase(m, face.Average(), []unit.Force{2, 4}[i%2], fit.Positions()[i%4])
		low := []unit.Pressure{4, 8, 14}[i/3%3] * unit.CmH2O
		s := airway.NewSetup(airway.Constant(low))
		if i%5 == 0 {
			s.Source = airway.TwoLevels(low, low+10*unit.CmH2O)
		}
		s.Mouth = s.Mouth.Behind(m.Type)
		s.Mouth.Open, s.Mouth.Palate = i/9%2 == 0, i%7 != 0
		if i/18 == 1 {
			s.Mouth = s.Mouth.WithChinStrap()
		}
		s.TestLeak = airway.TestLeak{At10: unit.Flow(10*(i%4)) * unit.LPerMin, When: airway.Whens()[i%3]}
		if i%11 == 0 {
			c.Mask.Vent = c.Mask.Vent.Blocked(0.9)
		}
		on, err := fit.PutOn(c)
		if err != nil {
			t.Fatal(err)
		}
		r, err := airway.Run(on, s)
		if err != nil {
			t.Errorf("case %d: %v", i, err)
			continue
		}
		out = append(out, report.BreathAnswer{Question: fit.Question{Case: c}, Result: r})
	}
	return out
}

func TestEverySentenceOfABreath(t *testing.T) {
	for _, a := range breaths(t) {
		text := a.Text(report.Ink{})
		for _, line := range strings.Split(text, "\n") {
			if n := utf8.RuneCountInString(line); n > report.Width {
				t.Errorf("%d columns: %s", n, line)
			}
		}
		flat := strings.Join(strings.Fields(text), " ")
		if found := never.FindString(flat); found != "" {
			t.Errorf("an answer says %q: %s", found, flat)
		}
		for _, must := range []string{"vented mask", "not a medical device", "Afterwards: look"} {
			if !strings.Contains(flat, must) {
				t.Errorf("an answer comes without %q", must)
			}
		}
		if strings.Contains(flat, "NaN") || strings.Contains(flat, "Inf") || strings.Contains(flat, "%!") {
			t.Errorf("an answer holds what is no number: %s", flat)
		}
	}
	for w := airway.BelowWashout; w <= airway.MachineBreathes; w++ {
		if report.BreathWarning(w) == "" {
			t.Errorf("warning %d is not said", w)
		}
	}
}
