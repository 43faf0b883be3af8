// Package coursework holds tasks that a class works on: questions with every
// student's own numbers, what can be said of an answer at once, and the key
// that stays with the instructor. It says nothing to anybody: sentences belong
// to package report.
//
// There are two kinds. Practice tasks are checked by computing with the model
// when they are answered, so that no answer is written down anywhere; what is
// told is the mistake, never the number. Of graded tasks only the form is
// checked; what is right stands in a key file that students do not have.
package coursework

import (
	"slices"

	"tautline/model/face"
	"tautline/model/unit"
)

// A Kind is whether a task tells what is wrong with an answer.
type Kind string

// The kinds.
const (
	Practice Kind = "practice"
	Graded   Kind = "graded"
)

// A Task is one question.
type Task struct {
	Name  string // unique, as a cell says it
	Kind  Kind
	About string // the lesson's subject, in a word or two
	Text  string // the question, with {name} where own numbers go
	Hints []string

	Given  []Given // by name
	Number *Number // the part that is answered by a number, if any
	Choice *Choice // the part that is answered by a choice with a reason, if any
	scene  *scene  // what practice is computed from
}

// A Number is an answer with a unit.
type Number struct {
	Quantity  *unit.Kind
	Unit      string  // the one that the question asks for
	Low, High float64 // what is physically possible at all, SI
	wants     Cause   // of practice: the model's number
	site      face.Site
	sited     bool
}

// A Choice is an answer out of a few, with a reason in words.
type Choice struct {
	Options []Option
	fromRim bool // the right one is where the rim opens first
}

// An Option is one thing to choose.
type Option struct {
	Name  string
	sites []face.Site
}

// Names lists the options as they are chosen.
func (c *Choice) Names() []string {
	var all []string
	for _, o := range c.Options {
		all = append(all, o.Name)
	}
	return all
}

// A Set is the tasks of one file, in its order.
type Set []Task

// Find gives a task by its name.
func (s Set) Find(name string) (*Task, bool) {
	i := slices.IndexFunc(s, func(t Task) bool { return t.Name == name })
	if i < 0 {
		return nil, false
	}
	return &s[i], true
}

// Names lists the tasks.
func (s Set) Names() []string {
	var all []string
	for _, t := range s {
		all = append(all, t.Name)
	}
	return all
}
