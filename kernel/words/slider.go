package words

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"

	"tautline/kernel/engine"
	"tautline/kernel/widget"
	"tautline/model/unit"
)

// A scale is a slider over a quantity. Its numbers are in the unit that is
// shown beside it.
type scale struct {
	of              reflect.Type
	unit            string
	per             float64 // SI per unit
	low, high       float64
	step, beginning float64
}

// slider makes a control that slides from a lower to a higher force, pressure or
// other quantity with a unit.
//
// Example: Slider("straps", 1*N, 8*N)
func slider(name string, low, high any) Control {
	name = named("Slider", name)
	what, of := quantityOf(low), reflect.TypeOf(low)
	if other := quantityOf(high); what.Noun == "" || other.Noun == "" {
		panic(noUnit(name, low, high, what, other))
	} else if of != reflect.TypeOf(high) {
		panic(fmt.Errorf("the ends of %s are of two kinds: %v is %s, %v is %s", called("Slider", name), low, what.Noun, high, other.Noun))
	}
	a, b := si(low), si(high)
	if !(a < b) || math.IsInf(a, 0) || math.IsInf(b, 0) {
		panic(fmt.Errorf("%s goes from a lower to a higher value, not from %v to %v", called("Slider", name), low, high))
	}
	s := scale{of: of}
	s.unit, s.per = shownIn(of, a, b)
	s.low, s.high = tidy(a/s.per), tidy(b/s.per)
	s.step = fineStep((s.high - s.low) / 60)
	s.beginning = s.snapped((s.low + s.high) / 2)
	return Control{name, s}
}

// noUnit is the error about ends that are not quantities.
func noUnit(name string, low, high any, a, b engine.Quantity) error {
	bad, example := low, "3*N"
	if a.Noun != "" {
		bad, example = high, a.Example
	} else if b.Noun != "" {
		example = b.Example
	}
	text := fmt.Sprintf("%s wants two values with a unit, such as %s; %s", called("Slider", name), example, describe(bad))
	if isNumber(low) && isNumber(high) {
		text += fmt.Sprintf("; whole numbers without a unit are Count(%q, %v, %v)", name, low, high)
	}
	return errors.New(text)
}

func isNumber(v any) bool {
	t := reflect.ValueOf(v)
	return t.IsValid() && (t.CanInt() || t.CanUint() || t.CanFloat())
}

// describe says what an unwanted value is.
func describe(v any) string {
	switch q := quantityOf(v); {
	case q.Noun != "":
		return fmt.Sprintf("%v is %s", v, q.Noun)
	case v == nil:
		return "nil is nothing"
	case isNumber(v):
		return fmt.Sprintf("%v has no unit", v)
	}
	if s, ok := v.(string); ok {
		return fmt.Sprintf("%q is a text", s)
	}
	return fmt.Sprintf("this is a %s", typeName(reflect.TypeOf(v)))
}

// quantityOf gives the wording of a value with a unit, empty for others.
func quantityOf(v any) engine.Quantity {
	for _, q := range quantities {
		if q.typ == reflect.TypeOf(v) {
			return q.Quantity
		}
	}
	return engine.Quantity{}
}

func si(v any) float64 { return reflect.ValueOf(v).Float() }

// shownIn picks the unit for the numbers of a slider between two values in SI.
func shownIn(t reflect.Type, low, high float64) (name string, per float64) {
	switch t {
	case reflect.TypeFor[unit.Force]():
		return "N", float64(unit.N)
	case reflect.TypeFor[unit.Pressure]():
		return pressureUnit(low, high)
	case reflect.TypeFor[unit.Flow]():
		return "L/min", float64(unit.LPerMin)
	case reflect.TypeFor[unit.Length]():
		return "mm", float64(unit.Mm)
	case reflect.TypeFor[unit.Angle]():
		return "deg", float64(unit.Degree)
	case reflect.TypeFor[unit.Fraction]():
		return "%", float64(unit.Percent)
	}
	switch day := float64(unit.Day); {
	case high >= 2*day:
		return "days", day
	case high >= 2*float64(unit.Hour):
		return "h", float64(unit.Hour)
	}
	return "min", float64(unit.Minute)
}

