package words

import (
	"context"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"tautline/kernel/widget"
)

func plainText(v any) string { return fmt.Sprint(v) }

const liveFit = `Live(Slider("straps", 1*N, 8*N).Start(3*N), func(f Force) any {
	return PutOn(Mask("nasal", "medium"), Face("narrow bridge"), Straps(f), Position("on the back")).At(12*CmH2O)
})`

// pageOf is what one place shows as HTML.
func pageOf(s shown) string { return s.data["text/html"].(string) }

// At first everything is opened, none before what it refers to, and shown: the
// controls with a sentence for where they cannot be drawn, and the picture.
func TestLiveBegins(t *testing.T) {
	s := newStand(t)
	s.run(liveFit)
	open := map[string]bool{}
	for _, m := range s.sent {
		if m.kind != "open" || m.target != widget.Target || m.metadata["version"] != widget.Version {
			t.Errorf("at first only models are opened: %+v", m)
		}
		for _, ref := range refs(m.data["state"]) {
			if !open[ref] {
				t.Errorf("%s refers to %s, which is not open", m.id, ref)
			}
		}
		open[m.id] = true
	}
	if len(s.shown) != 2 || s.shown[0].id != "" || s.shown[1].id == "" || s.shown[1].update {
		t.Fatalf("shown %+v", s.shown)
	}
	view := s.shown[0].data[widget.ViewType].(map[string]any)
	if view["model_id"] != s.model("VBoxModel", 0) {
		t.Errorf("shows %v", view)
	}
	for _, kind := range []string{"text/plain", "text/html"} {
		if text := s.shown[0].data[kind].(string); !strings.Contains(text, "straps (1 N to 8 N)") || !strings.Contains(text, "cannot be moved") {
			t.Errorf("without controls it shows %s", text)
		}
	}
	picture := s.shown[1].data
	for _, want := range []string{"<p>The start: straps 3 N.</p>", "<svg", "<table"} {
		if !strings.Contains(picture["text/html"].(string), want) {
			t.Errorf("the picture lacks %s", want)
		}
	}
	if strings.Contains(pageOf(s.shown[1]), "grey:") || !strings.HasPrefix(picture["text/plain"].(string), "The start: straps 3 N.\n") {
		t.Error("the start is not shown as it is")
	}
}

// refs lists the models that a state refers to.
func refs(v any) []string {
	var all []string
	switch v := v.(type) {
	case string:
		if id, ok := strings.CutPrefix(v, "IPY_MODEL_"); ok {
			all = append(all, id)
		}
	case []any:
		for _, e := range v {
			all = append(all, refs(e)...)
		}
	case map[string]any:
		for _, e := range v {
			all = append(all, refs(e)...)
		}
	}
	return all
}

