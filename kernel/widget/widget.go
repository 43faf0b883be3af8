// Package widget speaks the Jupyter widget messages, version 2.1: what a kernel
// and a front end say to each other about sliders and buttons. It knows the
// published models (@jupyter-widgets/base 2.0.0 and controls 2.0.0) and their
// state, and nothing of what a slider is for.
//
// The protocol: github.com/jupyter-widgets/ipywidgets, packages/schema:
// messages.md, jupyterwidgetmodels.latest.md, v2/state.schema.json.
package widget

import (
	"encoding/hex"
	"encoding/json"
	"maps"
	"math/rand/v2"
)

// The names that the protocol fixes.
const (
	// Version is that of the messages, sent with every comm that is opened.
	Version = "2.1.0"
	// Target is the comm target of every widget.
	Target = "jupyter.widget"
	// ControlTarget is the one by which a front end asks for all states at once.
	ControlTarget = "jupyter.widget.control"
	// ViewType is the media type that shows a widget.
	ViewType = "application/vnd.jupyter.widget-view+json"
	// StateType is the media type under which a notebook keeps states.
	StateType = "application/vnd.jupyter.widget-state+json"
)

// A Sender sends a comm's message; kind is "open", "msg" or "close".
type Sender interface {
	Send(kind, id, target string, data, metadata any, buffers [][]byte) error
}

// State is what kernel and front end keep in step.
type State = map[string]any

// A Model is the kernel's half of a widget. A state may hold other models.
type Model struct {
	ID    string // of its comm; settable until it is opened
	state State
}

// NewID makes an id that no other comm has.
func NewID() string {
	var b [16]byte
	for i := range b {
		b[i] = byte(rand.Uint32())
	}
	return hex.EncodeToString(b[:])
}

// MarshalJSON writes the model as other models' states refer to it.
func (m *Model) MarshalJSON() ([]byte, error) { return json.Marshal("IPY_MODEL_" + m.ID) }

// Get gives a value of the state.
func (m *Model) Get(key string) any { return m.state[key] }

// State is a copy of the whole state.
func (m *Model) State() State { return maps.Clone(m.state) }

// Open tells the front ends of the model.
func (m *Model) Open(to Sender) error {
	return to.Send("open", m.ID, Target, stateData{State: m.state, Paths: noPaths},
		map[string]string{"version": Version}, nil)
}

// Close ends the model in the front ends.
func (m *Model) Close(to Sender) error {
	return to.Send("close", m.ID, "", struct{}{}, nil, nil)
}

// Set changes a value here and in the front ends.
func (m *Model) Set(to Sender, key string, value any) error {
	m.state[key] = value
	return m.send(to, "update", State{key: value})
}

// Put changes a value here only: the front end that sent it has it already.
func (m *Model) Put(key string, value any) { m.state[key] = value }

// SendState answers request_state.
func (m *Model) SendState(to Sender) error { return m.send(to, "update", m.state) }

// Echo tells all front ends what one of them has changed. It must be sent while
// that one's message is answered, which is how it knows its own change again.
func (m *Model) Echo(to Sender, changed State) error {
	known := State{}
	for key, value := range changed {
		if _, ok := m.state[key]; ok {
			known[key] = value
		}
	}
	if len(known) == 0 {
		return nil
	}
	return m.send(to, "echo_update", known)
}

func (m *Model) send(to Sender, method string, state State) error {
	return to.Send("msg", m.ID, "", stateData{Method: method, State: state, Paths: noPaths}, nil, nil)
}

// View is the content of ViewType that shows the model.
func (m *Model) View() map[string]any {
	return map[string]any{"version_major": 2, "version_minor": 0, "model_id": m.ID}
}

// stateData is the data of all messages that carry a state. None of the states
// here holds binary values, so the list of their paths is always empty.
type stateData struct {
	Method string  `json:"method,omitempty"`
	State  State   `json:"state"`
	Paths  [][]any `json:"buffer_paths"`
}

var noPaths = [][]any{}

// A Said is what a front end says to a widget or over the control comm.
type Said struct {
	Method  string         `json:"method"` // update, request_state, custom, request_states
	State   State          `json:"state"`  // of update
	Content map[string]any `json:"content"`
	Paths   [][]any        `json:"buffer_paths"`
}

// Read reads a front end's message. Values that came as binary are dropped:
// none of the models here has any.
func Read(data []byte) (Said, error) {
	var s Said
	err := json.Unmarshal(data, &s)
	for _, path := range s.Paths {
		if len(path) > 0 {
			if key, ok := path[0].(string); ok {
				delete(s.State, key)
			}
		}
	}
	return s, err
}

// Clicked tells whether a button was pressed.
func (s Said) Clicked() bool { return s.Method == "custom" && s.Content["event"] == "click" }

// SendStates answers request_states on the control comm with the given id.
func SendStates(to Sender, control string, models []*Model) error {
	states := map[string]any{}
	for _, m := range models {
		states[m.ID] = map[string]any{"model_name": m.state["_model_name"], "model_module": m.state["_model_module"],
			"model_module_version": m.state["_model_module_version"], "state": m.state}
	}
	return to.Send("msg", control, "", map[string]any{"method": "update_states", "states": states, "buffer_paths": noPaths}, nil, nil)
}