// pressureUnit reads back in which unit the ends were written, since a pressure
// keeps none: the first in which both are whole or half. On the skin people
// think in mmHg, in the mask in cmH2O.
func pressureUnit(low, high float64) (name string, per float64) {
	units := []struct {
		name string
		per  unit.Pressure
	}{{"cmH2O", unit.CmH2O}, {"mmHg", unit.MmHg}, {"hPa", unit.HPa}}
	for _, u := range units {
		if per := float64(u.per); halves(low/per) && halves(high/per) {
			return u.name, per
		}
	}
	return units[0].name, float64(units[0].per)
}

func halves(x float64) bool { return math.Abs(2*x-math.Round(2*x)) < 1e-9 }

// fineStep is the largest of 1, 2 and 5 times a power of ten below a wish.
func fineStep(wish float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(wish)))
	for _, m := range []float64{5, 2} {
		if m*power <= wish {
			return tidy(m * power)
		}
	}
	return tidy(power)
}

// tidy takes away what dividing by a unit leaves in the last digits.
func tidy(x float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 12, 64), 64)
	if err != nil {
		return x
	}
	return r
}

// snapped puts a number on the slider's steps.
func (s scale) snapped(x float64) float64 {
	return math.Min(s.high, tidy(s.low+s.step*math.Round((x-s.low)/s.step)))
}

func (s scale) word() string      { return "Slider" }
func (s scale) typ() reflect.Type { return s.of }
func (s scale) start() any        { return s.si(s.beginning) }
func (s scale) key() string       { return "value" }

// si gives a number of the slider as a value with its unit.
func (s scale) si(x float64) any {
	v := reflect.New(s.of).Elem()
	v.SetFloat(x * s.per)
	return v.Interface()
}

func (s scale) span() string { return s.text(s.si(s.low)) + " to " + s.text(s.si(s.high)) }

func (s scale) say(name string, v any) string { return name + " " + s.text(v) }

// text is a value in the slider's unit.
func (s scale) text(v any) string {
	if s.of != reflect.TypeFor[unit.Pressure]() {
		return fmt.Sprint(v)
	}
	return strconv.FormatFloat(tidy(si(v)/s.per), 'g', 4, 64) + " " + s.unit
}

func (s scale) from(name string, v any) knob {
	x := s.given(name, "Start", v)
	if x < s.low-1e-9*s.step || x > s.high+1e-9*s.step {
		panic(fmt.Errorf("%s cannot start at %s: it goes from %s", called("Slider", name), s.text(v), s.span()))
	}
	s.beginning = x
	return s
}

func (s scale) by(name string, v any) knob {
	x := s.given(name, "Step", v)
	if !(x > 0 && x <= s.high-s.low) {
		panic(fmt.Errorf("the step of %s is above zero and at most as long as the slider, not %s", called("Slider", name), s.text(v)))
	}
	s.step = x
	return s
}

// given reads a value that must be of the slider's own kind.
func (s scale) given(name, word string, v any) float64 {
	if reflect.TypeOf(v) != s.of {
		q := quantityOf(reflect.Zero(s.of).Interface())
		panic(fmt.Errorf("%s of %s wants %s such as %s; %s", word, called("Slider", name), q.Noun, q.Example, describe(v)))
	}
	return tidy(si(v) / s.per)
}

func (s scale) model(name string, l widget.Look) *widget.Model {
	places := max(0, int(math.Ceil(-math.Log10(s.step)-1e-9)))
	tip := fmt.Sprintf("%s, from %s", name, s.span())
	return widget.FloatSlider(name+", "+s.unit, tip, widget.Slide[float64]{Low: s.low, High: s.high, Step: s.step,
		Value: s.beginning, Format: fmt.Sprintf(".%df", min(places, 6))}, l)
}

func (s scale) value(state any) (any, bool) {
	x, ok := state.(float64)
	if !ok || !(x >= s.low-s.step/2 && x <= s.high+s.step/2) {
		return nil, false
	}
	return s.si(tidy(math.Max(s.low, math.Min(s.high, x)))), true
}

func (s scale) state(v any) any { return tidy(si(v) / s.per) }
