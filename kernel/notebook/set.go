package notebook

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"tautline/kernel/engine"
	"tautline/kernel/words"
)

// parameters is the tag of a cell whose names are meant to be set.
const parameters = "parameters"

// Set gives a name another value where the notebook first gives it one: in a
// cell with the tag "parameters" if there is one that does, in the first cell
// otherwise. The value is written as people write it: "5 N", medium, 3.
func (n *Notebook) Set(name, value string) error {
	var known []string
	var in *Cell
	var at engine.Assignment
	for _, c := range n.Cells {
		if c.Kind != Code {
			continue
		}
		for _, a := range engine.Assignments(c.Source) {
			known = append(known, a.Name)
			if a.Name == name && (in == nil || c.isParameters() && !in.isParameters()) {
				in, at = c, a
			}
		}
	}
	if in == nil {
		return nothingSets(name, known)
	}
	expr, err := words.Written(value, at.Value)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	in.Source = at.Replace(in.Source, expr)
	return nil
}

// nothingSets offers the names that can be set.
func nothingSets(name string, known []string) error {
	if len(known) == 0 {
		return fmt.Errorf("no cell gives %s a value, nor any other name", name)
	}
	text := fmt.Sprintf("no cell gives %s a value", name)
	if near := engine.Nearest(name, known); near != "" {
		text += "; did you mean " + near + "?"
	} else {
		text += ";"
	}
	slices.Sort(known)
	return fmt.Errorf("%s These can be set: %s", text, strings.Join(slices.Compact(known), ", "))
}

// isParameters tells whether the cell carries the tag.
func (c *Cell) isParameters() bool {
	var m struct {
		Tags []string `json:"tags"`
	}
	return json.Unmarshal(c.rest["metadata"], &m) == nil && slices.Contains(m.Tags, parameters)
}
