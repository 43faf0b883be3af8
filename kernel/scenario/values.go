package scenario

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tautline/model/unit"
)

// text reads a line of text.
func (s *section) text(key string) (string, bool) {
	v, ok := s.get(key)
	if !ok {
		return "", false
	}
	t, ok := v.(string)
	if !ok {
		s.wrong(key, "is %s where text belongs: put it in quotation marks", quoted(v))
	}
	return strings.TrimSpace(t), ok
}

// word reads one of a few words, however their case, and gives it as known.
func (s *section) word(key string, known []string) (string, bool) {
	t, ok := s.text(key)
	if !ok {
		return "", false
	}
	return s.among(key, t, known)
}

// among finds a word among those known; what is nearly one of them is answered
// with that one.
func (s *section) among(key, t string, known []string) (string, bool) {
	plain := strings.Join(strings.Fields(strings.ToLower(t)), " ")
	if i := slices.IndexFunc(known, func(k string) bool { return strings.ToLower(k) == plain }); i >= 0 {
		return known[i], true
	}
	s.wrong(key, "%q is not known%s", shortened(t), didYouMean(plain, known))
	return "", false
}

// flag reads true or false.
func (s *section) flag(key string) (value, ok bool) {
	v, ok := s.get(key)
	if !ok {
		return false, false
	}
	if value, ok = v.(bool); !ok {
		s.wrong(key, "is %s: write %s = true or %s = false", quoted(v), key, key)
	}
	return value, ok
}

// quantity reads a number with its unit, in SI, within the range of a record.
func (s *section) quantity(key string, kind *unit.Kind, record string) (float64, bool) {
	v, ok := s.get(key)
	if !ok {
		return 0, false
	}
	si, ok := s.parse(below(s.path, key), key, v, kind)
	return si, ok && s.state(below(s.path, key), record, si)
}

// parse reads one written quantity; name is what a sentence calls it.
func (r *reader) parse(path, name string, v any, kind *unit.Kind) (float64, bool) {
	text, ok := v.(string)
	if !ok {
		n, isNumber := number(v)
		if isNumber && kind == unit.FractionKind { // a share needs no unit
			return n, r.finite(path, name, n)
		}
		if !isNumber {
			r.fault(path, "%s is %s where %s %s belongs: write it like %q", name, quoted(v), kind.Article, kind.Name, example(kind))
			return 0, false
		}
		if r.finite(path, name, n) {
			_, unitName, _ := strings.Cut(example(kind), " ")
			r.fault(path, "%s = %s has no unit: write %s = \"%s %s\"", name, quoted(v), name, quoted(v), unitName)
		}
		return 0, false
	}
	si, err := kind.Parse(text)
	if err != nil {
		r.fault(path, "%s: %v", name, err)
	}
	return si, err == nil
}

// example is one way to write a quantity of a kind.
func example(k *unit.Kind) string { one, _, _ := strings.Cut(k.Example, " or "); return one }

// number is a TOML integer or float.
func number(v any) (float64, bool) {
	switch n := v.(type) {
	case int64:
		return float64(n), true
	case float64:
		return n, true
	}
	return 0, false
}

// finite refuses what TOML allows and nobody measures: nan and inf.
func (r *reader) finite(path, name string, n float64) bool {
	if math.IsNaN(n) || math.IsInf(n, 0) {
		r.fault(path, "%s is not a finite number: write what was measured, or leave it out", name)
		return false
	}
	return true
}

// number reads a number that has no unit.
func (s *section) number(key, record string) (float64, bool) {
	v, ok := s.get(key)
	if !ok {
		return 0, false
	}
	n, ok := number(v)
	if !ok {
		s.wrong(key, "is %s where a plain number belongs: write it without unit and quotation marks", quoted(v))
		return 0, false
	}
	return n, s.finite(below(s.path, key), key, n) && s.state(below(s.path, key), record, n)
}

// list reads a list of anything.
func (s *section) list(key string) ([]any, bool) {
	v, ok := s.get(key)
	if !ok {
		return nil, false
	}
	l, ok := v.([]any)
	if !ok {
		s.wrong(key, "is %s where a list belongs: put it in [ ]", quoted(v))
		return nil, false
	}
	if len(l) == 0 {
		s.wrong(key, "is an empty list: fill it, or leave the key out")
		return nil, false
	}
	return l, true
}

// pair reads two quantities in a list: from a lower to a higher one.
func (s *section) pair(key string, kind *unit.Kind, record *unit.Parameter) (out [2]float64, ok bool) {
	l, ok := s.list(key)
	if !ok {
		return out, false
	}
	if len(l) != 2 {
		s.wrong(key, "holds %d values: write the lower and the higher one, such as [%q, %q]", len(l), example(kind), example(kind))
		return out, false
	}
	for i, v := range l {
		path := fmt.Sprintf("%s[%d]", below(s.path, key), i)
		if out[i], ok = s.parse(path, key, v, kind); !ok || !s.inRange(path, record, out[i]) {
			return out, false
		}
	}
	return out, true
}
