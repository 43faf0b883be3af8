package coursework

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tautline/model/unit"
)

// A Key is what is right in graded tasks. Students do not have it.
type Key struct{ Answers []KeyAnswer }

// A KeyAnswer is the right answer to one part of one task.
type KeyAnswer struct {
	Task      string
	Part      string            // "number" or "choice"
	Right     string            // an expression of a cell over the student's own numbers
	Tolerance unit.Fraction     // of the right value; 0: from the rounding of the given numbers
	Weight    float64           // against the other answers
	Reason    string            // why it is right, for giving back
	Wrong     map[string]string // why other options are not
	unit      float64           // the one that the task asks for, SI
}

type keyFile struct {
	Format string     `toml:"format"`
	Answer []keyEntry `toml:"answer"`
}

type keyEntry struct {
	Task      string            `toml:"task"`
	Part      string            `toml:"part"`
	Right     string            `toml:"right"`
	Tolerance string            `toml:"tolerance"`
	Weight    float64           `toml:"weight"`
	Reason    string            `toml:"reason"`
	Wrong     map[string]string `toml:"wrong"`
}

// fromRounding is how a key says that the tolerance follows from the numbers.
const fromRounding = "from rounding"

// ReadKey reads a key file and holds it against the tasks: every part of every
// graded task has one answer, and nothing else has.
func ReadKey(name string, data []byte, tasks Set) (Key, error) {
	var f keyFile
	if err := decode(name, data, &f); err != nil {
		return Key{}, err
	}
	if f.Format != "tautline key 1" {
		return Key{}, wrongFile(name, 0, `begins with format = "tautline key 1"; this one says %q`, f.Format)
	}
	var k Key
	for i, e := range f.Answer {
		a, err := e.answer(tasks)
		if err == nil && k.has(a.Task, a.Part) {
			err = errors.New("this part has an answer already: leave one")
		}
		if err != nil {
			return Key{}, wrongFile(name, 0, "answer %d, %q: %v", i+1, e.Task, err)
		}
		k.Answers = append(k.Answers, a)
	}
	for _, t := range tasks {
		for _, part := range t.parts() {
			if t.Kind == Graded && !k.has(t.Name, part) {
				return Key{}, wrongFile(name, 0, "has no answer to the %s of %q: add an [[answer]]", part, t.Name)
			}
		}
	}
	return k, nil
}

// parts names how a task is answered.
func (t *Task) parts() []string {
	var all []string
	if t.Number != nil {
		all = append(all, "number")
	}
	if t.Choice != nil {
		all = append(all, "choice")
	}
	return all
}

func (k Key) has(task, part string) bool {
	return slices.ContainsFunc(k.Answers, func(a KeyAnswer) bool { return a.Task == task && a.Part == part })
}

func (e *keyEntry) answer(tasks Set) (KeyAnswer, error) {
	a := KeyAnswer{Task: e.Task, Part: e.Part, Right: strings.TrimSpace(e.Right), Weight: e.Weight, Reason: e.Reason, Wrong: e.Wrong}
	t, ok := tasks.Find(e.Task)
	switch {
	case !ok || t.Kind != Graded:
		return a, fmt.Errorf("there is no graded task of that name; there is %s", strings.Join(tasks.Names(), ", "))
	case !slices.Contains(t.parts(), e.Part):
		return a, fmt.Errorf("part is %s, not %q", strings.Join(t.parts(), " or "), e.Part)
	case a.Right == "" || a.Reason == "":
		return a, errors.New("right and reason are needed")
	case !(e.Weight > 0):
		return a, errors.New("weight is a number above 0")
	case e.Part == "choice" && e.Tolerance != "":
		return a, errors.New("a choice has no tolerance: leave it out")
	}
	for option := range e.Wrong {
		if t.Choice == nil || !slices.Contains(t.Choice.Names(), option) {
			return a, fmt.Errorf("%q under wrong is not among what can be chosen", option)
		}
	}
	if e.Part == "number" {
		a.unit = t.Number.one()
	}
	if e.Part == "choice" || e.Tolerance == fromRounding {
		return a, nil
	}
	share, err := unit.ParseFraction(e.Tolerance)
	if err != nil || !(share > 0 && share < 1) {
		return a, fmt.Errorf("tolerance is %q or a share such as \"3 %%\", not %q", fromRounding, e.Tolerance)
	}
	a.Tolerance = share
	return a, nil
}

// An Evaluate gives the value of a cell's expression in which a student's own
// numbers have their names.
type Evaluate func(own []Own, expression string) (any, error)

// An Expected is what is right for one student.
type Expected struct {
	Value     float64 // SI, of a number
	Quantity  *unit.Kind
	Tolerance float64
	Option    string // of a choice
}

// Expect works out an answer of the key for one student.
func (a *KeyAnswer) Expect(own []Own, eval Evaluate) (Expected, error) {
	if a.Part == "choice" {
		v, err := eval(own, a.Right)
		option, ok := v.(string)
		if err == nil && !ok {
			err = fmt.Errorf("the key's answer to %q is no text but %v", a.Task, v)
		}
		return Expected{Option: option}, err
	}
	var e Expected
	f := func(own []Own) (float64, error) {
		v, err := eval(own, a.Right)
		if err != nil {
			return 0, err
		}
		x, kind, ok := Quantity(v)
		if !ok || kind == nil {
			return 0, fmt.Errorf("the key's answer to %q is no number with a unit but %v", a.Task, v)
		}
		e.Quantity = kind
		return x, nil
	}
	var err error
	if a.Tolerance > 0 {
		e.Value, err = f(own)
		e.Tolerance = math.Abs(e.Value) * float64(a.Tolerance)
		return e, err
	}
	e.Value, e.Tolerance, err = Tolerance(own, a.unit, f)
	return e, err
}

// Meets tells whether a number is right.
func (e Expected) Meets(v any) bool {
	x, kind, ok := Quantity(v)
	return ok && kind != nil && kind == e.Quantity && math.Abs(x-e.Value) <= e.Tolerance
}
