package notebooks_test

import (
	"bytes"
	"context"
	"html"
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"tautline/kernel/engine"
	"tautline/kernel/notebook"
	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/kernel/words"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
	"tautline/notebooks"
)

func lesson(t *testing.T, name string) []byte {
	t.Helper()
	data, err := fs.ReadFile(notebooks.Files, name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func read(t *testing.T, name string, data []byte) *notebook.Notebook {
	t.Helper()
	n, err := notebook.Read(name, data)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// run executes a notebook and gives its page.
func run(t *testing.T, n *notebook.Notebook) string {
	t.Helper()
	start := func(s *notebook.Stage) (notebook.Engine, error) { return engine.New(words.Named(s, n.Name), s) }
	if err := n.Run(context.Background(), start, notebook.Options{}); err != nil {
		t.Fatalf("%s: %v", n.Name, err)
	}
	page, err := n.HTML()
	if err != nil {
		t.Fatal(err)
	}
	return string(page)
}

// What a lesson must not say, to anybody, about anything.
var never = regexp.MustCompile(`(?i)\bsafe(ly)?\b|good fit|zero leak reached|cover the vent|(raise|lower|increase|reduce) the pressure|tape the mouth`)

// What would make a page depend on anything outside itself, or run something.
var reachesOut = regexp.MustCompile(`(?i)<script|<link|<iframe|<object|<embed|@import|url\(|\s(src|href|xlink:href|action|srcset)="?(https?:|//|file:|[a-z./]*\.(css|js|png|svg))|\sstyle=|\son[a-z]+=`)

func TestLessons(t *testing.T) {
	names, err := fs.Glob(notebooks.Files, "*.ipynb")
	if err != nil || len(names) == 0 {
		t.Fatalf("no lessons: %v", err)
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			data := lesson(t, name)
			n := read(t, name, data)
			if len(n.Cells) >= 20 {
				t.Errorf("%d cells; a lesson has under 20", len(n.Cells))
			}
			for i, c := range n.Cells {
				if len(c.Outputs) > 0 || c.Count > 0 {
					t.Errorf("cell %d: outputs are not committed", i+1)
				}
				checkCell(t, i+1, c)
			}
			if written, err := n.Write(); err != nil || !bytes.Equal(written, data) {
				t.Errorf("reading and writing changes the file (%v)", err)
			}
			page := run(t, n)
			if bad := reachesOut.FindString(page); bad != "" {
				t.Errorf("the page is not self-contained: %q", bad)
			}
			if bad := never.FindString(page); bad != "" {
				t.Errorf("the page says %q", bad)
			}
		})
	}
}

// Cells with code are one or two short lines that can be read aloud.
func checkCell(t *testing.T, i int, c *notebook.Cell) {
	t.Helper()
	if c.Kind != notebook.Code {
		return
	}
	lines := strings.Split(strings.TrimSpace(c.Source), "\n")
	if len(lines) > 2 {
		t.Errorf("cell %d has %d lines of code", i, len(lines))
	}
	for _, l := range lines {
		if len(l) > 80 {
			t.Errorf("cell %d: a line of %d columns", i, len(l))
		}
	}
}

// atSixteen asks the model directly for what the balance lesson shows.
func atSixteen(t *testing.T, pull unit.Force) fit.Point {
	t.Helper()
	m, err := mask.Find(mask.Nasal, "medium")
	if err != nil {
		t.Fatal(err)
	}
	f, _ := face.Find("narrow bridge")
	back, _ := fit.FindPosition("on the back")
	on, err := fit.PutOn(fit.NewCase(m, f, pull, back))
	if err != nil {
		t.Fatal(err)
	}
	p, err := on.At(16 * unit.CmH2O)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// shows tells which of a point's sentence, picture and table are on a page.
func shows(page string, p fit.Point) (sentence, drawn, table bool) {
	sentence = strings.Contains(page, html.EscapeString(report.PointSentence(p, "on the back")))
	// Only the shapes: title and name belong to the words.
	svg := string(picture.Rim(p).SVG())
	paths := regexp.MustCompile(`<path [^>]*>`).FindAllString(svg, -1)
	drawn = len(paths) > 20
	for _, path := range paths[1:] {
		drawn = drawn && strings.Contains(page, path)
	}
	table = true
	for _, row := range report.SiteRows(p)[2:] {
		table = table && strings.Contains(page, `<th scope="row">`+strings.Join(append([]string{row[0] + "</th><td>" + row[1]}, row[2:]...), "</td><td>"))
	}
	return sentence, drawn, table
}

// Nothing is canned: another number in the notebook, and picture, table and
// sentence are those of the model for that number.
func TestAChangedNumberChangesEverything(t *testing.T) {
	const name = "03-balance.ipynb"
	data := lesson(t, name)
	if bytes.Count(data, []byte("Straps(3*N)")) < 1 {
		t.Fatal("the lesson has no Straps(3*N)")
	}
	three, one := atSixteen(t, 3*unit.N), atSixteen(t, 1*unit.N)
	n := read(t, name, data)
	page := run(t, n)
	if a, b, c := shows(page, three); !a || !b || !c {
		t.Errorf("with 3*N: sentence %t, picture %t, table %t", a, b, c)
	}
	if a, b, c := shows(page, one); a || b || c {
		t.Errorf("with 3*N the page shows 1 N: sentence %t, picture %t, table %t", a, b, c)
	}
	n = read(t, name, data)
	for _, c := range n.Cells {
		if c.Kind == notebook.Code {
			c.Source = strings.ReplaceAll(c.Source, "3*N", "1*N")
		}
	}
	page = run(t, n)
	if a, b, c := shows(page, one); !a || !b || !c {
		t.Errorf("with 1*N: sentence %t, picture %t, table %t", a, b, c)
	}
	if a, b, c := shows(page, three); a || b || c {
		t.Errorf("with 1*N the page still shows 3 N: sentence %t, picture %t, table %t", a, b, c)
	}
}
