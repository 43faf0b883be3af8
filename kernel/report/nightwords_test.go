package report_test

import (
	"context"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"tautline/kernel/report"
	"tautline/model/airway"
	"tautline/model/night"
	"tautline/model/unit"
)

// Every sentence about nights and care, over types, faces, forces, mouths and
// lines, holds to the list and to the width of a page.
func TestEveryNightSentence(t *testing.T) {
	for i, from := range questions(t) {
		if i%3 != i/3%3 && i > 20 {
			continue // every type still meets every line
		}
		q := night.Question{Case: from.Case, Pressure: from.Range[1], Limit: from.Limit, Line: from.Line,
			Statistic: night.Statistics()[i%4], Hours: 2 * unit.Hour, Nights: 1 + 10*(i%2), Seed: uint64(i), Habits: night.UsualHabits()}
		q.Habits.CutOut = i%2 == 0
		q.Case.Hose.Pull = unit.Force(i%3) / 4
		switch i % 4 {
		case 1:
			q = q.WithMouth(airway.ClosedMouth().WithChinStrap())
		case 2:
			q = q.WithMouth(airway.OpenMouth())
		}
		a, err := night.Ask(context.Background(), q)
		if err != nil {
			t.Errorf("%s, %s: %v", q.Case.Mask.Name, q.Case.Face.Name, err)
			continue
		}
		holdsToTheList(t, report.NightText(a, report.Ink{}))
		if i%9 > 0 {
			continue
		}
		c, err := night.Care(context.Background(), night.CareQuestion{Case: q.Case, Pressure: q.Pressure, Limit: q.Limit,
			Days: 60 * unit.Day, Plans: night.UsualPlans()})
		if err != nil {
			t.Errorf("care of %s: %v", q.Case.Mask.Name, err)
			continue
		}
		holdsToTheList(t, report.CareText(c, report.Ink{}))
	}
}

var broken = regexp.MustCompile(`NaN|Inf|%!|\(EXTRA|under hardly|, ,`)

func holdsToTheList(t *testing.T, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > report.Width {
			t.Errorf("%d columns: %s", n, line)
		}
	}
	flat := strings.Join(strings.Fields(text), " ")
	for _, bad := range []*regexp.Regexp{never, broken} {
		if found := bad.FindString(flat); found != "" {
			t.Errorf("an answer says %q: %s", found, flat)
		}
	}
	for _, part := range []string{"vented mask", "not a medical device", "Afterwards:"} {
		if !strings.Contains(flat, part) {
			t.Errorf("an answer comes without %q", part)
		}
	}
}
