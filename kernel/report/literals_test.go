package report_test

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// The list of words holds for every sentence that can be said, not only for
// those that some question met: for each text in the source of what people
// read, and in every lesson. A template that is added anywhere there is found
// by itself.
var wordy = []string{"../report", "../picture", "../scenario", "../words", "../command", "../widget", "../notebook"}

// sayings hold words of the list and promise nothing by them: each with the
// reason.
var sayings = map[string]string{
	"No leak limit and no reference line stated": "says that nobody stated one",
	"Zero leak is not the goal":                  "answers the misconception by its name",
}

func TestEveryTextInTheSource(t *testing.T) {
	texts := 0
	for _, folder := range wordy {
		files, err := filepath.Glob(filepath.Join(folder, "*.go"))
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: no source (%v)", folder, err)
		}
		for _, name := range files {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			texts += literals(t, name)
		}
	}
	if texts < 2000 {
		t.Errorf("only %d texts were found: the source is looked for in the wrong place", texts)
	}
}

// literals reads every text of one file.
func literals(t *testing.T, name string) (n int) {
	t.Helper()
	files := token.NewFileSet()
	f, err := parser.ParseFile(files, name, nil, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	ast.Inspect(f, func(node ast.Node) bool {
		lit, ok := node.(*ast.BasicLit)
		if !ok || lit.Kind != token.STRING {
			return true
		}
		n++
		text, err := strconv.Unquote(lit.Value)
		if err != nil {
			t.Fatal(err)
		}
		forbidden(t, files.Position(lit.Pos()).String(), text)
		return true
	})
	return n
}

func TestEveryTextInTheLessons(t *testing.T) {
	files, err := filepath.Glob("../../notebooks/*.ipynb")
	if err != nil || len(files) == 0 {
		t.Fatalf("no lessons (%v)", err)
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var book struct {
			Cells []struct {
				ID     string   `json:"id"`
				Source []string `json:"source"`
			} `json:"cells"`
		}
		if err := json.Unmarshal(data, &book); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for _, c := range book.Cells {
			forbidden(t, name+", "+c.ID, strings.Join(c.Source, ""))
		}
	}
}

func forbidden(t *testing.T, where, text string) {
	t.Helper()
	for saying := range sayings {
		text = strings.ReplaceAll(text, saying, "")
	}
	if bad := never.FindString(text); bad != "" {
		t.Errorf("%s says %q: %.200s", where, bad, text)
	}
}

// The walk sees what it is for.
func TestForbiddenTextsAreSeen(t *testing.T) {
	for _, text := range []string{"This mask is safe.", "a good fit", "mouth leak confirmed", "raise the pressure", "he needs a full face", "tape the mouth"} {
		if !never.MatchString(text) {
			t.Errorf("%q passes", text)
		}
	}
}
