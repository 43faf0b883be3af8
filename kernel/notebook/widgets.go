package notebook

import (
	"encoding/json"

	"tautline/kernel/widget"
)

// keepWidgets puts the states of a run's controls into the metadata, where
// front ends look for them, and takes away those of an earlier run.
func (n *Notebook) keepWidgets(saved *widget.Saved) {
	var meta, widgets object
	if json.Unmarshal(n.rest["metadata"], &meta) != nil || meta == nil {
		meta = object{}
	}
	if json.Unmarshal(meta["widgets"], &widgets) != nil || widgets == nil {
		widgets = object{}
	}
	state := saved.JSON()
	if _, had := widgets[widget.StateType]; state == nil && !had {
		return
	}
	delete(widgets, widget.StateType)
	if state != nil {
		widgets[widget.StateType] = state
	}
	delete(meta, "widgets")
	if len(widgets) > 0 {
		meta["widgets"] = encode(widgets)
	}
	if n.rest == nil {
		n.rest = object{}
	}
	n.rest["metadata"] = encode(meta)
}
