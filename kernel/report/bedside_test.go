package report_test

import (
	"context"
	"strings"
	"testing"

	"tautline/kernel/minute"
	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/mask"
	"tautline/model/unit"
)

// forms goes through every kind of answer that the first minute has.
func forms() (out []minute.Form) {
	for i := range 60 {
		f := minute.Form{Type: mask.Types()[i%3], Size: mask.Sizes()[i/3%3], Highest: unit.Pressure(8+i%14) * unit.CmH2O,
			Vented: scenario.Yes, Implants: scenario.No, Leak: unit.Flow(i%5) * 15 * unit.LPerMin, LeakIs: minute.Figure(i % 3),
			Straps: []string{"", "loose", "snug", "tight"}[i%4], Air: minute.Place(i % 9), Mouth: scenario.Answer(i % 3),
			Oxygen: scenario.Answer(i / 2 % 3), Limit: 20 * unit.LPerMin, Line: 70 * unit.MmHg}
		switch i % 10 {
		case 5:
			f.Skin = minute.Skin(i / 10 % 5)
		case 6:
			f.Vented = scenario.No
		case 7:
			f.Implants = scenario.Yes
		case 8:
			f.Type = ""
		case 9:
			f.Danger = scenario.Yes
		}
		if i%2 == 0 {
			f.Position, f.Face, f.LeakIs = "on the back", "high bridge", minute.Unintentional
		}
		out = append(out, f)
	}
	return out
}

func TestEveryBedsideSentence(t *testing.T) {
	met := map[minute.Kind]bool{}
	for _, f := range forms() {
		a, err := minute.Ask(context.Background(), f)
		if err != nil {
			t.Fatalf("%+v: %v", f, err)
		}
		met[a.Kind] = true
		step := report.BedsideStep(a)
		text := strings.Join(append(append([]string{report.BedsideLine(a), step, report.BedsideAfterwards(a)}, append(report.BedsideNotes(a), report.BedsideWhy(a)...)...), report.BedsideLater(a)...), " ")
		if found := never.FindString(text); found != "" {
			t.Errorf("an answer says %q: %s", found, text)
		}
		if step == "" || strings.Contains(strings.ToLower(step), "tighten") || strings.Contains(step, "straps in ") {
			t.Errorf("kind %d: the next step is %q", a.Kind, step)
		}
		if !strings.HasPrefix(report.BedsideAfterwards(a), "Afterwards") || strings.Contains(text, "%!") {
			t.Errorf("kind %d: %s", a.Kind, text)
		}
		for _, row := range report.BedsideRows(f) {
			if row[1] == "" {
				t.Errorf("nothing stands beside %q", row[0])
			}
		}
	}
	for k := minute.Stop; k <= minute.LeaveIt; k++ {
		if !met[k] {
			t.Errorf("no form met kind %d: its sentence was not read", k)
		}
	}
}
