package coursework

import (
	"math"
	"slices"
	"strings"

	"tautline/model/face"
	"tautline/model/unit"
)

// A Verdict is what can be said of an answer.
type Verdict int

// The verdicts. Those up to InForm are all that a graded task ever says.
const (
	Unanswered    Verdict = iota
	NotANumber            // something else than a number, or no finite one
	NoUnit                // a bare number
	OtherQuantity         // a pressure where a flow was asked
	OutOfRange            // not physically possible
	UnknownOption         // no such choice
	NoReason              // a choice without a reason in words
	InForm                // graded: nothing is wrong with its form
	Right                 // practice, from here on
	SignSlip
	UnitSlip // the right number read in another unit
	TenTimes // a power of ten off
	OtherCause
	OtherSite
	NotYet
)

// String names a verdict for reading it out in a cell.
func (v Verdict) String() string {
	return [...]string{"not answered", "not a number", "no unit", "other quantity", "out of range", "no such choice", "no reason",
		"in form", "right", "sign", "unit", "order of magnitude", "wrong cause", "wrong site", "not yet"}[v]
}

// Good tells whether nothing has to be done again.
func (v Verdict) Good() bool { return v == InForm || v == Right }

// A Judgement is a verdict with what it is about.
type Judgement struct {
	Verdict
	Cause Cause // of OtherCause: what the number belongs to
}

// Quantity reads an answer: its SI value and what it is a quantity of.
func Quantity(v any) (si float64, kind *unit.Kind, ok bool) {
	switch v := v.(type) {
	case unit.Pressure:
		return float64(v), unit.PressureKind, true
	case unit.Flow:
		return float64(v), unit.FlowKind, true
	case unit.Force:
		return float64(v), unit.ForceKind, true
	case unit.Length:
		return float64(v), unit.LengthKind, true
	case unit.Time:
		return float64(v), unit.TimeKind, true
	case unit.Fraction:
		return float64(v), unit.FractionKind, true
	case unit.Angle:
		return float64(v), unit.AngleKind, true
	case float64:
		return v, nil, true
	case int:
		return float64(v), nil, true
	}
	return 0, nil, false
}

// Typed gives an SI value the type that a cell has for its quantity, for the
// quantities that a mask's tables hold; it is what Quantity reads back.
func Typed(kind *unit.Kind, si float64) (v any, ok bool) {
	switch kind {
	case unit.PressureKind:
		return unit.Pressure(si), true
	case unit.FlowKind:
		return unit.Flow(si), true
	case unit.ForceKind:
		return unit.Force(si), true
	}
	return nil, false
}

// form judges what needs no right answer. Of practice a sign slip leaves the
// range, and is more use to hear of, so that is looked at first.
func (t *Task) form(v any) Verdict {
	x, kind, ok := Quantity(v)
	switch n := t.Number; {
	case n == nil || !ok || math.IsNaN(x) || math.IsInf(x, 0):
		return NotANumber
	case kind == nil:
		return NoUnit
	case kind != n.Quantity:
		return OtherQuantity
	case x < n.Low || x > n.High:
		return OutOfRange
	}
	return InForm
}

// Judge judges a number.
func (t *Task) Judge(own []Own, v any) (Judgement, error) {
	form := t.form(v)
	if t.Kind == Graded || form != InForm && form != OutOfRange {
		return Judgement{Verdict: form}, nil
	}
	want, off, err := t.tolerated(own)
	if err != nil {
		return Judgement{}, err
	}
	_, facts, err := t.expected(own)
	if err != nil {
		return Judgement{}, err
	}
	x, _, _ := Quantity(v)
	j := t.mistake(x, want, off, facts)
	if form == OutOfRange && j.Verdict == NotYet {
		j.Verdict = OutOfRange
	}
	return j, nil
}

