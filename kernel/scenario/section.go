package scenario

import (
	"fmt"
	"slices"
	"strings"
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

// get notes a key as known and gives what stands there.
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
	where := heading(s.path)
	if s.values == nil {
		s.fault("", "%s %s is missing, and it has no default: write %s below a line %s", where, key, write, where)
		return
	}
	s.fault(s.path, "%s is missing in %s, and it has no default: write %s", key, where, write)
}

// heading writes a section's line as it stands in the file: "[face]", or
// "[[outcome]]" for one of several.
func heading(path string) string {
	if base, ok := strings.CutSuffix(path, "]"); ok {
		return "[[" + base[:strings.LastIndexByte(base, '[')] + "]]"
	}
	return "[" + path + "]"
}

// done refuses what is left over.
func (s *section) done() {
	for _, key := range sortedKeys(s.values) {
		if !slices.Contains(s.known, key) {
			where := "in " + heading(s.path)
			if s.path == "" {
				where = "here"
			}
			s.fault(below(s.path, key), "the key %q is not known %s%s", shortened(key), where, didYouMean(key, s.known))
		}
	}
}
