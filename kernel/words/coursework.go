package words

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"tautline/kernel/coursework"
	"tautline/kernel/engine"
	"tautline/kernel/report"
	"tautline/model/unit"
)

// A Student is one student's coursework, known by codes and never by a name.
type Student struct{ work *coursework.Work }

// student begins a student's coursework from a class code and a student code.
// The codes decide the numbers that the tasks give: the same codes always give
// the same numbers, and neighbours have others.
//
// Range: codes of letters, digits and hyphens with a digit among them
// Source: the numbers follow from the codes; patients and masks are invented
// Example: Student("class-7", "k42")
func student(class, code string) Student {
	c, err := coursework.NewCodes(class, code)
	check(err)
	tasks, err := coursework.Lessons()
	check(err)
	return Student{coursework.NewWork(c, tasks)}
}

// ready refuses a student that was only declared.
func (s Student) ready() *coursework.Work {
	if s.work == nil {
		panic(errors.New(`this student has no codes yet; begin with me := Student("class-7", "k42")`))
	}
	return s.work
}

// String says whose work it is, and how far.
func (s Student) String() string {
	w := s.ready()
	return fmt.Sprintf("Student %s of %s. %s", w.Student, w.Class, report.TaskProgress(w))
}

// Task gives one task, with the student's own numbers in its question.
//
// Example: me.Task("strap pull")
func (s Student) Task(name string) Task {
	w := s.ready()
	r, ok := w.Record(name)
	if !ok {
		panic(unknown("task", name, w.Tasks.Names()))
	}
	return Task{r, w}
}

// Progress shows how far each task is.
//
// Example: me.Progress()
func (s Student) Progress() Progress { return Progress{s.ready()} }

// A Progress is how far the tasks are.
type Progress struct{ work *coursework.Work }

// Line is the progress in one sentence.
func (p Progress) Line() string { return report.TaskProgress(p.work) }

// String is the line and the table as text.
func (p Progress) String() string { return p.sheet().text() }

// Mimebundle shows the line and the table.
func (p Progress) Mimebundle() map[string]any { return p.sheet().bundle() }

func (p Progress) sheet() sheet {
	return sheet{sentences: []string{p.Line()},
		tables: []table{{caption: "The tasks", head: 1, rows: report.TaskRows(p.work)}}}
}

// A Task is a question with the student's own numbers.
type Task struct {
	record *coursework.Record
	work   *coursework.Work
}

func (t Task) ready() *coursework.Record {
	if t.record == nil {
		panic(errors.New(`this task is empty; take one with me.Task("strap pull")`))
	}
	return t.record
}

// Question is the question in words.
func (t Task) Question() string { r := t.ready(); return r.Task.Question(r.Own) }

// String is the question and how it is answered, as text.
func (t Task) String() string { return t.sheet().text() }

// Mimebundle shows the question and how it is answered.
func (t Task) Mimebundle() map[string]any { return t.sheet().bundle() }

func (t Task) sheet() sheet {
	r := t.ready()
	s := sheet{sentences: []string{"Task \"" + r.Task.Name + "\". " + t.Question(), report.TaskKind(r.Task) + " " + report.TaskHow(r.Task)}}
	if r.State() != coursework.Open {
		s.after = append(s.after, "State: "+report.TaskState(r)+".")
	}
	return s
}

// Answer answers by a number with its unit.
//
// Example: q.Answer(14*LPerMin)
func (t Task) Answer(value any) Feedback {
	r := t.ready()
	if r.Task.Number == nil {
		panic(errors.New("no number is asked for in this task. " + report.TaskHow(r.Task)))
	}
	j, err := r.Answer(value)
	check(err)
	return t.feedback(j)
}

// Choose answers by one of the choices and a reason in words.
//
// Example: q.Choose("nose sides", "because the rim stands off there")
func (t Task) Choose(option, reason string) Feedback {
	r := t.ready()
	if r.Task.Choice == nil {
		panic(errors.New("nothing is to be chosen in this task. " + report.TaskHow(r.Task)))
	}
	j, err := r.Choose(option, reason)
	check(err)
	if j.Verdict == coursework.UnknownOption {
		panic(unknown("choice", option, r.Task.Choice.Names()))
	}
	return t.feedback(j)
}

// Hint gives the next hint of a practice task, one step at a time.
//
// Example: q.Hint()
func (t Task) Hint() string {
	r := t.ready()
	text, ok := r.Hint()
	return report.TaskHint(r, text, ok)
}

// Pressure gives one of the student's own numbers, by its place in the question.
//
// Example: q.Pressure("pressure")
func (t Task) Pressure(name string) unit.Pressure {
	return unit.Pressure(t.own(name, unit.PressureKind))
}