// mistake names the slip: the likeliest first, and none by halves.
func (t *Task) mistake(x, want, off float64, facts []fact) Judgement {
	switch {
	case math.Abs(x-want) <= off:
		return Judgement{Verdict: Right}
	case math.Abs(x+want) <= off:
		return Judgement{Verdict: SignSlip}
	}
	scale, far := scaled(x/want, off/math.Abs(want), t.Number.Quantity)
	f, apart := t.taken(x, facts)
	switch {
	case apart > far || math.IsInf(apart, 1):
		return Judgement{Verdict: scale}
	case f.cause == t.Number.wants:
		return Judgement{Verdict: OtherSite}
	}
	return Judgement{Verdict: OtherCause, Cause: f.cause}
}

// tolerated gives the right value of practice, and how far off may be.
func (t *Task) tolerated(own []Own) (want, off float64, err error) {
	return Tolerance(own, t.Number.one(), func(own []Own) (float64, error) { x, _, err := t.expected(own); return x, err })
}

// one is the SI value of one of the unit that is answered in.
func (n *Number) one() float64 {
	one, _ := n.Quantity.Factor(n.Unit)
	return one
}

// taken finds the number of the model that an answer was taken from, as it is
// printed, and how far apart the two are, as a logarithm; infinitely for none.
func (t *Task) taken(x float64, facts []fact) (found fact, apart float64) {
	apart = math.Inf(1)
	one := t.Number.one()
	for _, f := range facts {
		if f.quantity != t.Number.Quantity || t.Number.is(f) || math.Abs(x-f.si) > asPrinted(f.si/one)*one {
			continue
		}
		if d := math.Abs(math.Log(x / f.si)); d < apart {
			apart, found = d, f
		}
	}
	return found, apart
}

// tradeUnits are the units that get mixed up at a mask.
var tradeUnits = map[*unit.Kind][]string{
	unit.PressureKind: {"cmH2O", "mmHg", "kPa", "hPa"},
	unit.FlowKind:     {"L/min", "L/s"},
	unit.ForceKind:    {"N", "g"},
}

// scaled tells whether an answer is the right one times a unit's factor or a
// power of ten, whichever is nearer, and how far from it, as a logarithm.
func scaled(ratio, off float64, kind *unit.Kind) (verdict Verdict, best float64) {
	verdict, best = NotYet, math.Inf(1)
	if !(ratio > 0) {
		return verdict, best
	}
	try := func(factor float64, v Verdict) {
		d := math.Abs(math.Log(ratio / factor))
		// 1 cmH2O and 1 hPa are too near to be told apart.
		if d < best && d <= math.Log1p(off) && math.Abs(math.Log(factor)) > 0.1 {
			best, verdict = d, v
		}
	}
	for _, ten := range []float64{1e-3, 1e-2, 1e-1, 10, 100, 1000} {
		try(ten, TenTimes)
	}
	for _, a := range tradeUnits[kind] {
		for _, b := range tradeUnits[kind] {
			one, _ := kind.Factor(a)
			other, _ := kind.Factor(b)
			try(one/other, UnitSlip)
		}
	}
	return verdict, best
}

// leastReason is how many words a reason has at least; assumed.
const leastReason = 4

// Choose judges a choice and its reason. Words are not weighed: a person reads
// the reason.
func (t *Task) Choose(own []Own, option, reason string) (Judgement, error) {
	switch {
	case t.Choice == nil || !slices.Contains(t.Choice.Names(), option):
		return Judgement{Verdict: UnknownOption}, nil
	case len(strings.Fields(reason)) < leastReason:
		return Judgement{Verdict: NoReason}, nil
	case t.Kind == Graded:
		return Judgement{Verdict: InForm}, nil
	}
	first, err := t.opensFirst(own)
	if err != nil {
		return Judgement{}, err
	}
	for _, o := range t.Choice.Options {
		if o.Name == option && slices.Contains(o.sites, first) {
			return Judgement{Verdict: Right}, nil
		}
	}
	return Judgement{Verdict: OtherSite}, nil
}

func (t *Task) opensFirst(own []Own) (face.Site, error) {
	s, err := t.scene.put(own)
	if err != nil {
		return 0, err
	}
	l, err := s.on.Limits()
	return l.OpensFirst, err
}
