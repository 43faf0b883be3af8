// Package spec holds messages about widgets to the published protocol. It is
// for tests.
//
// The models are those of jupyterwidgetmodels.latest.md for
// @jupyter-widgets/base 2.0.0 and controls 2.0.0, of
// github.com/jupyter-widgets/ipywidgets, packages/schema; those that the kernel
// does not use are left out.
package spec

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
)

// A kind says what a value must be: "string", "bool", "number", "int",
// "strings", "widgets", "ref LayoutModel", with a ? where null is allowed, or
// texts between bars for one of them.
type kind = string

const (
	base     = "@jupyter-widgets/base"
	controls = "@jupyter-widgets/controls"
	version  = "2.0.0"
	boxes    = "|success|info|warning|danger||"
	buttons  = "|primary|success|info|warning|danger||"
	drags    = "|drag-tap|drag-snap|tap|drag|snap|"
)

// A Model is a published one.
type Model struct {
	Name, Module, View, ViewModule string
	Attributes                     map[string]kind
}

// widget are the attributes of everything that is drawn.
func widget(more map[string]kind) map[string]kind {
	all := map[string]kind{"_dom_classes": "strings", "layout": "ref LayoutModel", "tabbable": "bool?", "tooltip": "string?"}
	for key, k := range more {
		all[key] = k
	}
	return all
}

func drawn(name string, attributes map[string]kind) Model {
	return Model{name + "Model", controls, name + "View", controls, widget(attributes)}
}

func style(name string, attributes map[string]kind) Model {
	return Model{name + "StyleModel", controls, "StyleView", base, attributes}
}

func slider(number kind) map[string]kind {
	return map[string]kind{"behavior": drags, "continuous_update": "bool", "description": "string", "description_allow_html": "bool",
		"disabled": "bool", "max": number, "min": number, "orientation": "|horizontal|vertical|", "readout": "bool",
		"readout_format": "string", "step": number, "style": "ref SliderStyleModel", "value": number}
}

// Models are those that are used here.
var Models = []Model{
	{"LayoutModel", base, "LayoutView", base, layout},
	drawn("FloatSlider", slider("number")),
	drawn("IntSlider", slider("int")),
	drawn("Dropdown", map[string]kind{"_options_labels": "strings", "description": "string", "description_allow_html": "bool",
		"disabled": "bool", "index": "int?", "style": "ref DescriptionStyleModel"}),
	drawn("Checkbox", map[string]kind{"description": "string", "description_allow_html": "bool", "disabled": "bool",
		"indent": "bool", "style": "ref CheckboxStyleModel", "value": "bool"}),
	drawn("Button", map[string]kind{"button_style": buttons, "description": "string", "disabled": "bool", "icon": "string",
		"style": "ref ButtonStyleModel"}),
	drawn("HTML", map[string]kind{"description": "string", "description_allow_html": "bool", "placeholder": "string",
		"style": "ref HTMLStyleModel", "value": "string"}),
	drawn("VBox", map[string]kind{"box_style": boxes, "children": "widgets"}),
	drawn("HBox", map[string]kind{"box_style": boxes, "children": "widgets"}),
	style("Slider", map[string]kind{"description_width": "string", "handle_color": "string?"}),
	style("Description", map[string]kind{"description_width": "string"}),
	style("Checkbox", map[string]kind{"background": "string?", "description_width": "string"}),
	style("HTML", map[string]kind{"background": "string?", "description_width": "string", "font_size": "string?", "text_color": "string?"}),
	style("Button", map[string]kind{"button_color": "string?", "font_family": "string?", "font_size": "string?", "font_style": "string?",
		"font_variant": "string?", "font_weight": "string?", "text_color": "string?", "text_decoration": "string?"}),
}

var layout = map[string]kind{"display": "string?", "width": "string?", "max_width": "string?", "min_width": "string?",
	"height": "string?", "max_height": "string?", "min_height": "string?", "margin": "string?", "padding": "string?", "flex": "string?"}

// find gives the published model of a name.
func find(name any) (Model, bool) {
	for _, m := range Models {
		if m.Name == name {
			return m, true
		}
	}
	return Model{}, false
}

// CheckState holds a whole state to its model. The function tells the name of
// the model with an id, empty if there is none.
func CheckState(state map[string]any, named func(id string) string) error {
	m, ok := find(state["_model_name"])
	if !ok {
		return fmt.Errorf("no published model %v", state["_model_name"])
	}
	for key, want := range map[string]string{"_model_module": m.Module, "_model_module_version": version,
		"_view_module": m.ViewModule, "_view_module_version": version, "_view_name": m.View} {
		if state[key] != want {
			return fmt.Errorf("%s: %s is %v, not %s", m.Name, key, state[key], want)
		}
	}
	return CheckChange(m.Name, state, named)
}

