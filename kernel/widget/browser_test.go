package widget_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"tautline/kernel/notebook"
	"tautline/kernel/widget"
	"tautline/kernel/worker"
)

// The test binary is its own worker.
func TestMain(m *testing.M) {
	worker.ServeIfAsked()
	os.Exit(m.Run())
}

const browserFolder = "testdata/browser"

// needed finds what the browser test runs with, or skips; in CI nothing may be
// missing.
func needed(t *testing.T) (node, chromium string) {
	t.Helper()
	var missing []string
	find := func(names ...string) string {
		for _, name := range names {
			if path, err := exec.LookPath(name); err == nil {
				return path
			}
		}
		missing = append(missing, names[0])
		return ""
	}
	node, chromium = find("node"), find("chromium", "chromium-browser", "google-chrome")
	if _, err := os.Stat(filepath.Join(browserFolder, "node_modules")); err != nil {
		missing = append(missing, "the packages of kernel/widget/"+browserFolder+" (npm ci --ignore-scripts there)")
	}
	if len(missing) == 0 {
		return node, chromium
	}
	text := "the controls are not drawn in a browser here: missing " + strings.Join(missing, ", ")
	if os.Getenv("TAUTLINE_CI") != "" {
		t.Fatal(text)
	}
	t.Skip(text)
	return
}

// bundle puts the page's script and style together.
func bundle(t *testing.T, folder string) {
	t.Helper()
	cmd := exec.Command(filepath.Join("node_modules", ".bin", "esbuild"), "main.js", "--bundle", "--format=iife",
		"--outfile="+filepath.Join(folder, "main.js"), "--log-level=warning", "--loader:.svg=dataurl", "--define:global=window")
	cmd.Dir = browserFolder
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
}

const page = `<!doctype html><html lang="en"><meta charset="utf-8"><title>controls</title>
<link rel="stylesheet" href="main.css"><style>body{font-family:sans-serif;margin:16px} svg{max-width:860px;height:auto}</style>
<body><script>window.cells = %s</script><script src="main.js"></script></body></html>`

// TestInABrowser draws every kind of control with the published packages,
// moves them, and looks at what they show.
func TestInABrowser(t *testing.T) {
	node, chromium := needed(t)
	folder := t.TempDir()
	bundle(t, folder)
	looks := os.Getenv("WIDGET_PICTURES") // a folder to leave pictures in, for eyes
	if looks == "" {
		looks = folder
	}
	server := httptest.NewServer(newBridge(t, folder))
	defer server.Close()
	ctx, cancel := context.WithTimeout(context.Background(), 50*time.Second)
	defer cancel()
	cmd := exec.CommandContext(ctx, node, "drive.mjs", server.URL, looks, chromium)
	cmd.Dir, cmd.Stderr = browserFolder, os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	checkFound(t, out)
}

func checkFound(t *testing.T, out []byte) {
	t.Helper()
	var found struct {
		Start, Readout, Dragged, DraggedReadout, Key, Reset, All, AllMoved, Note, Kept, Again, Saved, Failed string
		Grey                                                                                                 int
		Errors                                                                                               []string
	}
	if err := json.Unmarshal(out, &found); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if found.Failed != "" || len(found.Errors) > 0 {
		t.Fatalf("%s\n%s", found.Failed, strings.Join(found.Errors, "\n"))
	}
	start := "The start: straps 3 N."
	for what, pair := range map[string][2]string{
		"the start":          {found.Start, start},
		"the start's number": {found.Readout + found.Reset + found.Again + found.Saved, "3.03.03.03.0"},
		"after dragging":     {found.Dragged, "Now straps " + strings.TrimSuffix(found.DraggedReadout, ".0") + " N. At the start: straps 3 N."},
		"all":                {found.All, "The start: size medium, pressure 12 cmH2O, months 0, on the left side off."},
		"all moved":          {found.AllMoved, "Now size large, pressure 12 cmH2O, months 1, on the left side on. At the start: size medium, pressure 12 cmH2O, months 0, on the left side off."},
		"where it fails":     {found.Note, "With n 9: no picture for 9. The picture stays as it was."},
		"while it fails":     {found.Kept, "The start: n 5."},
	} {
		if pair[0] != pair[1] {
			t.Errorf("%s: %q, want %q", what, pair[0], pair[1])
		}
	}
	if found.Grey != 1 || found.DraggedReadout == "3.0" || found.Key == found.DraggedReadout {
		t.Errorf("%+v", found)
	}
}

// A bridge is the way from the page to a real worker. Like a kernel it takes
// one message after the other and says when more are waiting.
type bridge struct {
	*http.ServeMux
	t     *testing.T
	cells worker.Runner

	mu      sync.Mutex
	turn    *sync.Cond
	next    int // the order of the message whose turn it is
	waiting int
}