// Force gives one of the student's own numbers that is a force.
//
// Example: q.Force("straps")
func (t Task) Force(name string) unit.Force { return unit.Force(t.own(name, unit.ForceKind)) }

// Flow gives one of the student's own numbers that is a flow.
//
// Example: q.Flow("figure")
func (t Task) Flow(name string) unit.Flow { return unit.Flow(t.own(name, unit.FlowKind)) }

func (t Task) own(name string, kind *unit.Kind) float64 {
	var known []string
	for _, o := range t.ready().Own {
		if o.Quantity == kind {
			if o.Name == name {
				return o.SI
			}
			known = append(known, o.Name)
		}
	}
	if known == nil {
		panic(fmt.Errorf("no %s is given in this task; the question has what is", kind.Name))
	}
	panic(unknown("given "+kind.Name, name, known))
}

// Check looks whether a task is answered in full. Practice must be right, of
// graded work only the form is looked at. What has to be done again is an error;
// what is not answered yet is said, and no error.
//
// Example: q.Check()
func (t Task) Check() string {
	r := t.ready()
	switch r.State() {
	case coursework.Open:
		return fmt.Sprintf("%q is not answered yet.", r.Task.Name)
	case coursework.Done:
		return fmt.Sprintf("%q: %s.", r.Task.Name, report.TaskState(r))
	}
	panic(errors.New(report.TaskNotRight(r)))
}

// Require fails unless the task is answered, in form, and as it must be: a
// number within a share of it, or the choice by its name. It is for the tests
// that a school keeps to itself, and gives nothing back, so that nothing it
// shows is taken for points.
//
// Example: q.Require(Vent(Mask("nasal", "medium")).At(q.Pressure("pressure")), 3*Percent)
func (t Task) Require(right any, within unit.Fraction) {
	r := t.ready()
	ok := r.State() == coursework.Done
	if option, isChoice := right.(string); isChoice {
		ok = ok && r.Option == option
	} else {
		want, kind, _ := coursework.Quantity(right)
		got, gotKind, _ := coursework.Quantity(r.Value)
		ok = ok && kind == gotKind && math.Abs(got-want) <= float64(within)*math.Abs(want)
	}
	if !ok {
		panic(errors.New(report.TaskNotRight(r)))
	}
}

// A Feedback is what can be said of an answer at once.
type Feedback struct {
	Question string // the question that was answered
	Mistake  string // in a word or two: "unit", "sign", "wrong site"; "right", "in form"
	Text     string // what is said of it
	Progress string // how far the student is
}

func (t Task) feedback(j coursework.Judgement) Feedback {
	r := t.ready()
	return Feedback{Question: t.Question(), Mistake: j.Verdict.String(), Text: report.TaskJudgement(r.Task, j), Progress: report.TaskProgress(t.work)}
}

// String is the feedback as text.
func (f Feedback) String() string { return f.sheet().text() }

// Mimebundle shows the question, what is said of the answer, and the progress.
func (f Feedback) Mimebundle() map[string]any { return f.sheet().bundle() }

func (f Feedback) sheet() sheet {
	return sheet{sentences: []string{f.Question, f.Text}, after: []string{f.Progress}}
}

// Evaluator gives an evaluator of a key's expressions, and what ends it. It
// reads them as cells are read, in an engine of its own.
func Evaluator(ctx context.Context) (coursework.Evaluate, func(), error) {
	e, err := engine.New(All(), io.Discard)
	if err != nil {
		return nil, nil, err
	}
	return func(own []coursework.Own, expression string) (any, error) {
		var cell strings.Builder
		for _, o := range own {
			value, err := ownWritten(o)
			if err != nil {
				return nil, err
			}
			fmt.Fprintf(&cell, "%s := %s\n", o.Name, value)
		}
		if _, _, err := e.Run(ctx, cell.String()); err != nil {
			return nil, err
		}
		v, _, err := e.Run(ctx, expression)
		return v, err
	}, e.Close, nil
}

// ownWritten writes a given as cells do. What was moved off its printed value is
// written in SI, to every digit.
func ownWritten(o coursework.Own) (string, error) {
	if o.Quantity == nil {
		return Written(o.Text, `""`)
	}
	for _, u := range spelledUnits[o.Quantity] {
		if one, ok := o.Quantity.Factor(u.unit); ok {
			return fmt.Sprintf("%v*%s", o.SI/one, u.word), nil
		}
	}
	return "", fmt.Errorf("cells have no unit for %s", o.Quantity.Name)
}