// A move is echoed and redraws the picture in its place, with the start in grey.
func TestLiveMoves(t *testing.T) {
	s := newStand(t)
	s.run(liveFit)
	slider, place := s.model("FloatSliderModel", 0), s.shown[1].id
	s.tell(slider, moved("value", 4.5), false)
	if echo := s.updates(slider, "echo_update"); len(echo) != 1 || echo[0]["value"] != 4.5 {
		t.Errorf("echo %v", echo)
	}
	if len(s.shown) != 1 || s.shown[0].id != place || !s.shown[0].update {
		t.Fatalf("shown %+v", s.shown)
	}
	page := pageOf(s.shown[0])
	for _, want := range []string{"<p>Now straps 4.5 N. At the start: straps 3 N.</p>", "straps 4.5 N", ">grey: the start, straps 3 N, leak"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	s.tell(slider, moved("value", 3), false)
	if strings.Contains(pageOf(s.shown[0]), "grey:") {
		t.Error("back at the start it is compared with itself")
	}
	s.tell(slider, moved("value", 3), false)
	if len(s.shown) != 0 {
		t.Error("the same position again is drawn again")
	}
}

// While messages wait, only the last position is drawn, and it always is.
func TestLiveDrawsTheLastPosition(t *testing.T) {
	s := newStand(t)
	s.run("calls := 0", `Live(Count("a", 0, 100).Start(0), Count("b", 0, 100).Start(0), func(a, b int) any { calls++; return a*1000+b })`)
	a, b := s.model("IntSliderModel", 0), s.model("IntSliderModel", 1)
	for i := 1; i <= 50; i++ {
		s.tell(a, moved("value", i), true)
		if len(s.updates(a, "echo_update")) != 1 {
			t.Fatal("a position that is not drawn is not echoed")
		}
		s.tell(b, moved("value", 2*i), true)
	}
	if len(s.shown) != 0 {
		t.Error("drew while more was waiting")
	}
	// The last message may be about anything.
	s.tell(a, map[string]any{"method": "request_state"}, false)
	if len(s.shown) != 1 || !strings.Contains(pageOf(s.shown[0]), "<pre>50100</pre>") {
		t.Errorf("shown %v", s.shown)
	}
	if v, _, _ := s.engine.Run(t.Context(), "calls"); v != 2 {
		t.Errorf("the function was called %v times", v)
	}
}

func TestLiveControlsOfEveryKind(t *testing.T) {
	s := newStand(t)
	s.run(`import "fmt"`, `Live(Slider("pressure", 4*CmH2O, 20*CmH2O).Step(2*CmH2O), Count("times", 1, 4), Choice("size", "small", "large").Start("large"), Switch("chin strap"),
	func(p Pressure, n int, size string, on bool) any { return fmt.Sprint(p, " ", n, " ", size, " ", on) })`)
	if got := pageOf(s.shown[1]); !strings.Contains(got, "pressure 12 cmH2O, times 2, size large, chin strap off") || !strings.Contains(got, "12 cmH2O 2 large false") {
		t.Errorf("at the start: %s", got)
	}
	slider := s.model("FloatSliderModel", 0)
	ids := map[string]any{slider: moved("value", 20), s.model("IntSliderModel", 0): moved("value", 4),
		s.model("DropdownModel", 0): moved("index", 0), s.model("CheckboxModel", 0): moved("value", true)}
	reset := s.model("ButtonModel", 0)
	for id, m := range ids {
		s.tell(id, m, false)
	}
	want := "Now pressure 20 cmH2O, times 4, size small, chin strap on. At the start: pressure 12 cmH2O, times 2, size large, chin strap off: "
	if got := pageOf(s.shown[0]); !strings.Contains(got, want) || !strings.Contains(got, "20 cmH2O 4 small true") {
		t.Errorf("moved: %s", got)
	}
	s.tell(reset, map[string]any{"method": "custom", "content": map[string]any{"event": "click"}}, false)
	got := map[string]any{}
	for id := range ids {
		for _, state := range s.updates(id, "update") {
			for _, v := range state {
				got[id] = v
			}
		}
	}
	if len(got) != 4 || got[slider] != 12.0 {
		t.Errorf("the button puts back %v", got)
	}
	if !strings.Contains(pageOf(s.shown[0]), "The start: pressure 12 cmH2O") {
		t.Error("the button does not redraw")
	}
}

// A value that cannot be is put right and not drawn.
func TestLiveRefusesWhatCannotBe(t *testing.T) {
	s := newStand(t)
	s.run(`Live(Slider("f", 1*N, 8*N), Count("n", 1, 4), Choice("c", "a", "b"), Switch("s"), func(f Force, n int, c string, on bool) any { return 0 })`)
	for _, tc := range []struct {
		model, key string
		value      any
		right      any
	}{
		{"FloatSliderModel", "value", 99, 4.5}, {"FloatSliderModel", "value", "x", 4.5}, {"FloatSliderModel", "value", nil, 4.5},
		{"IntSliderModel", "value", 2.5, 2.0}, {"IntSliderModel", "value", 9, 2.0},
		{"DropdownModel", "index", 7, 0.0}, {"DropdownModel", "index", nil, 0.0}, {"CheckboxModel", "value", 1, false},
	} {
		s := newStand(t)
		s.run(`Live(Slider("f", 1*N, 8*N), Count("n", 1, 4), Choice("c", "a", "b"), Switch("s"), func(f Force, n int, c string, on bool) any { return 0 })`)
		id := s.model(tc.model, 0)
		s.tell(id, moved(tc.key, tc.value), false)
		if got := s.updates(id, "update"); len(got) != 1 || got[0][tc.key] != tc.right || len(s.shown) != 0 {
			t.Errorf("%s %v: put right to %v", tc.model, tc.value, got)
		}
	}
	slider := s.model("FloatSliderModel", 0)
	for _, data := range []any{[]int{1}, "x", map[string]any{}, map[string]any{"method": "update"}, moved("description", "other"), map[string]any{"method": "custom"}} {
		s.tell(slider, data, false)
		if len(s.sent)+len(s.shown) != 0 {
			t.Errorf("%v brings %v", data, s.sent)
		}
	}
}

// A front end that is loaded again gets all states, of one model or of all.
func TestLiveTellsItsStates(t *testing.T) {
	s := newStand(t)
	s.run(liveFit)
	slider, opened := s.model("FloatSliderModel", 0), len(s.sent)
	s.tell(slider, moved("value", 6), false)
	s.tell(slider, map[string]any{"method": "request_state"}, false)
	if got := s.updates(slider, "update"); len(got) != 1 || got[0]["value"] != 6.0 || got[0]["min"] != 1.0 {
		t.Errorf("request_state brings %v", got)
	}
	s.heard["c"] = s.heard[widget.ControlTarget]
	s.tell("c", map[string]any{"method": "request_states"}, false)
	states, _ := s.sent[0].data["states"].(map[string]any)
	if s.sent[0].id != "c" || s.sent[0].data["method"] != "update_states" || len(states) != opened ||
		states[slider].(map[string]any)["state"].(map[string]any)["value"] != 6.0 {
		t.Errorf("request_states brings %v", s.sent)
	}
}

// Where the function fails the picture stays, and a note says why until the
// next position that goes well.
func TestLiveSaysWhatFails(t *testing.T) {
	s := newStand(t)
	s.run(`Live(Slider("straps", 1*N, 8*N), func(f Force) any { if f > 7*N { return Mask("nasle", "medium") }; return 1/int(8-f.N()) })`)
	slider, note := s.model("FloatSliderModel", 0), s.model("HTMLModel", 0)
	s.tell(slider, moved("value", 7.5), false)
	if got := s.updates(note, "update"); len(s.shown) != 0 || len(got) != 1 || !strings.Contains(fmt.Sprint(got), "With straps 7.5 N: there is no mask type &#34;nasle&#34;") {
		t.Errorf("%v %v", got, s.shown)
	}
	s.tell(slider, moved("value", 6), false)
	if got := s.updates(note, "update"); len(s.shown) != 1 || len(got) != 1 || got[0]["value"] != "" {
		t.Errorf("after it: %v", got)
	}
	if got := s.fails(`Live(Slider("straps", 1*N, 8*N), func(f Force) any { return Mask("nasle", "medium") })`); !strings.Contains(got, "nasle") {
		t.Error(got)
	}
}

// Old pictures end when there are very many.
func TestLivesAreBounded(t *testing.T) {
	s := newStand(t)
	s.run(`for i := 0; i < 60; i++ { Live(Count("a", 0, 9), func(a int) any { return a }) }`)
	closed := 0
	for _, m := range s.sent {
		if m.kind == "close" {
			closed++
		}
	}
	if perLive := len(s.heard) / mostLives; closed != (60-mostLives)*perLive {
		t.Errorf("%d closed, %d heard", closed, len(s.heard))
	}
}

func TestLiveExplainsMisuse(t *testing.T) {
	s := newStand(t)
	const f = `func(f Force) any { return f }`
	for cell, want := range map[string]string{
		`Live()`:          "one to four controls",
		`Live(` + f + `)`: "one to four controls",
		`Live(Slider("a", 1*N, 2*N), Switch("b"), Switch("c"), Switch("d"), Switch("e"), ` + f + `)`: "here there are 5",
		`Live(Slider("straps", 1*N, 8*N))`:                                                      "ends with a function of what its controls set: func(straps Force) any",
		`Live(Slider("straps", 1*N, 8*N), 12*CmH2O)`:                                            "for number 2, 12 cmH2O is a pressure",
		`Live("straps", ` + f + `)`:                                                             `"straps" is a text`,
		`Live(` + f + `, Slider("straps", 1*N, 8*N))`:                                           "the function comes last",
		`Live(Slider("straps", 1*N, 8*N), func(p Pressure) any { return p })`:                   `Slider("straps") gives a value of type Force, but the function takes Pressure in its place; write func(straps Force) any`,
		`Live(Slider("straps", 1*N, 8*N), Switch("on"), ` + f + `)`:                             "here func(straps Force, on bool) any; this one takes 1",
		`Live(Count("n", 1, 3), func(n float64) any { return n })`:                              "gives a value of type int, but the function takes float64",
		`Live(Slider("straps", 1*N, 8*N), func(f Force) {})`:                                    "this one gives back nothing",
		`Live(Slider("straps", 1*N, 8*N), func(f Force) (any, error) { return f, nil })`:        "this one gives back 2",
		`Live(Slider("a", 1*N, 8*N), Slider("a", 1*N, 8*N), func(a, b Force) any { return a })`: `two controls of Live are named "a"`,
		`Slider("straps", 1, 8)`:                                                                `Slider("straps") wants two values with a unit, such as 3*N; 1 has no unit; whole numbers without a unit are Count("straps", 1, 8)`,
		`Slider("straps", 1, 8*N)`:                                                              "1 has no unit",
		`Slider("straps", 1*N, 8*CmH2O)`:                                                        `the ends of Slider("straps") are of two kinds: 1 N is a force, 8 cmH2O is a pressure`,
		`Slider("straps", 8*N, 1*N)`:                                                            "from a lower to a higher value, not from 8 N to 1 N",
		`Slider("", 1*N, 8*N)`:                                                                  "wants a short name first",
		`Slider("straps", 1*N, 8*N).Start(9*N)`:                                                 "cannot start at 9 N: it goes from 1 N to 8 N",
		`Slider("straps", 1*N, 8*N).Start(3)`:                                                   `Start of Slider("straps") wants a force such as 3*N; 3 has no unit`,
		`Slider("straps", 1*N, 8*N).Step(0*N)`:                                                  "above zero",
		`Slider("straps", 1*N, 8*N).Step(1*Mm)`:                                                 "1 mm is a length",
		`Count("n", 3, 3)`:                                                                      "from a lower to a higher whole number",
		`Count("n", 1, 3).Start(9)`:                                                             "it counts from 1 to 3",
		`Choice("size", "small")`:                                                               "offers two texts or more",
		`Choice("size", "small", "small")`:                                                      "offered twice",
		`Choice("size", "small", "large").Start("lage")`:                                        `did you mean "large"?`,
		`Choice("size", "small", "large").Step(1)`:                                              "has no step",
		`Switch("on").Start(1)`:                                                                 "starts at true or false",
	} {
		if got := s.fails(cell); !strings.Contains(got, want) {
			t.Errorf("%s\n got %s\nwant %s", cell, got, want)
		}
	}
	if len(s.shown)+len(s.sent) != 0 {
		t.Error("something was shown all the same")
	}
	if got := said(t, liveFit); !strings.Contains(got, "Live needs a notebook") {
		t.Error(got)
	}
}

// Steps are round numbers, and the value at the start lies on one.
func TestSliderSteps(t *testing.T) {
	s := newStand(t)
	s.run(`Live(Slider("a", 1*N, 8*N), Slider("b", 4*CmH2O, 20*CmH2O), Slider("c", 0*Day, 90*Day), Slider("d", 50*Percent, 70*Percent),
	func(a Force, b Pressure, c Time, d Fraction) any { return 0 })`)
	var got [][]any
	for i := range 4 {
		for _, m := range s.sent {
			if m.id == s.model("FloatSliderModel", i) {
				st := m.data["state"].(map[string]any)
				got = append(got, []any{st["description"], st["min"], st["max"], st["step"], st["value"], st["readout_format"]})
			}
		}
	}
	want := [][]any{{"a, N", 1.0, 8.0, 0.1, 4.5, ".1f"}, {"b, cmH2O", 4.0, 20.0, 0.2, 12.0, ".1f"},
		{"c, days", 0.0, 90.0, 1.0, 45.0, ".0f"}, {"d, %", 50.0, 70.0, 0.2, 60.0, ".1f"}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("sliders %v", got)
	}
}

// A picture that cannot hold its start in grey has it below, paler.
func TestLiveBesideItsStart(t *testing.T) {
	s := newStand(t)
	l := &live{desk: newDesk(s, "x"), controls: []Control{count("n", 0, 2)}, now: []any{2},
		first: map[string]any{"text/plain": "was", "image/svg+xml": `<?xml version="1.0"?><svg width="3"></svg>`}}
	page := l.look(map[string]any{"text/plain": "is", "image/svg+xml": `<svg width="4"></svg>`})["text/html"].(string)
	if !strings.Contains(page, `<svg opacity="0.45" width="3">`) || !strings.Contains(page, `<svg width="4">`) || strings.Contains(page, "<?xml") {
		t.Error(page)
	}
	l.first = map[string]any{"text/plain": "<was>", "image/png": "iVBO\nRw"}
	if page := l.look(l.first)["text/html"].(string); strings.Count(page, `<img alt="&lt;was&gt;" src="data:image/png;base64,iVBORw">`) != 2 {
		t.Error(page)
	}
}

func TestLiveSweepsAndComparisons(t *testing.T) {
	s := newStand(t)
	s.run(`mask, face := Mask("nasal", "medium"), Face("narrow bridge")`,
		`Live(Slider("straps", 2*N, 8*N), func(f Force) any { return PutOn(mask, face, Straps(f)).AcrossPressures(4*CmH2O, 20*CmH2O) })`,
		`Live(Slider("p", 4*CmH2O, 20*CmH2O), func(p Pressure) any { return PutOn(mask, face, Straps(3*N)).AcrossStraps(2*N, 8*N, p) })`,
		`Live(Slider("straps", 2*N, 8*N), func(f Force) any { return Compare(PutOn(mask, face, Straps(f)), PutOn(mask, face, Straps(3*N))) })`)
	for i, want := range []int{1, 1, 2} {
		id := s.model("FloatSliderModel", i)
		keep := s.sent
		s.tell(id, moved("value", 6), false)
		if got := strings.Count(pageOf(s.shown[0]), ">grey: the start, "); got != want {
			t.Errorf("%d: %d pictures hold their start", i, got)
		}
		s.sent = keep
	}
}

// A slider reads in the unit that its ends were written in.
func TestSliderKeepsTheUnitOfAPressure(t *testing.T) {
	for cell, want := range map[string]string{
		`Slider("line", 30*MmHg, 110*MmHg)`:                "30 mmHg to 110 mmHg",
		`Slider("set", 4*CmH2O, 20.5*CmH2O)`:               "4 cmH2O to 20.5 cmH2O",
		`Slider("set", 4*HPa, 20*HPa)`:                     "4 hPa to 20 hPa",
		`Slider("skin", 1*KPa, 12*KPa)`:                    "10 hPa to 120 hPa",
		`Slider("any", 7*Pa, 1234*Pa)`:                     "0.07138 cmH2O to 12.58 cmH2O",
		`Slider("line", 30*MmHg, 110*MmHg).Start(70*MmHg)`: "30 mmHg to 110 mmHg",
	} {
		s := newStand(t)
		v, _, err := s.engine.Run(context.Background(), cell)
		if err != nil || !strings.Contains(plainText(v), want) {
			t.Errorf("%s: %v, %v", cell, plainText(v), err)
		}
	}
}
