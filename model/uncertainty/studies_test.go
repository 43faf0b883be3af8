package uncertainty

import (
	"context"
	"strings"
	"testing"

	"tautline/model/airway"
	"tautline/model/explain"
	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/night"
	"tautline/model/plan"
	"tautline/model/population"
	"tautline/model/unit"
)

// holdStudy runs a few draws of any study and looks at what must always hold.
func holdStudy[Q any](t *testing.T, s Study[Q], draws int) Result {
	t.Helper()
	r, err := s.Run(context.Background(), Plan{Draws: draws, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	sum := r.Tipped + r.Failed
	for _, v := range r.Verdicts {
		sum += v.Draws
	}
	if sum != draws || r.Failed > 0 || len(r.Bands) != len(s.Quantities) || len(r.Inputs) == 0 {
		t.Errorf("%d of %d draws accounted for, %d failed (%v), %d bands, %d inputs", sum, draws, r.Failed, r.Why, len(r.Bands), len(r.Inputs))
	}
	seen := map[string]bool{}
	for _, in := range r.Inputs {
		if seen[in.Parameter.Name] {
			t.Errorf("%s is drawn twice", in.Parameter.Name)
		}
		seen[in.Parameter.Name] = true
	}
	return r
}

// TestBreathStudy: the lips decide whether air leaves by the mouth.
func TestBreathStudy(t *testing.T) {
	q := question(t, mask.Nasal, "average", 4)
	r := holdStudy(t, BreathStudy(Breath{q.Case, airway.NewSetup(airway.Constant(8 * unit.CmH2O))}, Nothing), 60)
	if len(r.Leading) == 0 || r.Inputs[r.Leading[0].Input].Parameter.Name != airway.LipsRecord.Name {
		t.Errorf("at 8 cmH2O the mouth leak hangs on %+v", r.Leading)
	}
}

func TestNightStudy(t *testing.T) {
	q := question(t, mask.Nasal, "narrow bridge", 3)
	holdStudy(t, NightStudy(context.Background(), night.Question{Case: q.Case, Pressure: 12 * unit.CmH2O, Limit: 20 * unit.LPerMin,
		Statistic: night.Statistics()[0], Line: q.Line, Hours: 2 * unit.Hour, Nights: 3, Seed: 1, Habits: night.UsualHabits()}, Nothing), 4)
}

func TestExplainStudy(t *testing.T) {
	m, err := mask.Find(mask.Nasal, "medium")
	if err != nil {
		t.Fatal(err)
	}
	q := explain.Question{Mask: m, Seed: 1, Draws: 200}
	for i, leak := range []unit.Flow{2, 3, 5, 14, 26} {
		q.Readings = append(q.Readings, explain.Reading{Pressure: unit.Pressure(6+2*i) * unit.CmH2O, Flow: leak * unit.LPerMin})
	}
	q.Which = explain.Unintentional
	holdStudy(t, ExplainStudy(context.Background(), q, explain.UsualPriors()), 4)
}

func TestPlanStudy(t *testing.T) {
	f := question(t, mask.Nasal, face.Average().Name, 3)
	q := plan.Question{Range: f.Range, Limit: f.Limit, Line: f.Line, Position: f.Case.Position, Seed: 1, People: 200}
	for _, kind := range mask.Types() {
		q.Stock = append(q.Stock, plan.Item{Type: kind, Size: "medium", Vented: true, Count: 1})
	}
	a, err := plan.Plan(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	first, err := plan.First(context.Background(), q)
	if err != nil || first.Choices[0].Setting != a.Choices[0].Setting || first.Planned.Visits != a.Planned.Visits {
		t.Errorf("what comes first differs when nothing else is asked: %+v, %v", first.Choices, err)
	}
	r := holdStudy(t, PlanStudy(context.Background(), a), 3)
	if kind, size, ok := FirstChoice(r.Stated.Verdict); !ok || size != "medium" {
		t.Errorf("the first choice is %s %s (%v)", kind, size, ok)
	}
	if _, _, ok := FirstChoice(NoMask); ok {
		t.Error("no mask is a choice")
	}
}

// TestPopulationStudy: no number of a face is drawn once more.
func TestPopulationStudy(t *testing.T) {
	q := population.Usual(question(t, mask.Nasal, "narrow bridge", 3))
	q.Faces = 30
	a, err := population.Ask(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	r := holdStudy(t, PopulationStudy(context.Background(), a, Nothing), 3)
	for _, in := range r.Inputs {
		if strings.HasPrefix(in.Parameter.Name, "deviation") || strings.HasPrefix(in.Parameter.Name, "tissue m") {
			t.Errorf("%s is drawn, and the faces are drawn already", in.Parameter.Name)
		}
	}
}
