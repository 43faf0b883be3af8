package worker

import (
	"fmt"

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
	return fmt.Sprint(value)
}
