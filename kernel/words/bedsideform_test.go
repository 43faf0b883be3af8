package words

import (
	"strings"
	"testing"
)

// The form answers the invented patient at once, and follows every tap.
func TestBedsideForm(t *testing.T) {
	s := newStand(t)
	s.run("Bedside()")
	first := s.shown[len(s.shown)-1].data["text/html"].(string)
	for _, want := range []string{"Next: ", "<svg", "What was tapped", "Afterwards: ", "not a medical device", "vented mask"} {
		if !strings.Contains(first, want) {
			t.Errorf("the first answer lacks %q", want)
		}
	}
	// The skin comes fifteenth among all controls, twelfth among the choices.
	skin := s.model("DropdownModel", 12)
	s.tell(skin, moved("index", 4), false)
	if len(s.shown) != 1 || !s.shown[0].update {
		t.Fatalf("%d pictures after one tap", len(s.shown))
	}
	broken := s.shown[0].data["text/html"].(string)
	if strings.Contains(broken, "<svg") || !strings.Contains(broken, "Take the load off that site now") {
		t.Errorf("broken skin: %s", broken)
	}
	s.tell(skin, moved("index", 0), false)
	if again := s.shown[0].data["text/html"].(string); !strings.Contains(again, "<svg") || strings.Contains(again, "Now mask") {
		t.Errorf("not knowing brings the picture back: %s", again)
	}
}

// Every choice has "don't know", and every combination of taps an answer.
func TestEveryChoiceMayBeUnknown(t *testing.T) {
	values := []any{}
	for _, c := range formControls() {
		values = append(values, c.knob.start())
		if m, ok := c.knob.(menu); ok {
			if m.options[0] != unknownChoice {
				t.Errorf("%s cannot be left open", c.name)
			}
			values[len(values)-1] = unknownChoice
		}
	}
	f := formOf(values)
	if f.Type != "" || f.Size != "" || f.Position != "" || f.Air != 0 || f.Skin != 0 || f.LeakIs != 0 || f.Danger != 0 {
		t.Errorf("with nothing known the form is %+v", f)
	}
}
