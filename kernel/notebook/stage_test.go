package notebook

import (
	"context"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"tautline/kernel/engine"
	"tautline/kernel/widget"
	"tautline/kernel/widget/spec"
	"tautline/kernel/words"
)

func realEngine(s *Stage) (Engine, error) { return engine.New(words.Named(s, "test"), s) }

func liveNotebook(t *testing.T) *Notebook {
	t.Helper()
	data, err := os.ReadFile("testdata/live.ipynb")
	if err != nil {
		t.Fatal(err)
	}
	n := read(t, string(data))
	if err := n.Run(context.Background(), realEngine, Options{}); err != nil {
		t.Fatal(err)
	}
	return n
}

// A notebook with controls keeps the picture at the start as an output of its
// own, and the controls' states where front ends look for them.
func TestControlsAreKept(t *testing.T) {
	n := liveNotebook(t)
	file := write(t, n)
	var kept struct {
		Cells []struct {
			Outputs []struct {
				Kind string                     `json:"output_type"`
				Data map[string]json.RawMessage `json:"data"`
			}
		}
		Metadata struct {
			Vendor  any
			Widgets map[string]json.RawMessage
		}
	}
	if err := json.Unmarshal(file, &kept); err != nil {
		t.Fatal(err)
	}
	if err := spec.CheckSaved(kept.Metadata.Widgets[widget.StateType]); err != nil {
		t.Error(err)
	}
	if kept.Metadata.Vendor == nil || kept.Metadata.Widgets["other"] == nil {
		t.Error("other programs' metadata is lost")
	}
	for i, c := range kept.Cells {
		if len(c.Outputs) == 0 {
			continue
		}
		var view map[string]any
		json.Unmarshal(c.Outputs[0].Data[widget.ViewType], &view)
		if err := spec.CheckView(view); err != nil || !strings.Contains(string(kept.Metadata.Widgets[widget.StateType]), view["model_id"].(string)) {
			t.Errorf("cell %d: %v", i+1, err)
		}
		if !strings.Contains(string(c.Outputs[1].Data["text/html"]), "The start: ") {
			t.Errorf("cell %d has no picture at the start", i+1)
		}
	}
	if again := write(t, liveNotebook(t)); string(again) != string(file) {
		t.Error("another run gives another file")
	}
	page := page1(t, n)
	for _, want := range []string{"The start: straps 3 N", "<svg", "Where they cannot be moved", "Controls: size (small, medium, large)"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if strings.Contains(page, "<script") || strings.Contains(page, "widget-view") {
		t.Error("the page has what it cannot run")
	}
}

// A run without controls takes away the states of an earlier one.
func TestOldStatesGo(t *testing.T) {
	n := liveNotebook(t)
	n.Cells = n.Cells[:1]
	if err := n.Run(context.Background(), start, Options{}); err != nil {
		t.Fatal(err)
	}
	if file := string(write(t, n)); strings.Contains(file, widget.StateType) || !strings.Contains(file, `"other"`) {
		t.Error("states of controls that are gone are kept, or those of others are not")
	}
}

// What a cell shows keeps its order among what it prints; shown anew, it keeps
// its place.
func TestStageOrder(t *testing.T) {
	n := notebook(Code, "")
	err := n.Run(context.Background(), func(s *Stage) (Engine, error) { return shows{s}, nil }, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := n.Text(); got != "a\ntwo\nb\n" {
		t.Errorf("%q", got)
	}
}

type shows struct{ s *Stage }

func (e shows) Run(context.Context, string) (any, bool, error) {
	show := func(text, id string, update bool) { e.s.Show(map[string]any{"text/plain": text}, nil, id, update) }
	e.s.Write([]byte("gone"))
	e.s.Clear(false)
	e.s.Write([]byte("a\n"))
	show("one", "x", false)
	e.s.Write([]byte("b\n"))
	show("two", "x", true)
	return nil, false, nil
}
