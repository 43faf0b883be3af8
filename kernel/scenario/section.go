package scenario

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tautline/model/unit"
)

// A section is one table of a scenario while it is read. Each getter notes the
// key as known, so that what is left over at the end can be refused; each
// complains by itself and then reports false.
type section struct {
	*reader
	path   string
	values map[string]any
	known  []string
}

// section opens a table; the second result is false when it is not there.
func (s *section) section(key string) (*section, bool) {
	v, ok := s.get(key)
	if !ok {
		return &section{reader: s.reader, path: below(s.path, key)}, false
	}
	table, ok := v.(map[string]any)
	if !ok {
		s.wrong(key, "is %s where a section belongs: write [%s] and its keys below", quoted(v), below(s.path, key))
		return &section{reader: s.reader, path: below(s.path, key)}, false
	}
	return &section{reader: s.reader, path: below(s.path, key), values: table}, true
}

// sections opens an array of tables.
func (s *section) sections(key string) []*section {
	v, ok := s.get(key)
	if !ok {
		return nil
	}
	list, ok := v.([]any)
	if !ok {
		s.wrong(key, "comes one or more times: write [[%s]], and its keys below", below(s.path, key))
		return nil
	}
	var out []*section
	for i, item := range list {
		path := fmt.Sprintf("%s[%d]", below(s.path, key), i)
		table, ok := item.(map[string]any)
		if !ok {
			s.fault(path, "%s holds %s where a group of keys belongs: write [[%s]], and its keys below", key, quoted(item), below(s.path, key))
			continue
		}
		out = append(out, &section{reader: s.reader, path: path, values: table})
	}
	return out
}

func (s *section) get(key string) (any, bool) {
	s.known = append(s.known, key)
	v, ok := s.values[key]
	return v, ok
}

// has tells whether a key is there, without reading it.
func (s *section) has(key string) bool { _, ok := s.values[key]; return ok }

// wrong notes a problem with a key.
func (s *section) wrong(key, format string, a ...any) {
	s.fault(below(s.path, key), "%s %s", key, fmt.Sprintf(format, a...))
}

// missing notes that a key without a default is not there.
func (s *section) missing(key, write string) {
	where := "[" + s.path + "]"
	if s.values == nil {
		s.fault("", "%s %s is missing, and it has no default: write %s below a line %s", where, key, write, where)
		return
	}
	s.fault(s.path, "%s is missing in %s, and it has no default: write %s", key, where, write)
}

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

func number(v any) (float64, bool) {
	switch n := v.(type) {
	case int64:
		return float64(n), true
	case float64:
		return n, true
	}
	return 0, false
}

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

// done refuses what is left over.
func (s *section) done() {
	for _, key := range sortedKeys(s.values) {
		if !slices.Contains(s.known, key) {
			where := "in [" + s.path + "]"
			if s.path == "" {
				where = "here"
			}
			s.fault(below(s.path, key), "the key %q is not known %s%s", shortened(key), where, didYouMean(key, s.known))
		}
	}
}
