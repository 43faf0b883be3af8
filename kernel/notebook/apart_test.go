package notebook

import (
	"context"
	"errors"
	"strings"
	"testing"

	"tautline/kernel/worker"
)

// A scripted runner shows what it is told to, and fails at a cell "fail".
type scripted struct{ worker.Runner }

func (scripted) Execute(_ context.Context, r worker.Request, out worker.Output) worker.Outcome {
	show := func(text, id string, update bool) {
		out.Display(worker.Bundle{Data: map[string]any{"text/plain": text}}, id, update)
	}
	switch r.Code {
	case "order":
		out.Stream("stdout", "a")
		out.Stream("stdout", "b")
		show("shown", "x", false)
		out.Stream("stderr", "c")
		show("anew", "x", true)
		show("nowhere", "y", true)
		out.Result(worker.Bundle{Data: map[string]any{"text/plain": "5"}})
	case "clear":
		out.Stream("stdout", "gone")
		out.Clear(true)
		out.Stream("stdout", "kept")
	case "died":
		return worker.Outcome{Lost: "Gone. Again()", Err: &worker.Failure{Name: "CellsEnded", Value: "Gone. Again()", Text: "Gone."}}
	case "fail":
		return worker.Outcome{Err: &worker.Failure{Name: "TypeError", Line: 2, Column: 3, Text: "wrong", Value: "line 2, column 3: wrong"}}
	}
	return worker.Outcome{}
}

func TestRunApart(t *testing.T) {
	n := read(t, `{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [
		{"cell_type": "code", "id": "a", "metadata": {}, "execution_count": null, "outputs": [], "source": "order"},
		{"cell_type": "code", "id": "b", "metadata": {}, "execution_count": null, "outputs": [], "source": "clear"},
		{"cell_type": "code", "id": "c", "metadata": {}, "execution_count": null, "outputs": [], "source": "fail"},
		{"cell_type": "code", "id": "d", "metadata": {}, "execution_count": null, "outputs": [], "source": "order"}]}`)
	err := n.RunApart(context.Background(), scripted{}, Options{})
	if at := (*CellError)(nil); !errors.As(err, &at) || err.Error() != "code cell 3, line 2, column 3: wrong" {
		t.Errorf("%v", err)
	}
	var kinds []string
	for _, o := range n.Cells[0].Outputs {
		kinds = append(kinds, o.Kind+o.Stream)
	}
	if got := strings.Join(kinds, " "); got != "streamstdout display_data streamstderr execute_result" {
		t.Errorf("in the order %s", got)
	}
	first := n.Cells[0].Outputs
	if first[0].Text != "ab" || first[1].Data["text/plain"] != "anew" || first[3].Count != 1 {
		t.Errorf("%+v %+v %+v", first[0], first[1], first[3])
	}
	if b := n.Cells[1].Outputs; len(b) != 1 || b[0].Text != "kept" {
		t.Errorf("after clearing: %v", b)
	}
	if d := n.Cells[3]; len(d.Outputs) != 0 || d.Count != 0 {
		t.Error("a cell below the error has run")
	}
	n.Cells[0].Source = "died"
	if err := n.RunApart(context.Background(), scripted{}, Options{}); err == nil || err.Error() != "code cell 1, Gone." {
		t.Errorf("%v", err)
	}
}
