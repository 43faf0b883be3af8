package words

import (
	"context"
	"strings"
	"testing"

	"tautline/kernel/scenario"
)

// The plan's numbers can be read by name, outcomes change it, and what is asked
// otherwise is asked of the same patient.
func TestAPlanInCells(t *testing.T) {
	s := newStand(t)
	s.run(`p := Plan(Ticks("narrow bridge"), Pressures(4*CmH2O, 16*CmH2O), Limit(24*LPerMin), Line(70*MmHg), Told("vomiting", "no"), Told("takes off alone", "yes"), Told("implants", "no"))`)
	for cell, want := range map[string]bool{
		`p.Planned.Unsolved.Value <= p.Trial.Unsolved.Value + 0.1`:                    true,
		`len(p.With(Told("vomiting", "yes")).Choices) < len(p.Choices)`:               true,
		`len(p.After("sore").Question.Tried) == 1 && len(p.Question.Tried) == 0`:      true,
		`p.With(Outcome("sore", Mask("nasal", "small"))).Question.Tried[0].Pull == 0`: true,
	} {
		v, _, err := s.engine.Run(context.Background(), cell)
		if err != nil || v != want {
			t.Errorf("%s is %v, %v", cell, v, err)
		}
	}
}

// The form answers the invented patient at once, and a danger sign leaves no
// mask on the screen.
func TestPlanForm(t *testing.T) {
	s := newStand(t)
	s.run("BedsidePlan()")
	first := s.shown[len(s.shown)-1].data["text/html"].(string)
	for _, want := range []string{"Try next", "<svg", "What this cannot know", "Afterwards: ", "vented mask",
		"What was tapped", "nose width, by the gauge</th><td>34 mm", "highest pressure that is met</th><td>20 cmH2O"} {
		if !strings.Contains(first, want) {
			t.Errorf("the first answer lacks %q", want)
		}
	}
	s.tell(s.model("DropdownModel", 0), moved("index", 2), false)
	stop := s.shown[0].data["text/html"].(string)
	if strings.Contains(stop, "<svg") || !strings.Contains(stop, "call someone now") {
		t.Errorf("a danger sign: %s", stop)
	}
}

// With nothing known a plan is still made, and all that could do harm kept out.
func TestPlanFormWithNothingKnown(t *testing.T) {
	values := []any{}
	for _, c := range planControls() {
		values = append(values, c.knob.start())
		if _, ok := c.knob.(menu); ok {
			values[len(values)-1] = unknownChoice
		}
	}
	stock := scenario.UsualStock()
	a := (*place)(nil).planned(planOf(values, stock), stock.File)
	for _, o := range a.RuledOut {
		if !o.Unasked {
			t.Errorf("%s %s is kept out for %s though nobody said so", o.Item.Type, o.Item.Size, o.Reason)
		}
	}
	if len(a.RuledOut) == 0 || len(a.Choices) == 0 {
		t.Errorf("%d kept out, %d to choose from", len(a.RuledOut), len(a.Choices))
	}
}
