package notebooks_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"strings"
	"testing"

	"tautline/kernel/engine"
	"tautline/kernel/notebook"
	"tautline/kernel/words"
	"tautline/kernel/worker"
)

// hands stand for a person at a notebook: they keep what its cells show last,
// and move its controls.
type hands struct {
	t      *testing.T
	engine *engine.Engine
	said   bytes.Buffer
	shown  string // the answer that was shown or redrawn last, as HTML
	redraw int    // how often
	knobs  []knob
	heard  map[string]func(words.Message)
}

// A knob is one control, as a front end is told of it.
type knob struct {
	id    string
	state map[string]any
}

func (h *hands) Context() context.Context              { return context.Background() }
func (h *hands) Bundles(v any) []map[string]any        { return worker.Bundles(v) }
func (h *hands) Call(f func()) error                   { return h.engine.Call(context.Background(), f) }
func (h *hands) Clear(bool)                            {}
func (h *hands) Hear(id string, f func(words.Message)) { h.heard[id] = f }

func (h *hands) Show(data, _ map[string]any, _ string, _ bool) {
	if page, ok := data["text/html"].(string); ok {
		h.shown = page
		h.redraw++
	}
}

func (h *hands) Send(kind, id, _ string, data, _ any, _ [][]byte) error {
	text, err := json.Marshal(data)
	if err != nil {
		return err
	}
	var m struct{ State map[string]any }
	if err := json.Unmarshal(text, &m); err != nil || kind != "open" {
		return err
	}
	h.knobs = append(h.knobs, knob{id, m.State})
	return nil
}

// move says where a control is now, as a front end does.
// With more, another move is under way, and nothing need be drawn yet.
func (h *hands) move(k knob, key string, value any, more bool) {
	h.t.Helper()
	text, err := json.Marshal(map[string]any{"method": "update", "state": map[string]any{key: value}, "buffer_paths": []any{}})
	if err != nil {
		h.t.Fatal(err)
	}
	f := h.heard[k.id]
	if f == nil {
		h.t.Fatalf("nobody hears %v", k.state["description"])
	}
	f(words.Message{ID: k.id, Kind: "msg", Data: text, More: more})
}

// elsewhere gives what a control can be moved to, and where it is; without a
// key it is none to move.
func (k knob) elsewhere() (key string, there, here any) {
	switch k.state["_model_name"] {
	case "FloatSliderModel", "IntSliderModel":
		if there = k.state["max"]; there == k.state["value"] {
			there = k.state["min"]
		}
		return "value", there, k.state["value"]
	case "DropdownModel":
		options, _ := k.state["_options_labels"].([]any)
		if there = float64(len(options) - 1); k.state["index"] == there {
			there = 0.0
		}
		return "index", there, k.state["index"]
	case "CheckboxModel":
		return "value", k.state["value"] != true, k.state["value"]
	}
	return "", nil, nil
}

// words and pictures of an answer.
func parted(page string) (said, drawn string) {
	return svg.ReplaceAllString(page, ""), strings.Join(svg.FindAllString(page, -1), "\n")
}

// Every control of every lesson is moved and taken back: words follow every
// one, pictures every slider, and a slider back at its start shows the first
// answer again.
func TestEveryControlMovesItsAnswer(t *testing.T) {
	for name := range maps.Keys(texts(t)) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h := &hands{t: t, heard: map[string]func(words.Message){}}
			var err error
			if h.engine, err = engine.New(words.Named(h, name), &h.said); err != nil {
				t.Fatal(err)
			}
			defer h.engine.Close()
			sliders := 0
			for _, c := range read(t, name, lesson(t, name)).Cells {
				if c.Kind != notebook.Code {
					continue
				}
				h.knobs, h.shown = nil, ""
				if _, _, err := h.engine.Run(context.Background(), c.Source); err != nil {
					t.Fatalf("cell %s: %v", c.ID, err)
				}
				sliders += h.moveAll(c.ID)
			}
			if sliders == 0 && name != "quick-sheet.ipynb" {
				t.Error("a lesson without a slider")
			}
		})
	}
}

// readOff is a slider that tells what a machine shows; the picture beside it is
// of the forces, which do not know of it.
const readOff = "leak on the machine now, L/min"

// moveAll moves what a cell shows, one control after the other, and gives how
// many of them are sliders.
func (h *hands) moveAll(cell string) (sliders int) {
	first := h.shown
	for _, k := range h.knobs {
		key, there, here := k.elsewhere()
		if key == "" {
			continue
		}
		what := fmt.Sprintf("cell %s, %v from %v to %v", cell, k.state["description"], here, there)
		before := h.redraw
		h.move(k, key, there, false)
		said, drawn := parted(h.shown)
		saidFirst, drawnFirst := parted(first)
		if h.redraw == before || said == saidFirst {
			h.t.Errorf("%s: the words do not follow", what)
		}
		slides := strings.Contains(k.state["_model_name"].(string), "Slider")
		if slides {
			sliders++
			if drawn == drawnFirst && k.state["description"] != readOff {
				h.t.Errorf("%s: the picture does not follow", what)
			}
		}
		h.move(k, key, here, !slides)
		if slides && h.shown != first {
			h.t.Errorf("%s: back at the start another answer stands", what)
		}
	}
	return sliders
}
