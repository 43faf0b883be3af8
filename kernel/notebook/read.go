package notebook

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
)

// Limits on what is read. A lesson has a few dozen cells; a file beyond these
// is a mistake or an attack.
const (
	MaxSize  = 64 << 20 // bytes
	MaxCells = 10_000
)

const saveAgain = "open it in the program that wrote it and save it again"

// Read reads a notebook. The name appears in messages only.
func Read(name string, data []byte) (*Notebook, error) {
	if len(data) > MaxSize {
		return nil, fmt.Errorf("%s is larger than %d MB; is this a notebook? Clear its outputs and save it again", name, MaxSize>>20)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")) // a byte-order mark
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, fmt.Errorf("%s is empty; a notebook has at least a pair of braces", name)
	}
	var top object
	if err := json.Unmarshal(data, &top); err != nil {
		return nil, jsonError(name, data, err)
	}
	n := &Notebook{Name: name, rest: top}
	if err := n.version(); err != nil {
		return nil, err
	}
	if err := n.readCells(); err != nil {
		return nil, err
	}
	n.nameCells()
	return n, nil
}

// jsonError says on which line the JSON breaks.
func jsonError(name string, data []byte, err error) error {
	var offset int64 = -1
	if e := (*json.SyntaxError)(nil); errors.As(err, &e) {
		offset = e.Offset
	}
	if e := (*json.UnmarshalTypeError)(nil); errors.As(err, &e) {
		return fmt.Errorf("%s is JSON, but not a notebook: it holds %s where an object with cells belongs", name, article(e.Value))
	}
	if offset < 0 || offset > int64(len(data)) {
		return fmt.Errorf("%s is not a notebook: %v", name, err)
	}
	line := 1 + bytes.Count(data[:offset], []byte("\n"))
	return fmt.Errorf("%s, line %d: this is not valid JSON, as notebooks are (%v); %s", name, line, err, saveAgain)
}

func article(what string) string {
	if strings.ContainsAny(what[:1], "aeio") {
		return "an " + what
	}
	return "a " + what
}

// version checks that the format is one that is known: 4, any minor.
func (n *Notebook) version() error {
	var major int
	if json.Unmarshal(n.rest["nbformat"], &major) != nil {
		return fmt.Errorf("%s does not say which notebook format it has (key nbformat); is this a notebook?", n.Name)
	}
	if major != 4 {
		return fmt.Errorf("%s is a notebook in format %d, and only format 4 is read; %s in format 4", n.Name, major, saveAgain)
	}
	if raw, ok := n.rest["nbformat_minor"]; ok && json.Unmarshal(raw, &n.minor) != nil {
		return fmt.Errorf("%s: nbformat_minor is not a whole number; %s", n.Name, saveAgain)
	}
	return nil
}

func (n *Notebook) readCells() error {
	raw, ok := n.rest["cells"]
	if !ok {
		return fmt.Errorf("%s has no cells; is this a notebook?", n.Name)
	}
	var cells []object
	if err := json.Unmarshal(raw, &cells); err != nil {
		return fmt.Errorf("%s: its cells are not a list of objects; %s", n.Name, saveAgain)
	}
	if len(cells) > MaxCells {
		return fmt.Errorf("%s has %d cells, more than the %d that are read", n.Name, len(cells), MaxCells)
	}
	delete(n.rest, "cells")
	for i, o := range cells {
		c, err := readCell(o)
		if err != nil {
			return fmt.Errorf("%s, cell %d: %w; %s", n.Name, i+1, err, saveAgain)
		}
		n.Cells = append(n.Cells, c)
	}
	return nil
}

func readCell(o object) (*Cell, error) {
	c := &Cell{rest: o}
	if json.Unmarshal(o["cell_type"], &c.Kind) != nil || c.Kind == "" {
		return nil, errors.New("it does not say its cell_type")
	}
	source, err := text(o["source"])
	if err != nil {
		return nil, fmt.Errorf("its source is %w", err)
	}
	c.Source, c.whole = source, source
	if raw, ok := o["id"]; ok && json.Unmarshal(raw, &c.ID) != nil {
		return nil, errors.New("its id is not a text")
	}
	if raw, ok := o["execution_count"]; ok && json.Unmarshal(raw, &c.Count) != nil {
		return nil, errors.New("its execution_count is not a whole number")
	}
	if c.Kind == Code {
		return c, c.readOutputs(o["outputs"])
	}
	return c, nil
}

func (c *Cell) readOutputs(raw json.RawMessage) error {
	var all []object
	if raw != nil && json.Unmarshal(raw, &all) != nil {
		return errors.New("its outputs are not a list of objects")
	}
	for i, o := range all {
		out, err := readOutput(o)
		if err != nil {
			return fmt.Errorf("output %d: %w", i+1, err)
		}
		c.Outputs = append(c.Outputs, out)
	}
	return nil
}

func readOutput(o object) (*Output, error) {
	if o == nil {
		return nil, errors.New("it is null")
	}
	out := &Output{read: o}
	if json.Unmarshal(o["output_type"], &out.Kind) != nil || out.Kind == "" {
		return nil, errors.New("it does not say its output_type")
	}
	var err error
	switch out.Kind {
	case Stream:
		optional(o["name"], &out.Stream)
		out.Text, err = text(o["text"])
	case Display, Result:
		optional(o["execution_count"], &out.Count)
		out.Data, err = media(o["data"])
	case Failure:
		optional(o["ename"], &out.Name)
		optional(o["evalue"], &out.Value)
		optional(o["traceback"], &out.Trace)
	}
	return out, err
}

// optional reads what other programs may have left out or written otherwise;
// nothing depends on it but what a page shows.
func optional(raw json.RawMessage, into any) { _ = json.Unmarshal(raw, into) }

func media(raw json.RawMessage) (map[string]any, error) {
	var o object
	if raw == nil || json.Unmarshal(raw, &o) != nil {
		return nil, errors.New("its data are not an object")
	}
	data := map[string]any{}
	for kind, value := range o {
		if t, err := text(value); err == nil {
			data[kind] = t
		} else {
			data[kind] = value
		}
	}
	return data, nil
}

var errNotText = errors.New("neither a text nor a list of texts")

// text reads a text as notebooks write it: whole, or as a list of lines.
func text(raw json.RawMessage) (string, error) {
	if raw == nil {
		return "", errNotText
	}
	var whole string
	if json.Unmarshal(raw, &whole) == nil {
		return whole, nil
	}
	var lines []string
	if json.Unmarshal(raw, &lines) != nil {
		return "", errNotText
	}
	return strings.Join(lines, ""), nil
}
