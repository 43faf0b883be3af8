package report_test

import (
	"context"
	"errors"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"tautline/kernel/report"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/skin"
	"tautline/model/uncertainty"
	"tautline/model/unit"
)

// never holds what no answer may say: a promise, a diagnosis, a setting.
var never = regexp.MustCompile(`(?i)\b(safe|safely|good fit|bad fit|perfect|zero leak|no leak|is normal|stage [1-4i]|` +
	`cover the vent|(raise|lower|increase|decrease|reduce|turn (up|down)) the (set )?pressure|confirmed|needs a full face|` +
	`tape|best strap force|is due|can stand|diagnos\w*|guarantee\w*)\b`)

// questions goes through types, faces, positions, forces and lines, so that
// every template of a sentence is met.
func questions(t *testing.T) (out []fit.Question) {
	t.Helper()
	capillary, _ := skin.FindLine("capillary")
	muscle, _ := skin.FindLine("muscle")
	own, err := skin.Chosen(70 * unit.MmHg)
	if err != nil {
		t.Fatal(err)
	}
	faces := face.Catalogue()
	for i := range 45 {
		m, err := mask.Find(mask.Types()[i%3], mask.Sizes()[i/3%3])
		if err != nil {
			t.Fatal(err)
		}
		pull := []unit.Force{1, 3, 5, 9}[i%4]
		q := fit.Question{Case: fit.NewCase(m, faces[i%len(faces)], pull, fit.Positions()[i%4]),
			Pressure: 10 * unit.CmH2O, Range: [2]unit.Pressure{4 * unit.CmH2O, 18 * unit.CmH2O},
			Limit: 20 * unit.LPerMin, Line: []skin.Line{own, capillary, muscle}[i%3], Worn: 7 * unit.Hour,
			Between: fit.UsualBetween()}
		switch i % 3 {
		case 0:
			q.Guess = [2]unit.Force{pull / 2, pull * 1.5}
		case 1:
			q.Case.Cushion.Days = 200 * unit.Day
			q.Axes = []fit.Axis{{Variable: fit.BySize, Names: mask.Sizes()}, {Variable: fit.ByStraps, Numbers: []float64{2, 4}}}
		case 2:
			q.Axes = []fit.Axis{{Variable: fit.ByPressure, Numbers: []float64{500, 1000, 1500}}}
		}
		out = append(out, q)
	}
	return out
}

func TestEverySentence(t *testing.T) {
	verdicts := map[fit.Verdict]int{}
	for _, q := range questions(t) {
		a, err := fit.Ask(context.Background(), q)
		if err != nil {
			t.Errorf("%s, %s: %v", q.Case.Mask.Name, q.Case.Face.Name, err)
			continue
		}
		verdicts[a.Verdict]++
		text := report.SweepText(a, report.Ink{})
		for _, line := range strings.Split(text, "\n") {
			if n := utf8.RuneCountInString(line); n > report.Width {
				t.Errorf("%d columns: %s", n, line)
			}
		}
		flat := strings.Join(strings.Fields(text+" "+report.PointSentence(a.Now, q.Case.Position.Name)), " ")
		if found := never.FindString(flat); found != "" {
			t.Errorf("an answer says %q: %s", found, flat)
		}
		if !strings.Contains(flat, "vented mask") || !strings.Contains(flat, "not a medical device") {
			t.Error("an answer comes without its cautions")
		}
		if bad := regexp.MustCompile(`NaN|Inf|%!|\(EXTRA`).FindString(flat); bad != "" {
			t.Errorf("an answer holds %q: %s", bad, flat)
		}
		for i, s := range report.Options(a) {
			if i == 0 && strings.Contains(s, "straps in") {
				t.Errorf("tightening comes first: %s", s)
			}
		}
	}
	for _, v := range []fit.Verdict{fit.Holds, fit.Opens, fit.TooTight, fit.EmptyByShape, fit.EmptyByLine} {
		if verdicts[v] == 0 {
			t.Errorf("no question met verdict %d: its sentences were not read", v)
		}
	}
}

// TestEveryDrawnSentence reads what draws add, for some of the questions.
func TestEveryDrawnSentence(t *testing.T) {
	for i, q := range questions(t) {
		if i%5 != 0 {
			continue
		}
		r, err := uncertainty.AskFit(context.Background(), q, uncertainty.Nothing, uncertainty.Plan{Draws: 8, Seed: uint64(i)})
		if errors.Is(err, seal.ErrTips) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		text := report.DrawsText(r, report.FitDraws, report.Ink{})
		for _, line := range strings.Split(text, "\n") {
			if n := utf8.RuneCountInString(line); n > report.Width {
				t.Errorf("%d columns: %s", n, line)
			}
		}
		if bad := never.FindString(text) + regexp.MustCompile(`NaN|Inf|%!|\(EXTRA|guess for [a-z ]*(modulus|thickness)`).FindString(text); bad != "" {
			t.Errorf("draws say %q: %s", bad, text)
		}
	}
}

func TestCautionsAreWhole(t *testing.T) {
	text := strings.ToLower(report.CautionsText(report.Ink{}))
	for _, word := range []string{"vent", "magnets", "oxygen", "anti-asphyxia", "vomiting", "drows", "confus",
		"saturation", "skin", "eye pain", "surgery", "under 18", "unaided", "without the machine", "clinician"} {
		if !strings.Contains(text, word) {
			t.Errorf("the cautions do not mention %q", word)
		}
	}
}