func newBridge(t *testing.T, folder string) *bridge {
	t.Helper()
	cells, err := worker.Start(t.Context(), worker.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cells.Close() })
	b := &bridge{ServeMux: http.NewServeMux(), t: t, cells: cells, next: 1}
	b.turn = sync.NewCond(&b.mu)
	n := lesson(t)
	b.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) {
		text, _ := json.Marshal(map[string]string{"fit": n.Cells[2].Source, "sweep": n.Cells[3].Source, "all": n.Cells[4].Source, "fails": failing})
		fmt.Fprintf(w, page, text)
	})
	b.Handle("GET /", http.FileServer(http.Dir(folder)))
	b.HandleFunc("POST /run", b.run)
	b.HandleFunc("POST /comm", b.comm)
	b.HandleFunc("GET /saved", func(w http.ResponseWriter, _ *http.Request) { b.saved(w, n) })
	if o := cells.Execute(t.Context(), worker.Request{Code: n.Cells[1].Source}, &shownPage{}); o.Err != nil {
		t.Fatal(o.Err.Value)
	}
	return b
}

const failing = `import "errors"
Live(Count("n", 1, 9), func(n int) any {
	if n == 9 {
		panic(errors.New("no picture for 9"))
	}
	return n
})`

func lesson(t testing.TB) *notebook.Notebook {
	t.Helper()
	data, err := os.ReadFile("../notebook/testdata/live.ipynb")
	if err != nil {
		t.Fatal(err)
	}
	n, err := notebook.Read("live.ipynb", data)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// shownPage gathers what the page is told.
type shownPage struct{ All []told }

type told struct {
	Type     string          `json:"type"`
	ID       string          `json:"id,omitempty"`
	Target   string          `json:"target,omitempty"`
	Data     any             `json:"data,omitempty"`
	Metadata json.RawMessage `json:"metadata,omitempty"`
	Update   bool            `json:"update,omitempty"`
	Text     string          `json:"text,omitempty"`
}

func (p *shownPage) Stream(_, text string)  { p.All = append(p.All, told{Type: "stream", Text: text}) }
func (p *shownPage) Result(b worker.Bundle) { p.Display(b, "", false) }
func (p *shownPage) Clear(bool)             {}

func (p *shownPage) Display(b worker.Bundle, id string, update bool) {
	p.All = append(p.All, told{Type: "display", ID: id, Data: b.Data, Update: update})
}

func (p *shownPage) Comm(m worker.Comm) {
	p.All = append(p.All, told{Type: "comm_" + m.Kind, ID: m.ID, Target: m.Target, Data: m.Data, Metadata: m.Metadata})
}

func (b *bridge) run(w http.ResponseWriter, r *http.Request) {
	var q struct{ Code string }
	json.NewDecoder(r.Body).Decode(&q)
	out := &shownPage{}
	b.mu.Lock()
	defer b.mu.Unlock()
	if o := b.cells.Execute(r.Context(), worker.Request{Code: q.Code}, out); o.Err != nil {
		out.All = append(out.All, told{Type: "error", Text: o.Err.Value})
	}
	json.NewEncoder(w).Encode(out.All)
}

func (b *bridge) comm(w http.ResponseWriter, r *http.Request) {
	var m struct {
		worker.Comm
		Order int
	}
	json.NewDecoder(r.Body).Decode(&m)
	out := &shownPage{All: []told{}}
	b.mu.Lock()
	defer b.mu.Unlock()
	for b.waiting++; m.Order != b.next; {
		b.turn.Wait()
	}
	b.waiting--
	m.More = b.waiting > 0
	if err := b.cells.Comm(r.Context(), m.Comm, out); err != nil {
		out.All = append(out.All, told{Type: "error", Text: err.Error()})
	}
	b.next++
	b.turn.Broadcast()
	json.NewEncoder(w).Encode(out.All)
}

// saved gives what a run from a shell keeps of the first controls.
func (b *bridge) saved(w http.ResponseWriter, n *notebook.Notebook) {
	cells, err := worker.Start(b.t.Context(), worker.Options{Controls: "saved"})
	if err != nil {
		b.t.Error(err)
		return
	}
	defer cells.Close()
	if err := n.RunApart(b.t.Context(), cells, notebook.Options{}); err != nil {
		b.t.Error(err)
		return
	}
	file, _ := n.Write()
	var kept struct {
		Metadata struct{ Widgets map[string]json.RawMessage }
	}
	json.Unmarshal(file, &kept)
	view := n.Cells[2].Outputs[0].Data[widget.ViewType].(map[string]any)
	json.NewEncoder(w).Encode(map[string]any{"state": kept.Metadata.Widgets[widget.StateType], "view": view["model_id"]})
}
