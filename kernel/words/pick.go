package words

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"tautline/kernel/engine"
	"tautline/kernel/widget"
)

// The controls without a unit: a count, a choice and a switch.

// A counter counts from one whole number to another.
type counter struct{ low, high, step, beginning int }

// count makes a control that counts from one whole number to another.
//
// Example: Count("tabs", 0, 6)
func count(name string, low, high int) Control {
	name = named("Count", name)
	if low >= high || high-low > 1_000_000 {
		panic(fmt.Errorf("%s goes from a lower to a higher whole number, not from %d to %d", called("Count", name), low, high))
	}
	return Control{name, counter{low, high, 1, low + (high-low)/2}}
}

func (c counter) word() string      { return "Count" }
func (c counter) typ() reflect.Type { return reflect.TypeFor[int]() }
func (c counter) span() string      { return fmt.Sprintf("%d to %d", c.low, c.high) }
func (c counter) start() any        { return c.beginning }
func (c counter) key() string       { return "value" }
func (c counter) state(v any) any   { return v }

func (c counter) say(name string, v any) string { return fmt.Sprintf("%s %d", name, v) }

func (c counter) from(name string, v any) knob {
	n, ok := v.(int)
	if !ok || n < c.low || n > c.high {
		panic(fmt.Errorf("%s cannot start at %v: it counts from %s", called("Count", name), v, c.span()))
	}
	c.beginning = n
	return c
}

func (c counter) by(name string, v any) knob {
	n, ok := v.(int)
	if !ok || n < 1 || n > c.high-c.low {
		panic(fmt.Errorf("the step of %s is a whole number from 1 up and at most as long as the count, not %v", called("Count", name), v))
	}
	c.step = n
	return c
}

func (c counter) model(name string, l widget.Look) *widget.Model {
	return widget.IntSlider(name, fmt.Sprintf("%s, from %s", name, c.span()),
		widget.Slide[int]{Low: c.low, High: c.high, Step: c.step, Value: c.beginning, Format: "d"}, l)
}

func (c counter) value(state any) (any, bool) {
	x, ok := state.(float64)
	if !ok || x != math.Trunc(x) || x < float64(c.low) || x > float64(c.high) {
		return nil, false
	}
	return int(x), true
}

// A menu is a choice of texts.
type menu struct {
	options   []string
	beginning int
}

// mostOptions bounds what is offered in one choice.
const mostOptions = 200

// choice makes a control that offers texts, one of which is chosen.
//
// Example: Choice("size", "small", "medium", "large")
func choice(name string, options ...string) Control {
	name = named("Choice", name)
	for i, o := range options {
		if strings.TrimSpace(o) == "" || slices.Contains(options[:i], o) {
			panic(fmt.Errorf("%s offers different texts, none empty; %q is offered twice or is empty", called("Choice", name), o))
		}
	}
	if len(options) < 2 || len(options) > mostOptions {
		panic(fmt.Errorf("%s offers two texts or more, such as Choice(%q, \"small\", \"medium\"); here there are %d", called("Choice", name), name, len(options)))
	}
	return Control{name, menu{slices.Clone(options), 0}}
}

func (m menu) word() string      { return "Choice" }
func (m menu) typ() reflect.Type { return reflect.TypeFor[string]() }
func (m menu) span() string      { return strings.Join(m.options, ", ") }
func (m menu) start() any        { return m.options[m.beginning] }
func (m menu) key() string       { return "index" }

func (m menu) say(name string, v any) string { return fmt.Sprintf("%s %v", name, v) }

func (m menu) from(name string, v any) knob {
	text, _ := v.(string)
	at := slices.Index(m.options, text)
	if at < 0 {
		err := fmt.Errorf("%s does not offer %v; it offers %s", called("Choice", name), v, m.span())
		if near := engine.Nearest(text, m.options); near != "" {
			err = fmt.Errorf("%s does not offer %q; did you mean %q?", called("Choice", name), text, near)
		}
		panic(err)
	}
	m.beginning = at
	return m
}

func (m menu) by(name string, _ any) knob {
	panic(fmt.Errorf("%s has no step: it offers %s", called("Choice", name), m.span()))
}

func (m menu) model(name string, l widget.Look) *widget.Model {
	return widget.Dropdown(name, name+": "+m.span(), m.options, m.beginning, l)
}

func (m menu) value(state any) (any, bool) {
	x, ok := state.(float64)
	if !ok || x != math.Trunc(x) || x < 0 || x >= float64(len(m.options)) {
		return nil, false
	}
	return m.options[int(x)], true
}

func (m menu) state(v any) any { return slices.Index(m.options, v.(string)) }

// A toggle is on or off.
type toggle struct{ beginning bool }

// newSwitch makes a control that is on or off.
//
// Example: Switch("worn cushion")
func newSwitch(name string) Control { return Control{named("Switch", name), toggle{}} }

func (t toggle) word() string      { return "Switch" }
func (t toggle) typ() reflect.Type { return reflect.TypeFor[bool]() }
func (t toggle) span() string      { return "on or off" }
func (t toggle) start() any        { return t.beginning }
func (t toggle) key() string       { return "value" }
func (t toggle) state(v any) any   { return v }

func (t toggle) say(name string, v any) string {
	if v == true {
		return name + " on"
	}
	return name + " off"
}

func (t toggle) from(name string, v any) knob {
	on, ok := v.(bool)
	if !ok {
		panic(fmt.Errorf("%s starts at true or false; %s", called("Switch", name), describe(v)))
	}
	return toggle{on}
}

func (t toggle) by(name string, _ any) knob {
	panic(fmt.Errorf("%s has no step: it is on or off", called("Switch", name)))
}

func (t toggle) model(name string, l widget.Look) *widget.Model {
	return widget.Checkbox(name, name+", on or off", t.beginning, l)
}

func (t toggle) value(state any) (any, bool) {
	on, ok := state.(bool)
	return on, ok
}
