package scenario

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/floats"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// A swept is one thing that a scenario may sweep: its key, and what its values
// are.
type swept struct {
	key      string
	variable fit.Variable
	kind     *unit.Kind      // of numbers
	record   *unit.Parameter // their range
	words    func() []string // of names
}

var balanceRange = unit.Parameter{Name: mask.UpperPart, Unit: "%", Value: 60, Low: 5, High: 95}

func sweptThings() []swept {
	return []swept{
		{key: "straps", variable: fit.ByStraps, kind: unit.ForceKind, record: &fit.StrapRange},
		{key: "balance", variable: fit.ByBalance, kind: unit.FractionKind, record: &balanceRange},
		{key: "size", variable: fit.BySize, words: mask.Sizes},
		{key: "cushion", variable: fit.ByCushion, kind: unit.TimeKind, record: &mask.WearLimit},
		{key: "position", variable: fit.ByPosition, words: positionNames},
		{key: "pressure", variable: fit.ByPressure, kind: unit.PressureKind, record: &fit.SetPressureRange},
	}
}

// mostRows keeps a slip of the keyboard from running for hours.
const mostRows = 20000

// sweep reads the axes in the order of the file; without any the straps are
// swept.
func (r *reader) sweep(top *section) {
	s, there := top.section("sweep")
	var axes []fit.Axis
	var keys []string
	for _, t := range sweptThings() {
		if a, ok := s.axis(t); ok {
			axes, keys = append(axes, a), append(keys, t.key)
		}
	}
	s.done()
	if there && len(s.values) == 0 {
		s.fault(s.path, `nothing is swept: write straps = { from = "1 N", to = "8 N", steps = 29 } below [sweep], or take the line out`)
	}
	if len(s.values) > 2 {
		s.fault(s.path, "%d things are swept: keep one or two at a time", len(s.values))
	}
	sort.Slice(axes, func(i, j int) bool { // maps have forgotten the order
		return r.offsets["sweep."+keys[i]] < r.offsets["sweep."+keys[j]]
	})
	rows := 1
	for _, a := range axes {
		rows *= max(len(a.Names), len(a.Numbers))
	}
	if rows > mostRows {
		s.fault(s.path, "asks for %d points: keep it to %d, which is more than a picture can show", rows, mostRows)
	}
	if len(axes) == 0 && !there {
		axes = []fit.Axis{{Variable: fit.ByStraps, Numbers: usualStraps(&r.q)}}
	}
	r.q.Axes = axes
}

// usualStraps are the strap forces looked at when nothing is swept: from the
// loosest between which a window is looked for to two and a half times the
// stated one (6 N at least), in steps that people can read off a scale.
func usualStraps(q *fit.Question) []float64 {
	const least, fine, coarse, most = 6.0, 0.25, 0.5, 33
	from := q.Between[0].N()
	to := max(least, 2.5*q.Case.Total().N(), q.Guess[1].N())
	to = min(q.Between[1].N(), math.Ceil(to/coarse)*coarse)
	for _, step := range []float64{fine, coarse} {
		if n := 1 + int(math.Round((to-from)/step)); n >= 2 && n <= most {
			return span(from, to, n)
		}
	}
	return span(from, to, most)
}

func span(from, to float64, n int) []float64 { return floats.Span(make([]float64, n), from, to) }

// axis reads one axis: a list of values, or from, to and steps.
func (s *section) axis(t swept) (fit.Axis, bool) {
	a := fit.Axis{Variable: t.variable}
	_, isTable := s.values[t.key].(map[string]any)
	switch {
	case !s.has(t.key):
		s.known = append(s.known, t.key)
		return a, false
	case t.variable == fit.ByBalance && s.record(mask.UpperPart) == nil:
		s.get(t.key)
		s.wrong(t.key, "has no meaning for %s, which have one pair of straps: sweep something else", s.q.Case.Mask.Type)
		return a, false
	case isTable && t.words == nil:
		one, _ := s.section(t.key)
		var ok bool
		a.Numbers, ok = one.steps(t)
		return a, ok
	}
	list, ok := s.list(t.key)
	if !ok {
		return a, false
	}
	for i, item := range list {
		if ok := s.value(t, &a, i, item); !ok {
			return a, false
		}
	}
	return a, true
}

// value reads one value of a list into the axis.
func (s *section) value(t swept, a *fit.Axis, i int, item any) bool {
	path := fmt.Sprintf("%s[%d]", below(s.path, t.key), i)
	if t.words != nil {
		text, isText := item.(string)
		if !isText {
			s.fault(path, "%s holds %s where a name belongs: write one of %q", t.key, quoted(item), t.words())
			return false
		}
		w, ok := s.among(t.key, text, t.words())
		if ok && slices.Contains(a.Names, w) {
			s.fault(path, "%s holds %q twice: take one out", t.key, w)
			return false
		}
		a.Names = append(a.Names, w)
		return ok
	}
	v, ok := s.parse(path, t.key, item, t.kind)
	if !ok || !s.inRange(path, t.record, v) {
		return false
	}
	a.Numbers = append(a.Numbers, v)
	return true
}

// steps reads evenly spaced values, both ends included.
func (s *section) steps(t swept) ([]float64, bool) {
	var ends [2]float64
	good := true
	for i, key := range []string{"from", "to"} {
		v, there := s.get(key)
		if !there {
			s.fault(s.path, `%s has no %s: write %s = { from = %q, to = %q, steps = 10 }`, t.key, key, t.key, example(t.kind), example(t.kind))
			return nil, false
		}
		path := below(s.path, key)
		si, ok := s.parse(path, key, v, t.kind)
		ends[i] = si
		good = good && ok && s.inRange(path, t.record, si)
	}
	v, there := s.get("steps")
	n, isWhole := v.(int64)
	switch {
	case !there:
		s.fault(s.path, "%s has no steps: write how many values are looked at, both ends included, such as steps = 10", t.key)
		good = false
	case !isWhole || n < 2 || n > mostRows:
		s.wrong("steps", "is %s: write how many values are looked at, both ends included, from 2 to %d", quoted(v), mostRows)
		good = false
	}
	s.done()
	if !good {
		return nil, false
	}
	return span(ends[0], ends[1], int(n)), true
}