// CheckChange holds a part of a state to its model.
func CheckChange(name string, state map[string]any, named func(id string) string) error {
	m, ok := find(name)
	if !ok {
		return fmt.Errorf("no published model %s", name)
	}
	for key, v := range state {
		if strings.HasPrefix(key, "_model_") || strings.HasPrefix(key, "_view_") {
			continue
		}
		k, ok := m.Attributes[key]
		if !ok {
			return fmt.Errorf("%s has no %s", name, key)
		}
		if !fits(k, v, named) {
			return fmt.Errorf("%s: %s is %v, not %s", name, key, v, k)
		}
	}
	return nil
}

func fits(k kind, v any, named func(string) string) bool {
	if rest, null := strings.CutSuffix(k, "?"); null {
		return v == nil || fits(rest, v, named)
	}
	text, isText := v.(string)
	number, isNumber := v.(float64)
	switch {
	case k == "string":
		return isText
	case strings.HasPrefix(k, "|"):
		return isText && slices.Contains(strings.Split(k[1:len(k)-1], "|"), text)
	case k == "bool":
		_, ok := v.(bool)
		return ok
	case k == "number":
		return isNumber
	case k == "int":
		return isNumber && number == math.Trunc(number)
	case strings.HasPrefix(k, "ref "):
		return named(strings.TrimPrefix(text, "IPY_MODEL_")) == k[len("ref "):]
	}
	return all(k, v, named)
}

// all checks lists.
func all(k kind, v any, named func(string) string) bool {
	list, ok := v.([]any)
	for _, e := range list {
		text, isText := e.(string)
		if !isText || k == "widgets" && (!strings.HasPrefix(text, "IPY_MODEL_") || named(strings.TrimPrefix(text, "IPY_MODEL_")) == "") {
			return false
		}
	}
	return ok
}

// A Log follows the kernel's messages and holds each to the protocol.
type Log struct{ names map[string]string }

func (l *Log) named(id string) string { return l.names[id] }

// Check holds one message to what messages.md says; data and metadata are as
// JSON gives them.
func (l *Log) Check(kind, id, target string, data, metadata map[string]any) error {
	if l.names == nil {
		l.names = map[string]string{}
	}
	switch kind {
	case "open":
		return l.open(id, target, data, metadata)
	case "close":
		delete(l.names, id)
		return nil
	}
	name, ok := l.names[id]
	if !ok {
		return fmt.Errorf("a message of %s, which is not open", id)
	}
	method, state := data["method"], data["state"]
	if method != "update" && method != "echo_update" {
		return fmt.Errorf("method %v", method)
	}
	change, ok := state.(map[string]any)
	if !ok || len(data) != 3 {
		return fmt.Errorf("%v holds %v", method, data)
	}
	if _, ok := data["buffer_paths"].([]any); !ok {
		return fmt.Errorf("%v has no buffer_paths", method)
	}
	return CheckChange(name, change, l.named)
}

func (l *Log) open(id, target string, data, metadata map[string]any) error {
	state, ok := data["state"].(map[string]any)
	paths, ok2 := data["buffer_paths"].([]any)
	switch {
	case target != "jupyter.widget" || l.names[id] != "":
		return fmt.Errorf("%s is opened at %q", id, target)
	case metadata["version"] != "2.1.0":
		return fmt.Errorf("the version is %v", metadata)
	case !ok || !ok2 || len(paths) != 0 || len(data) != 2:
		return fmt.Errorf("it is opened with %v", data)
	}
	if err := CheckState(state, l.named); err != nil {
		return err
	}
	l.names[id] = state["_model_name"].(string)
	return nil
}

// CheckSaved holds saved states to v2/state.schema.json, and each to its model.
func CheckSaved(text []byte) error {
	var saved struct {
		Major *int `json:"version_major"`
		Minor *int `json:"version_minor"`
		State map[string]struct {
			Name    string         `json:"model_name"`
			Module  string         `json:"model_module"`
			Version string         `json:"model_module_version"`
			State   map[string]any `json:"state"`
		} `json:"state"`
	}
	if err := json.Unmarshal(text, &saved); err != nil {
		return err
	}
	if saved.Major == nil || *saved.Major != 2 || saved.Minor == nil || *saved.Minor != 0 || len(saved.State) == 0 {
		return fmt.Errorf("version or states are missing: %.100s", text)
	}
	named := func(id string) string { return saved.State[id].Name }
	for id, m := range saved.State {
		if m.Name != m.State["_model_name"] || m.Module != m.State["_model_module"] || m.Version != version {
			return fmt.Errorf("%s says %s of %s", id, m.Name, m.Module)
		}
		if err := CheckState(m.State, named); err != nil {
			return err
		}
	}
	return nil
}

// CheckView holds the content of widget-view+json to v2/view.schema.json.
func CheckView(view map[string]any) error {
	id, ok := view["model_id"].(string)
	if !ok || id == "" || fmt.Sprint(view["version_major"]) != "2" || fmt.Sprint(view["version_minor"]) != "0" {
		return fmt.Errorf("the view is %v", view)
	}
	return nil
}
