package notebooks_test

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"tautline/kernel/engine"
	"tautline/kernel/notebook"
	"tautline/kernel/words"
)

// executed runs a lesson with one text of its code replaced by another, and
// gives what all cells show as text and as pictures.
func executed(t *testing.T, name, old, replacement string) (text, pictures string) {
	t.Helper()
	n := read(t, name+".ipynb", lesson(t, name+".ipynb"))
	found := false
	for _, c := range n.Cells {
		if c.Kind == notebook.Code && strings.Contains(c.Source, old) {
			c.Source, found = strings.ReplaceAll(c.Source, old, replacement), true
		}
	}
	if !found {
		t.Fatalf("%s has no %s", name, old)
	}
	start := func(s *notebook.Stage) (notebook.Engine, error) { return engine.New(words.Named(s, n.Name), s) }
	if err := n.Run(context.Background(), start, notebook.Options{}); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	for _, c := range n.Cells {
		for _, o := range c.Outputs {
			plain, _ := o.Data["text/plain"].(string)
			if o.Data != nil && plain == "" {
				t.Errorf("%s, cell %s: an output without text", name, c.ID)
			}
			text += o.Text + plain + "\n"
		}
	}
	page, err := n.HTML()
	if err != nil {
		t.Fatal(err)
	}
	return text, strings.Join(svg.FindAllString(string(page), -1), "\n")
}

var svg = regexp.MustCompile(`(?s)<svg.*?</svg>`)

// moved names for each lesson one input and another value of it.
var moved = []struct{ lesson, old, now string }{
	{"01-vent", `67*Percent`, `30*Percent`},
	{"02-circuit", `Straps(2*N)`, `Straps(3*N)`},
	{"03-balance", `Straps(3*N)`, `Straps(2*N)`},
	{"04-too-tight", `14*N)).At`, `9*N)).At`},
	{"05-shape", `"deep folds"`, `"flat bridge"`},
	{"06-mouth", `8*CmH2O`, `10*CmH2O`},
	{"07-why", `33*LPerMin`, `16*LPerMin`},
	{"08-night", `Straps(3.5*N)`, `Straps(2.5*N)`},
	{"09-first", `Pressures(4*CmH2O, 16*CmH2O)`, `Pressures(4*CmH2O, 8*CmH2O)`},
	{"10-coursework", `Face("narrow bridge")`, `Face("high bridge")`},
}

// One input is moved, and what is said and drawn moves with it; the same input
// gives the same again.
func TestEachLessonFollowsItsInput(t *testing.T) {
	for _, m := range moved {
		t.Run(m.lesson+" "+m.old, func(t *testing.T) {
			text, drawn := executed(t, m.lesson, m.old, m.old)
			text2, drawn2 := executed(t, m.lesson, m.old, m.now)
			if text == text2 {
				t.Error("nothing that is said has changed")
			}
			if drawn == drawn2 {
				t.Error("no picture has changed")
			}
			for _, picture := range svg.FindAllString(drawn+drawn2, -1) {
				if !strings.Contains(picture, "<title") || !strings.Contains(picture, "<desc") {
					t.Errorf("a picture without title or description: %.120s", picture)
				}
			}
		})
	}
}

// The shape lesson's sentences are those of the model, not written beside it.
func TestShapeFollowsTheModel(t *testing.T) {
	for _, face := range []string{"deep folds", "flat bridge"} {
		text, _ := executed(t, "05-shape", `"deep folds"`, `"`+face+`"`)
		if !strings.Contains(text, "medium, "+face+", on the back: Straps can remove") {
			t.Errorf("no sentence on %s", face)
		}
	}
}

// TestNbclient runs every lesson against the installed kernel, as a school's
// own tools would.
func TestNbclient(t *testing.T) {
	python := "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import nbclient, nbformat").Run(); err != nil {
		if os.Getenv("TAUTLINE_CI") != "" {
			t.Fatal("nbclient is not there: on Debian, apt-get install python3-nbclient")
		}
		t.Logf("not run: nbclient is not there")
		return
	}
	home := t.TempDir()
	program := filepath.Join(home, "tautline")
	if out, err := exec.Command("go", "build", "-o", program, "tautline").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	env := append(os.Environ(), "HOME="+home, "XDG_DATA_HOME="+home+"/share", "JUPYTER_DATA_DIR="+home+"/jupyter", "TAUTLINE_HISTORY=off")
	install := exec.Command(program, "install")
	install.Env = env
	if out, err := install.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	names, err := filepath.Glob("*.ipynb")
	if err != nil || len(names) == 0 {
		t.Fatalf("no lessons: %v", err)
	}
	run := exec.Command(python, append([]string{"testdata/each.py"}, names...)...)
	run.Env = env
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
}
