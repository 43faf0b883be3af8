package notebook

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"tautline/kernel/engine"
)

// foreign is a notebook as other programs write them, with keys and metadata
// that are not ours.
const foreign = `{
 "cells": [
  {"cell_type": "markdown", "metadata": {"slideshow": {"slide_type": "skip"}}, "source": ["# A title\n", "text with <b>tags</b>"], "future": [1.50, 1e400]},
  {"cell_type": "code", "execution_count": 7, "metadata": {}, "source": "1+1",
   "outputs": [{"output_type": "execute_result", "execution_count": 7, "metadata": {"x": null}, "data":
    {"text/plain": ["2"], "text/html": "<script>alert(1)</script>", "application/json": {"a": [1, 2]}}, "extra": true}]},
  {"cell_type": "raw", "metadata": {}, "source": "<raw>"}
 ],
 "metadata": {"kernelspec": {"language": "Go", "name": "x"}, "vendor": {"z": 1, "a": 2}},
 "nbformat": 4, "nbformat_minor": 2, "top": "kept <&>"
}`

func read(t *testing.T, text string) *Notebook {
	t.Helper()
	n, err := Read("x.ipynb", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func write(t *testing.T, n *Notebook) []byte {
	t.Helper()
	b, err := n.Write()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// decoded keeps numbers as they were typed.
func decoded(t *testing.T, data []byte) map[string]any {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	var v map[string]any
	if err := d.Decode(&v); err != nil {
		t.Fatal(err)
	}
	return v
}

func TestForeignKeysAreKept(t *testing.T) {
	n := read(t, foreign)
	if n.Language() != "go" || n.Title() != "A title" {
		t.Errorf("language %q, title %q", n.Language(), n.Title())
	}
	out := write(t, n)
	got, want := decoded(t, out), decoded(t, []byte(foreign))
	ids := map[any]bool{}
	for _, c := range got["cells"].([]any) {
		id := c.(map[string]any)["id"]
		if !goodID.MatchString(id.(string)) || ids[id] {
			t.Errorf("id %v is malformed or not the only one", id)
		}
		ids[id] = true
		delete(c.(map[string]any), "id")
	}
	want["nbformat_minor"] = json.Number("5")
	if !reflect.DeepEqual(got, want) {
		t.Errorf("changed on the way:\n got %v\nwant %v", got, want)
	}
	if again := write(t, read(t, string(out))); !bytes.Equal(out, again) {
		t.Error("reading and writing again changes the file")
	}
}

func TestNewerMinorIsKept(t *testing.T) {
	n := read(t, `{"cells": [], "metadata": {}, "nbformat": 4, "nbformat_minor": 9}`)
	if got := decoded(t, write(t, n))["nbformat_minor"]; got != json.Number("9") {
		t.Errorf("minor %v", got)
	}
}

func TestIDsAreRepaired(t *testing.T) {
	n := read(t, `{"cells": [{"cell_type":"raw","source":"","id":"a"},{"cell_type":"raw","source":"","id":"a"},{"cell_type":"raw","source":"","id":"no spaces"}], "nbformat": 4}`)
	if n.Cells[0].ID != "a" || n.Cells[1].ID == "a" || !goodID.MatchString(n.Cells[2].ID) {
		t.Errorf("%q %q %q", n.Cells[0].ID, n.Cells[1].ID, n.Cells[2].ID)
	}
}

func TestBrokenFiles(t *testing.T) {
	for text, want := range map[string]string{
		"":                                 "x.ipynb is empty",
		" \n":                              "x.ipynb is empty",
		"{\n \"cells\": [}":                "x.ipynb, line 2: this is not valid JSON",
		"{\"cells\": []":                   "line 1: this is not valid JSON",
		"\x00\x01\x02":                     "not valid JSON",
		"[]":                               "it holds an array where an object",
		"3":                                "it holds a number",
		"null":                             "nbformat",
		`{"cells": []}`:                    "does not say which notebook format",
		`{"nbformat": 3}`:                  "format 3, and only format 4 is read",
		`{"nbformat": 4}`:                  "has no cells",
		`{"nbformat": 4, "cells": 1}`:      "not a list of objects",
		`{"nbformat": 4, "cells": [1]}`:    "not a list of objects",
		`{"nbformat": 4, "cells": [{}]}`:   "cell 1: it does not say its cell_type",
		`{"nbformat": "4", "cells": []}`:   "nbformat",
		`{"nbformat": 4, "cells": [null]}`: "cell 1",
		`{"nbformat": 4, "nbformat_minor": "x", "cells": []}`:                                                           "nbformat_minor",
		`{"nbformat": 4, "cells": [{"cell_type": "code"}]}`:                                                             "source is neither",
		`{"nbformat": 4, "cells": [{"cell_type": "code", "source": 3}]}`:                                                "source is neither",
		`{"nbformat": 4, "cells": [{"cell_type": "code", "source": "", "outputs": 1}]}`:                                 "outputs are not a list",
		`{"nbformat": 4, "cells": [{"cell_type": "code", "source": "", "outputs": [{}]}]}`:                              "output 1: it does not say its output_type",
		`{"nbformat": 4, "cells": [{"cell_type": "code", "source": "", "outputs": [{"output_type": "display_data"}]}]}`: "output 1: its data",
	} {
		_, err := Read("x.ipynb", []byte(text))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
	if _, err := Read("x.ipynb", make([]byte, MaxSize+1)); err == nil || !strings.Contains(err.Error(), "larger than 64 MB") {
		t.Error(err)
	}
}

func TestByteOrderMark(t *testing.T) { read(t, "\ufeff"+foreign) }

// picture stands for a result of the model.
type picture struct{}

func (picture) Mimebundle() map[string]any {
	return map[string]any{"text/plain": "a picture", "text/html": "<figure><svg><title>t</title></svg></figure>",
		"image/svg+xml": "<svg><title>t</title></svg>"}
}

// script plays an engine: what a cell says decides what it does.
type script struct{ out io.Writer }

func (s script) Run(_ context.Context, cell string) (any, bool, error) {
	switch {
	case strings.HasPrefix(cell, "print"):
		fmt.Fprint(s.out, strings.TrimPrefix(cell, "print "))
		return nil, false, nil
	case cell == "picture":
		return picture{}, true, nil
	case cell == "two":
		return engine.Values{picture{}, 3, nil}, true, nil
	case cell == "fail":
		return nil, false, &engine.Error{Kind: engine.Mistyped, Line: 1, Column: 3, Text: "no such thing"}
	}
	return nil, false, nil
}

func notebook(kinds ...string) *Notebook {
	n := &Notebook{Name: "x"}
	for i := 0; i < len(kinds); i += 2 {
		n.Cells = append(n.Cells, &Cell{Kind: kinds[i], Source: kinds[i+1]})
	}
	return n
}

func start(s *Stage) (Engine, error) { return script{s}, nil }

func TestRun(t *testing.T) {
	n := notebook(Code, "print hello\n", Markdown, "# T", Code, "picture", Code, "two", Code, "nothing")
	n.Cells[4].Outputs = []*Output{{Kind: Stream, Text: "old"}}
	var told []string
	err := n.Run(context.Background(), start, Options{Progress: func(i, of int) { told = append(told, fmt.Sprint(i, "/", of)) }})
	if err != nil {
		t.Fatal(err)
	}
	if got := n.Text(); got != "hello\n\na picture\n\na picture\n3, nil\n" {
		t.Errorf("text %q", got)
	}
	if fmt.Sprint(told) != "[1/4 2/4 3/4 4/4]" {
		t.Error(told)
	}
	if n.Cells[2].Count != 2 || n.Cells[3].Outputs[0].Kind != Display || n.Cells[3].Outputs[1].Kind != Result {
		t.Error("counts or kinds of outputs are wrong")
	}
	back := read(t, string(write(t, n)))
	if got := back.Text(); got != n.Text() {
		t.Errorf("after writing and reading: %q", got)
	}
}

func TestRunStopsAtAnError(t *testing.T) {
	n := notebook(Code, "picture", Code, "fail", Code, "picture")
	n.Cells[2].Outputs = []*Output{{Kind: Stream, Text: "old"}}
	err := n.Run(context.Background(), start, Options{})
	if ce := (*CellError)(nil); !errors.As(err, &ce) || ce.Cell != 2 || err.Error() != "code cell 2, line 1, column 3: no such thing" {
		t.Errorf("%v", err)
	}
	if got := n.Text(); got != "a picture\n\nfail\n  ^\nline 1, column 3: no such thing\n" {
		t.Errorf("%q", got)
	}
}

func TestPrintingIsBounded(t *testing.T) {
	n := notebook(Code, "print "+strings.Repeat("x", 3*maxPrinted))
	if err := n.Run(context.Background(), start, Options{}); err != nil {
		t.Fatal(err)
	}
	if got := n.Text(); len(got) > maxPrinted+200 || !strings.Contains(got, "left out") {
		t.Errorf("%d bytes kept", len(got))
	}
}

func page1(t *testing.T, n *Notebook) string {
	t.Helper()
	b, err := n.HTML()
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestPageShowsWhatWasMadeHere(t *testing.T) {
	n := notebook(Markdown, "# Balance\n\n| a | b |\n|---|---|\n| 1 | 2 |", Code, "picture", Code, "print <i>")
	if err := n.Run(context.Background(), start, Options{}); err != nil {
		t.Fatal(err)
	}
	got := page1(t, n)
	for _, want := range []string{"<title>Balance</title>", "<svg><title>t</title></svg>", "<table>", "&lt;i&gt;"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %s in the page", want)
		}
	}
}

func TestPageTrustsNothingFromAFile(t *testing.T) {
	evil := strings.Replace(foreign, `"text/html"`, `"image/svg+xml": "<svg onload='alert(2)'/>", "text/html"`, 1)
	n := read(t, evil)
	n.Cells[0].Source = "<script>alert(3)</script>\n\nand <img src=x onerror=alert(4)> [a](javascript:alert(5)) ![p](https://example.org/p.png) ![q](attachment:q)"
	got := page1(t, n)
	if m := regexp.MustCompile(`(?i)<script|<[^>]* on[a-z]+=|javascript:|src="?http|<img src="?x`).FindString(got); m != "" {
		t.Errorf("the page has %q", m)
	}
	for _, want := range []string{"&lt;script&gt;alert(3)", "[picture: p]", "data:image/svg&#43;xml;base64,", "&lt;raw&gt;"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %s in the page", want)
		}
	}
}

// A cell marked to hide its source keeps it, folded, and shows what it gave.
func TestHiddenSourceIsFolded(t *testing.T) {
	n := read(t, `{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [
		{"cell_type": "code", "id": "a", "metadata": {"jupyter": {"source_hidden": true}}, "source": "hidden()", "outputs": [], "execution_count": null},
		{"cell_type": "code", "id": "b", "metadata": {"jupyter": {"source_hidden": "x"}}, "source": "open()", "outputs": [], "execution_count": null}]}`)
	page, err := n.HTML()
	if err != nil {
		t.Fatal(err)
	}
	folded := regexp.MustCompile(`(?s)<details class="source"><summary>.*?</summary>\s*<pre class="source"><code>hidden\(\)</code></pre>\s*</details>`)
	if !folded.Match(page) || bytes.Count(page, []byte("<details")) != 1 || !bytes.Contains(page, []byte("open()")) {
		t.Errorf("the page is %s", page)
	}
}

func TestAttachmentsAreShown(t *testing.T) {
	n := read(t, `{"nbformat": 4, "cells": [{"cell_type": "markdown", "source": "![q](attachment:q.png)", "attachments": {"q.png": {"image/png": "aGk="}}}]}`)
	if got := page1(t, n); !strings.Contains(got, `<img src="data:image/png;base64,aGk=" alt="q">`) {
		t.Error(got)
	}
}

// Whatever is read can be written, read again the same, and made a page.
func FuzzRead(f *testing.F) {
	f.Add([]byte(foreign))
	f.Add([]byte(`{"nbformat": 4, "cells": [{"cell_type": "code", "source": ["a", "b"], "outputs": [{"output_type": "stream", "text": "x"}]}]}`))
	f.Add([]byte(`{"nbformat": 4, "cells": [{"cell_type": "code", "source": "", "outputs": [{"output_type": "error", "traceback": ["\u001b[31mx"]}]}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		n, err := Read("x", data)
		if err != nil {
			return
		}
		out, err := n.Write()
		if err != nil {
			t.Fatal(err)
		}
		again, err := Read("x", out)
		if err != nil {
			t.Fatalf("written but not read: %v", err)
		}
		if b, err := again.Write(); err != nil || !bytes.Equal(out, b) {
			t.Fatalf("the second writing differs: %v", err)
		}
		if _, err := n.HTML(); err != nil {
			t.Fatal(err)
		}
	})
}
