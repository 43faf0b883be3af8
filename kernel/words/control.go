package words

import (
	"errors"
	"fmt"
	"reflect"
	"strings"

	"tautline/kernel/widget"
)

// A Control is one thing that a person moves beside a picture. Live gives its
// function the value of each.
type Control struct {
	name string
	knob knob
}

// A knob is one kind of control.
type knob interface {
	// word is the one that makes it.
	word() string
	// typ is the type of its values.
	typ() reflect.Type
	// span names what can be chosen: "1 N to 8 N".
	span() string
	// start is the value at the start; from sets it, by sets the step.
	start() any
	from(name string, v any) knob
	by(name string, step any) knob
	// say words a value together with the control's name: "straps 3 N".
	say(name string, v any) string
	// model draws it; key is the part of its state that a person changes.
	model(name string, l widget.Look) *widget.Model
	key() string
	// value reads that part, and says false when it is none; state is the
	// way back.
	value(state any) (any, bool)
	state(v any) any
}

// String names the control.
func (c Control) String() string {
	if c.knob == nil {
		return "an empty control"
	}
	return fmt.Sprintf("%s(%q): %s", c.knob.word(), c.name, c.knob.span())
}

// Start sets where the control stands at first. Without it sliders and counts
// start in the middle, choices at the first, switches off.
func (c Control) Start(at any) Control {
	return Control{c.name, c.made().from(c.name, at)}
}

// Step sets by how much a slider or a count moves at least.
func (c Control) Step(step any) Control {
	return Control{c.name, c.made().by(c.name, step)}
}

var errEmptyControl = errors.New(`this control is empty; make one with Slider("straps", 1*N, 8*N), Count, Choice or Switch`)

func (c Control) made() knob {
	if c.knob == nil {
		panic(errEmptyControl)
	}
	return c.knob
}

func (c Control) say(v any) string { return c.knob.say(c.name, v) }

// named checks a control's name: it stands beside the control and in sentences.
func named(word, name string) string {
	name = strings.TrimSpace(name)
	if name == "" || len([]rune(name)) > 40 {
		panic(fmt.Errorf(`%s wants a short name first, such as "straps"`, word))
	}
	return name
}

// called is how sentences name a control.
func called(word, name string) string { return fmt.Sprintf("%s(%q)", word, name) }

// parameter is the name by which an example names a control's value.
func (c Control) parameter() string {
	name := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' {
			return r
		}
		return -1
	}, strings.ToLower(c.name))
	if name == "" {
		return "value"
	}
	return name
}

// typeName writes a type as a cell does.
func typeName(t reflect.Type) string {
	if t.Kind() == reflect.Interface && t.NumMethod() == 0 {
		return "any"
	}
	if t.Name() != "" {
		return t.Name()
	}
	return t.String()
}
