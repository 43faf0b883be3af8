package widget

import (
	"encoding/json"
	"maps"
)

// A Saved keeps the states of widgets as the messages tell them, for a notebook
// that is written without a front end. The zero value is ready.
type Saved struct {
	models map[string]State
}

// Note reads one of the kernel's messages.
func (s *Saved) Note(kind, id, target string, data []byte) error {
	switch {
	case kind == "open" && target != Target:
		return nil
	case kind == "close":
		delete(s.models, id)
		return nil
	}
	said, err := Read(data)
	if err != nil {
		return err
	}
	switch {
	case kind == "open":
		if s.models == nil {
			s.models = map[string]State{}
		}
		s.models[id] = said.State
	case said.Method == "update" && s.models[id] != nil:
		maps.Copy(s.models[id], said.State)
	}
	return nil
}

// JSON gives the content of StateType, nil when there is no widget.
func (s *Saved) JSON() json.RawMessage {
	if len(s.models) == 0 {
		return nil
	}
	states := map[string]any{}
	for id, state := range s.models {
		states[id] = map[string]any{"model_name": state["_model_name"], "model_module": state["_model_module"],
			"model_module_version": state["_model_module_version"], "state": state}
	}
	text, err := json.Marshal(map[string]any{"version_major": 2, "version_minor": 0, "state": states})
	if err != nil {
		return nil // states come from JSON, so this cannot be
	}
	return text
}
