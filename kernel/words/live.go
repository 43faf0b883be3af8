package words

import (
	"errors"
	"fmt"
	"reflect"
	"strings"

	"tautline/kernel/widget"
)

// mostControls is how many controls one picture has at most: with more, nobody
// can tell any longer what did what.
const mostControls = 4

// A live is a picture with the controls that redraw it.
type live struct {
	desk     *desk
	controls []Control
	f        func(values []any) any
	form     bool // many controls that make one question: nothing is set against the start

	knobs       []*widget.Model // one for each control
	reset, note *widget.Model
	whole       *widget.Model
	models      []*widget.Model // all of them, none before those it refers to

	shown string // the id of the picture's place
	now   []any  // a value for each control
	first any    // what the function gave at the start
	stale bool   // now is not what is drawn
}

// theWord is the word's name in its own errors.
const theWord = "Live"

var errNoFront = fmt.Errorf("%s needs a notebook, where its controls and its picture can be shown", theWord)

// unplaced is the word Live where there is no front.
func unplaced(parts ...any) {
	liveParts(parts)
	panic(errNoFront)
}

// live shows a picture that follows its controls: one to four of them, then a
// function of their values that gives what to show.
//
// Example: Live(Slider("straps", 1*N, 8*N), func(f Force) any { return fit.With(Straps(f)).At(12*CmH2O) })
func (d *desk) live(parts ...any) {
	controls, f := liveParts(parts)
	l := &live{desk: d, controls: controls, f: fromCell(f), shown: d.id()}
	l.start()
}

// start draws the first picture and shows it with its controls.
func (l *live) start() {
	l.now = l.starts()
	l.first = l.f(l.now)
	look := l.look(l.first) // before anything is shown: it may fail
	l.build()
	check(l.open())
	l.desk.front.Show(l.view(), nil, "", false)
	l.desk.front.Show(look, nil, l.shown, false)
	l.desk.keep(l)
}

func (l *live) starts() []any {
	var all []any
	for _, c := range l.controls {
		all = append(all, c.knob.start())
	}
	return all
}

// fromCell asks a cell's function for what it shows.
func fromCell(f reflect.Value) func(values []any) any {
	return func(values []any) any {
		in := make([]reflect.Value, len(values))
		for i, v := range values {
			in[i] = reflect.ValueOf(v)
		}
		out := f.Call(in)[0]
		if !out.IsValid() || !out.CanInterface() {
			return nil
		}
		return out.Interface()
	}
}

// liveParts sorts out what Live was given, and says what is wrong with it.
func liveParts(parts []any) ([]Control, reflect.Value) {
	var controls []Control
	var f reflect.Value
	for i, p := range parts {
		c, ok := p.(Control)
		switch v := reflect.ValueOf(p); {
		case ok:
			c.made()
			controls = append(controls, c)
		case v.Kind() == reflect.Func && i == len(parts)-1:
			f = v
		case v.Kind() == reflect.Func:
			panic(errors.New("the function comes last in Live, after the controls"))
		default:
			panic(fmt.Errorf("%s wants controls, such as Slider(\"straps\", 1*N, 8*N), and a function; for number %d, %s", theWord, i+1, describe(p)))
		}
	}
	checkCount(controls)
	if !f.IsValid() || f.IsNil() {
		panic(fmt.Errorf("%s ends with a function of what its controls set: %s", theWord, wantedFunc(controls)))
	}
	checkFunc(controls, f.Type())
	return controls, f
}

func checkCount(controls []Control) {
	if len(controls) < 1 || len(controls) > mostControls {
		panic(fmt.Errorf("%s wants one to four controls before its function, such as Slider(\"straps\", 1*N, 8*N); here there are %d", theWord, len(controls)))
	}
	names := map[string]bool{}
	for _, c := range controls {
		if names[c.name] {
			panic(fmt.Errorf("two controls of Live are named %q; each needs a name of its own", c.name))
		}
		names[c.name] = true
	}
}

// checkFunc holds the function to taking one value of each control, in order,
// and to giving one.
func checkFunc(controls []Control, t reflect.Type) {
	want := wantedFunc(controls)
	if t.NumIn() != len(controls) || t.IsVariadic() {
		panic(fmt.Errorf("the function of Live takes one value for each control, here %s; this one takes %s", want, counted(t)))
	}
	for i, c := range controls {
		if in := t.In(i); in != c.knob.typ() {
			panic(fmt.Errorf("%s gives a value of type %s, but the function takes %s in its place; write %s",
				called(c.knob.word(), c.name), typeName(c.knob.typ()), typeName(in), want))
		}
	}
	if t.NumOut() != 1 {
		panic(fmt.Errorf("the function of Live gives back the one thing to show: %s { return ... }; this one gives back %s", want, number(t.NumOut())))
	}
}

func counted(t reflect.Type) string {
	if t.IsVariadic() {
		return "any number of values"
	}
	return number(t.NumIn())
}

func number(n int) string {
	if n == 0 {
		return "nothing"
	}
	return fmt.Sprint(n)
}

// wantedFunc writes the function that fits the controls.
func wantedFunc(controls []Control) string {
	var in []string
	for _, c := range controls {
		in = append(in, c.parameter()+" "+typeName(c.knob.typ()))
	}
	return "func(" + strings.Join(in, ", ") + ") any"
}
