package notebooks_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"tautline/kernel/coursework"
	"tautline/kernel/engine"
	"tautline/kernel/words"
)

const courseworkLesson = "10-coursework.ipynb"

// markedCell is a cell as a school's autograding reads it.
type markedCell struct {
	Kind     string   `json:"cell_type"`
	ID       string   `json:"id"`
	Source   []string `json:"source"`
	Metadata struct {
		Mark json.RawMessage `json:"nbgrader"`
	} `json:"metadata"`
}

func (c markedCell) text() string { return strings.Join(c.Source, "") }

// mark reads a cell's mark; without one the second result is false.
func (c markedCell) mark(t *testing.T) (m coursework.Mark, ok bool) {
	t.Helper()
	if c.Metadata.Mark == nil {
		return m, false
	}
	d := json.NewDecoder(bytes.NewReader(c.Metadata.Mark))
	d.DisallowUnknownFields()
	if err := d.Decode(&m); err != nil {
		t.Errorf("cell %s: %v", c.ID, err)
	}
	return m, true
}

func markedCells(t *testing.T) []markedCell {
	t.Helper()
	var n struct{ Cells []markedCell }
	if err := json.Unmarshal(lesson(t, courseworkLesson), &n); err != nil {
		t.Fatal(err)
	}
	return n.Cells
}

// The marks keep the schema, ids are unique, checksums are those of the cells,
// and test cells carry points.
func TestCourseworkMarks(t *testing.T) {
	schema, err := jsonschema.NewCompiler().Compile("../testdata/schema/nbgrader.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	ids, solutions, points := map[string]bool{}, 0, 0.0
	for _, c := range markedCells(t) {
		m, ok := c.mark(t)
		if !ok {
			if c.Kind == "code" {
				t.Errorf("cell %s has no mark", c.ID)
			}
			continue
		}
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(c.Metadata.Mark))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(v); err != nil {
			t.Errorf("cell %s: %v", c.ID, err)
		}
		if ids[m.ID] || m.ID != c.ID {
			t.Errorf("cell %s: its grade_id %q is another's", c.ID, m.ID)
		}
		ids[m.ID] = true
		if want := m.Sum(c.text(), c.Kind); m.Checksum != want {
			t.Errorf("cell %s: checksum %s, but the cell's is %s: was it changed?", c.ID, m.Checksum, want)
		}
		if m.Grade && (m.Solution || !m.Locked || m.Points == nil || !(*m.Points > 0)) || m.Solution && m.Locked {
			t.Errorf("cell %s is no answer, test or read-only cell: %+v", c.ID, m)
		}
		if m.Solution {
			solutions++
		}
		if m.Points != nil {
			points += *m.Points
		}
	}
	if solutions != 8 || points != 9 {
		t.Errorf("%d cells to answer in and %v points", solutions, points)
	}
}

// A school: its own notebook ends each test cell with a line that students do
// not see. Answered rightly every test cell passes, wrongly or not at all each
// is a real error, nothing is written to stderr, and nothing shown can be taken
// for a bare number.
func TestASchoolsAutogradingWorks(t *testing.T) {
	tasks, err := coursework.Lessons()
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile("../testdata/coursework/key.toml")
	if err != nil {
		t.Fatal(err)
	}
	key, err := coursework.ReadKey("key.toml", data, tasks)
	if err != nil {
		t.Fatal(err)
	}
	codes, err := coursework.NewCodes("class-7", "k42")
	if err != nil {
		t.Fatal(err)
	}
	eval, end, err := words.Evaluator(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	defer end()
	for i, a := range key.Answers {
		task, _ := tasks.Find(a.Task)
		e, err := a.Expect(task.Own(codes), eval)
		if err != nil {
			t.Fatal(err)
		}
		q := fmt.Sprintf("q%d", i+3)
		right, wrong := answers(task, e, q)
		for _, c := range []struct {
			answer string
			fails  bool
		}{{"", true}, {wrong, true}, {right, false}} {
			if failed := graded(t, a, e, q, c.answer); failed != c.fails {
				t.Errorf("%q answered %q: failed is %t", a.Task, c.answer, failed)
			}
		}
	}
}

// answers writes a right and a wrong answer as a student does.
func answers(task *coursework.Task, e coursework.Expected, q string) (right, wrong string) {
	if task.Choice != nil {
		return fmt.Sprintf("%s.Choose(%q, \"because the vent passes so much\")", q, e.Option), q + `.Choose("the vent alone", "because it looks like that")`
	}
	word := map[string]string{"L/min": "LPerMin", "N": "N", "mmHg": "MmHg"}[task.Number.Unit]
	one, _ := task.Number.Quantity.Factor(task.Number.Unit)
	return fmt.Sprintf("%s.Answer(%.3g*%s)", q, e.Value/one, word), fmt.Sprintf("%s.Answer(%.3g*%s)", q, 1.3*e.Value/one, word)
}

// graded runs a task's cells with an answer put in and the school's line added,
// and tells whether the test cell failed.
func graded(t *testing.T, a coursework.KeyAnswer, e coursework.Expected, q, answer string) bool {
	t.Helper()
	var out, errors bytes.Buffer
	eng, err := engine.New(words.All(), &out)
	if err != nil {
		t.Fatal(err)
	}
	defer eng.Close()
	eng.ErrorsTo(&errors)
	must := fmt.Sprintf("%s.Require(%g*Pa, 2*Percent)", q, e.Value)
	switch task := a.Task; {
	case a.Part == "choice":
		must = fmt.Sprintf("%s.Require(%q, 0)", q, e.Option)
	case strings.Contains(a.Right, "Force") || task == "what the straps spend":
		must = fmt.Sprintf("%s.Require(%g*N, 2*Percent)", q, e.Value)
	case task != "the price":
		must = fmt.Sprintf("%s.Require(%g*LPerSec, 2*Percent)", q, e.Value*1000)
	}
	for _, cell := range []string{`me := Student("class-7", "k42")`, fmt.Sprintf("%s := me.Task(%q)\n%s", q, a.Task, answer)} {
		if _, _, err := eng.Run(context.Background(), cell); err != nil {
			t.Fatal(err)
		}
	}
	_, has, err := eng.Run(context.Background(), q+".Check()\n"+must)
	if has || errors.Len() > 0 {
		t.Errorf("%q shows a value (%t) or writes to stderr (%q)", a.Task, has, &errors)
	}
	return err != nil
}
