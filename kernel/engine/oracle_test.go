package engine

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"golang.org/x/tools/txtar"
)

//go:generate go test -run TestCellsGiveWhatGoGives -update .

var update = flag.Bool("update", false, "ask real Go what the cells of testdata/cells.txt give")

const (
	cellsFile = "testdata/cells.txt"
	wantFile  = "testdata/cells.want.txt"
)

// oracleCells lists the cells that were written by hand and those that are
// generated.
func oracleCells(t *testing.T) []txtar.File {
	t.Helper()
	a, err := txtar.ParseFile(cellsFile)
	if err != nil {
		t.Fatal(err)
	}
	return append(a.Files, generatedCells()...)
}

// refusedText is what a cell says in its first line that the engine answers
// when it can do less than Go.
func refusedText(cell string) (string, bool) {
	text, ok := strings.CutPrefix(cell, "// refused: ")
	text, _, _ = strings.Cut(text, "\n")
	return text, ok
}

// Every cell gives what real Go gives: the same output, or an error on the same
// line where Go finds one; or it says by name what cells cannot do. The second
// time each statement is a cell of its own, as in a notebook.
func TestCellsGiveWhatGoGives(t *testing.T) {
	cells := oracleCells(t)
	if *update {
		askGo(t, cells)
	}
	a, err := txtar.ParseFile(wantFile)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{}
	for _, f := range a.Files {
		want[f.Name] = string(f.Data)
	}
	if len(cells) < 200 || len(cells) != len(want) {
		t.Fatalf("%d cells and %d answers of real Go: run go generate", len(cells), len(want))
	}
	for _, c := range cells {
		t.Run(c.Name, func(t *testing.T) {
			for _, apart := range []bool{false, true} {
				_, less := refusedText(string(c.Data))
				if apart && (less || strings.HasPrefix(string(c.Data), "// whole")) {
					continue // in a cell of its own := would make a new variable
				}
				got := engineSays(t, string(c.Data), apart)
				expected, ok := want[c.Name]
				if text, refused := refusedText(string(c.Data)); refused {
					ok, expected = strings.Contains(got, text), text
				} else if ok && strings.HasPrefix(expected, "error") {
					ok = strings.HasPrefix(got, expected) || apart && strings.HasPrefix(got, "error")
				} else {
					ok = ok && got == expected
				}
				if !ok {
					t.Errorf("apart %t: the engine gives\n%s\nreal Go gives\n%s", apart, got, expected)
				}
			}
		})
	}
}

// engineSays runs a cell, whole or statement by statement, and gives what it
// printed, or "error line N: sentence".
func engineSays(t *testing.T, cell string, apart bool) string {
	t.Helper()
	e, out := newEngine(t)
	texts := []string{cell}
	if apart {
		texts = statements(t, cell)
	}
	for _, text := range texts {
		ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
		_, _, err := e.Run(ctx, text)
		cancel()
		if err != nil {
			return fmt.Sprintf("error line %d\n%s", err.(*Error).Line, err)
		}
	}
	return out.String()
}

// statements cuts a cell into one with all declarations and one for each
// statement. What cannot be read comes whole.
func statements(t *testing.T, text string) []string {
	t.Helper()
	e, _ := newEngine(t)
	c := &cell{text: text}
	items, err := e.parse(c)
	if err != nil {
		return []string{text}
	}
	all := []string{""}
	for _, it := range items {
		if isDecl(it.node) {
			all[0] += e.source(it.node) + "\n"
		} else {
			all = append(all, e.source(it.node))
		}
	}
	return all
}

// asProgram writes a cell as a Go package whose Run does what the cell does.
func asProgram(t *testing.T, name, text string) string {
	t.Helper()
	e, _ := newEngine(t)
	c := &cell{text: text}
	items, err := e.parse(c)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	var imports, decls, body strings.Builder
	for _, it := range items {
		_, offset, _ := e.locate(it.node.Pos())
		line, _ := c.place(offset)
		into := &body
		if isDecl(it.node) {
			into = &decls
		}
		src := e.source(it.node)
		if strings.HasPrefix(src, "import") {
			into = &imports
		}
		fmt.Fprintf(into, "//line cell.go:%d\n%s\n", line, src)
	}
	return fmt.Sprintf("package %s\n%s%sfunc Run() {\n%s}\n", name, &imports, &decls, &body)
}

// askGo has real Go compile and run the cells, and keeps what they give.
func askGo(t *testing.T, cells []txtar.File) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "cells")
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	write := func(name, text string) {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"go.mod", "go.sum"} {
		data, err := os.ReadFile(filepath.Join(root, name))
		if err != nil {
			t.Fatal(err)
		}
		write(name, strings.Replace(string(data), "module tautline\n", "module cells\n", 1))
	}
	var imports, calls strings.Builder
	want := &txtar.Archive{Comment: []byte("What real Go gives for each cell; made by go generate.\n")}
	for i, c := range cells {
		p := fmt.Sprintf("c%03d", i)
		write(p+"/c.go", asProgram(t, p, string(c.Data)))
		cmd := exec.Command("go", "build", "./"+p)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		if err != nil {
			line := regexp.MustCompile(`cell\.go:(\d+)`).FindSubmatch(out)
			if line == nil {
				t.Fatalf("%s: %s", c.Name, out)
			}
			want.Files = append(want.Files, txtar.File{Name: c.Name, Data: fmt.Appendf(nil, "error line %s\n", line[1])})
			continue
		}
		fmt.Fprintf(&imports, "import %q\n", "cells/"+p)
		fmt.Fprintf(&calls, "fmt.Println(\"-- %s --\")\n%s.Run()\n", c.Name, p)
	}
	write("main.go", "package main\nimport \"fmt\"\n"+imports.String()+"func main() {\n"+calls.String()+"}\n")
	cmd := exec.Command("go", "run", ".")
	cmd.Dir = dir
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	out = regexp.MustCompile(`\bc\d{3}\.`).ReplaceAll(out, []byte("main."))
	want.Files = append(want.Files, txtar.Parse(out).Files...)
	if err := os.WriteFile(wantFile, bytes.TrimSpace(txtar.Format(want)), 0o644); err != nil {
		t.Fatal(err)
	}
}
