package worker

import (
	"fmt"
	"reflect"
	"strconv"

	"tautline/kernel/engine"
)

// Shown is a value that knows how to show itself: media types to contents,
// among them always "text/plain".
type Shown interface {
	Mimebundle() map[string]any
}

// Bundles gives what a cell's value looks like, one bundle for each value.
// What does not show itself is printed, quantities with their unit.
func Bundles(value any) []map[string]any {
	if many, ok := value.(engine.Values); ok {
		return several(many)
	}
	if s, ok := value.(Shown); ok {
		return []map[string]any{s.Mimebundle()}
	}
	return []map[string]any{{"text/plain": plain(value)}}
}

// several shows several results of one call: pictures one by one, plain values
// together on a line.
func several(values engine.Values) []map[string]any {
	var out []map[string]any
	line := ""
	for _, v := range values {
		if s, ok := v.(Shown); ok {
			out = append(out, s.Mimebundle())
			continue
		}
		if line != "" {
			line += ", "
		}
		line += plain(v)
	}
	if line != "" {
		out = append(out, map[string]any{"text/plain": line})
	}
	return out
}

func plain(value any) string {
	if value == nil {
		return "nil"
	}
	if endless(reflect.ValueOf(value), 0) {
		return "(a value that contains itself)"
	}
	if x, ok := value.(float64); ok {
		return strconv.FormatFloat(x, 'g', shownDigits, 64)
	}
	return fmt.Sprint(value)
}

// shownDigits are those of a number that ends a cell; fmt.Print still prints
// all of them.
const shownDigits = 6

// endless tells whether a value contains itself, where package fmt would go
// round until the process ends. It looks only where that is possible: below
// lists and maps of anything.
func endless(v reflect.Value, depth int) bool {
	const enough = 100
	switch v.Kind() {
	case reflect.Interface:
		return depth > enough || endless(v.Elem(), depth+1)
	case reflect.Slice, reflect.Array:
		for i := 0; holdsMore(v.Type().Elem()) && i < v.Len(); i++ {
			if endless(v.Index(i), depth+1) {
				return true
			}
		}
	case reflect.Map:
		for it := v.MapRange(); holdsMore(v.Type().Elem()) && it.Next(); {
			if endless(it.Value(), depth+1) {
				return true
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if endless(v.Field(i), depth+1) {
				return true
			}
		}
	}
	return depth > enough
}

func holdsMore(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.Interface, reflect.Slice, reflect.Array, reflect.Map, reflect.Struct:
		return true
	}
	return false
}
