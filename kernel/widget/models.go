package widget

// The published modules whose models are used here.
const (
	base            = "@jupyter-widgets/base"
	controls        = "@jupyter-widgets/controls"
	modelVersion    = "2.0.0" // of both
	descriptionRoom = "initial"
)

// model makes the kernel's half of a published model. Attributes that are not
// given have the published default.
func model(module, name, viewModule, view string, state State) *Model {
	s := State{"_model_module": module, "_model_module_version": modelVersion, "_model_name": name,
		"_view_module": viewModule, "_view_module_version": modelVersion, "_view_name": view}
	for key, value := range state {
		s[key] = value
	}
	return &Model{ID: NewID(), state: s}
}

func control(name string, state State) *Model {
	return model(controls, name+"Model", controls, name+"View", state)
}

// Layout says where a widget stands and how wide it is, in CSS.
func Layout(css map[string]string) *Model {
	state := State{}
	for key, value := range css {
		state[key] = value
	}
	return model(base, "LayoutModel", base, "LayoutView", state)
}

// Style is the look of one kind of control: "Slider", "Description", "Checkbox",
// "Button" or "HTML". A description takes the room that it needs.
func Style(kind string) *Model {
	state := State{}
	if kind != "Button" {
		state["description_width"] = descriptionRoom
	}
	return model(controls, kind+"StyleModel", base, "StyleView", state)
}

// A Look is the layout and the style that a control refers to.
type Look struct{ Layout, Style *Model }

func (l Look) with(state State) State {
	state["layout"], state["style"] = l.Layout, l.Style
	return state
}

// A Slide is what both kinds of sliders have: their ends, the step, the value
// and how the value is written (a d3 format).
type Slide[T int | float64] struct {
	Low, High, Step, Value T
	Format                 string
}

func (s Slide[T]) with(name, tip string, l Look) State {
	return l.with(State{"description": name, "tooltip": tip, "min": s.Low, "max": s.High, "step": s.Step, "value": s.Value,
		"continuous_update": true, "readout": true, "readout_format": s.Format, "orientation": "horizontal",
		"behavior": "drag-tap", "disabled": false})
}

// FloatSlider is a slider over numbers.
func FloatSlider(name, tip string, s Slide[float64], l Look) *Model {
	return control("FloatSlider", s.with(name, tip, l))
}

// IntSlider is a slider over whole numbers.
func IntSlider(name, tip string, s Slide[int], l Look) *Model {
	return control("IntSlider", s.with(name, tip, l))
}

// Dropdown offers texts to choose from; index is the one that is chosen.
func Dropdown(name, tip string, options []string, index int, l Look) *Model {
	return control("Dropdown", l.with(State{"description": name, "tooltip": tip, "_options_labels": options, "index": index, "disabled": false}))
}

// Checkbox is on or off.
func Checkbox(name, tip string, on bool, l Look) *Model {
	return control("Checkbox", l.with(State{"description": name, "tooltip": tip, "value": on, "indent": false, "disabled": false}))
}

// Button can be pressed.
func Button(name, tip string, l Look) *Model {
	return control("Button", l.with(State{"description": name, "tooltip": tip, "disabled": false, "button_style": "", "icon": ""}))
}

// HTML shows a text. Its value is HTML: whatever comes from outside must be
// escaped before.
func HTML(value string, l Look) *Model {
	return control("HTML", l.with(State{"value": value, "placeholder": "", "description": ""}))
}

// Column puts widgets below each other.
func Column(layout *Model, children ...*Model) *Model { return box("VBox", layout, children) }

// Row puts widgets beside each other.
func Row(layout *Model, children ...*Model) *Model { return box("HBox", layout, children) }

func box(kind string, layout *Model, children []*Model) *Model {
	return control(kind, State{"children": children, "layout": layout, "box_style": ""})
}
