package widget

import (
	"encoding/json"
	"errors"
	"testing"

	"tautline/kernel/widget/spec"
)

// a sink holds all that is sent to the protocol.
type sink struct {
	t      *testing.T
	log    spec.Log
	saved  Saved
	states map[string]any // as the last update_states told them
	last   map[string]any
}

func (s *sink) Send(kind, id, target string, data, metadata any, buffers [][]byte) error {
	s.t.Helper()
	text, err := json.Marshal(data)
	if err != nil {
		s.t.Fatal(err)
	}
	s.last = nil
	if err := json.Unmarshal(text, &s.last); err != nil {
		s.t.Fatal(err)
	}
	if s.last["method"] == "update_states" {
		s.states = s.last["states"].(map[string]any)
		return nil
	}
	var about map[string]any
	if m, ok := metadata.(map[string]string); ok {
		about = map[string]any{}
		for k, v := range m {
			about[k] = v
		}
	}
	if err := s.log.Check(kind, id, target, s.last, about); err != nil || len(buffers) > 0 {
		s.t.Errorf("%s %s: %v", kind, text, err)
	}
	return s.saved.Note(kind, id, target, text)
}

func everything() []*Model {
	layout := Layout(map[string]string{"width": "50%"})
	styles := map[string]*Model{}
	all := []*Model{layout}
	for _, kind := range []string{"Slider", "Description", "Checkbox", "Button", "HTML"} {
		styles[kind] = Style(kind)
		all = append(all, styles[kind])
	}
	look := func(kind string) Look { return Look{layout, styles[kind]} }
	drawn := []*Model{
		FloatSlider("f", "tip", Slide[float64]{1, 8, 0.1, 3, ".1f"}, look("Slider")),
		IntSlider("i", "tip", Slide[int]{1, 8, 1, 3, "d"}, look("Slider")),
		Dropdown("d", "tip", []string{"a", "b"}, 1, look("Description")),
		Checkbox("c", "tip", true, look("Checkbox")), Button("b", "tip", look("Button")), HTML("<b>x</b>", look("HTML"))}
	row := Row(layout, drawn...)
	return append(append(all, drawn...), row, Column(layout, row))
}

// Every message about every model is as published, and so is what is saved.
func TestMessages(t *testing.T) {
	s := &sink{t: t}
	all := everything()
	for _, m := range all {
		if err := errors.Join(m.Open(s), m.SendState(s)); err != nil {
			t.Fatal(err)
		}
	}
	slider := all[6]
	slider.Set(s, "value", 5.5)
	slider.Echo(s, State{"value": 6.0, "unknown": 1})
	if state := s.last["state"].(map[string]any); s.last["method"] != "echo_update" || len(state) != 1 || state["value"] != 6.0 {
		t.Errorf("echo %v", s.last)
	}
	s.last = nil
	if slider.Echo(s, State{"unknown": 1}); s.last != nil {
		t.Errorf("an echo of nothing: %v", s.last)
	}
	SendStates(s, "control", all)
	if len(s.states) != len(all) || s.states[slider.ID].(map[string]any)["model_name"] != "FloatSliderModel" {
		t.Errorf("all states: %v", s.states)
	}
	if err := spec.CheckSaved(s.saved.JSON()); err != nil {
		t.Error(err)
	}
	var saved struct {
		State map[string]struct{ State State }
	}
	if json.Unmarshal(s.saved.JSON(), &saved); saved.State[slider.ID].State["value"] != 5.5 {
		t.Error("the last value is not saved")
	}
	if err := spec.CheckView(all[len(all)-1].View()); err != nil {
		t.Error(err)
	}
	for _, m := range all {
		m.Close(s)
	}
	if s.saved.JSON() != nil {
		t.Error("closed widgets are saved")
	}
}

func TestRead(t *testing.T) {
	s, err := Read([]byte(`{"method":"update","state":{"value":3,"raw":null},"buffer_paths":[["raw"],[],[0]]}`))
	if err != nil || s.State["value"] != 3.0 || len(s.State) != 1 {
		t.Errorf("%+v %v", s, err)
	}
	if s, _ := Read([]byte(`{"method":"custom","content":{"event":"click"}}`)); !s.Clicked() {
		t.Error("a click is not one")
	}
	for _, bad := range []string{"", "[]", `"x"`, `{"state":3}`, `{"method":{}}`} {
		if _, err := Read([]byte(bad)); err == nil {
			t.Errorf("%q is read", bad)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(`{"method":"update","state":{"value":3},"buffer_paths":[["value",0]]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, _ := Read(data)
		s.Clicked()
	})
}

func TestIDsDiffer(t *testing.T) {
	seen := map[string]bool{}
	for range 1000 {
		if id := NewID(); seen[id] || len(id) != 32 {
			t.Fatalf("id %s", id)
		} else {
			seen[id] = true
		}
	}
}
