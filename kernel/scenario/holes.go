package scenario

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"tautline/model/unit"
	"tautline/model/vent"
)

// ventFormat heads a geometry file; the number is that of the format.
const ventFormat = "tautline vent 1"

// holesExample is what every error about a missing key shows.
const holesExample = `format = "tautline vent 1", holes = 20, diameter = "1.1 mm", length = "2 mm"`

var holesKeys = []string{"format", "holes", "diameter", "length"}

// holes reads a vent's geometry.
func holes(name string, data []byte) (vent.Holes, error) {
	text, err := Text(name, data)
	if err != nil {
		return vent.Holes{}, err
	}
	keys, err := flatTOML(name, text, holesKeys)
	if err != nil {
		return vent.Holes{}, err
	}
	for _, key := range holesKeys {
		if _, ok := keys[key]; !ok {
			return vent.Holes{}, problem(name, 0, "%q is missing; a vent's holes are written as %s", key, holesExample)
		}
	}
	if keys["format"] != ventFormat {
		return vent.Holes{}, problem(name, keyLine(text, "format"), "the format is %v, and %q is read here", quoted(keys["format"]), ventFormat)
	}
	return holesValues(name, text, keys)
}

func holesValues(name, text string, keys map[string]any) (h vent.Holes, err error) {
	count, ok := keys["holes"].(int64)
	if !ok || count < 1 || count > 1e6 {
		return h, problem(name, keyLine(text, "holes"), "holes is %v: write their number, such as holes = 20", quoted(keys["holes"]))
	}
	h.Count = int(count)
	for key, into := range map[string]*unit.Length{"diameter": &h.Diameter, "length": &h.Length} {
		s, ok := keys[key].(string)
		if !ok {
			return h, problem(name, keyLine(text, key), `%s is %v without a unit: write it in quotation marks with one, such as "1.1 mm"`,
				key, quoted(keys[key]))
		}
		if *into, err = unit.ParseLength(s); err != nil {
			return h, problem(name, keyLine(text, key), "%s: %v", key, err)
		}
	}
	return h, nil
}

func quoted(v any) string {
	if s, ok := v.(string); ok {
		return fmt.Sprintf("%q", shortened(s))
	}
	return shortened(fmt.Sprint(v))
}

// largestTOML bounds the time that a hostile file can cost: a million dots in one
// key take seconds.
const largestTOML = 1 << 20

// flatTOML reads a file without sections, refusing keys that are not known.
func flatTOML(name, text string, known []string) (map[string]any, error) {
	if len(text) > largestTOML {
		return nil, problem(name, 0, "is larger than 1 MB: this is another kind of file")
	}
	keys := map[string]any{}
	err := toml.NewDecoder(bytes.NewReader([]byte(text))).Decode(&keys)
	if e := (*toml.DecodeError)(nil); errors.As(err, &e) {
		line, _ := e.Position()
		return nil, problem(name, line, "is not TOML (%s): text values need quotation marks",
			strings.TrimPrefix(e.Error(), "toml: "))
	}
	if err != nil {
		return nil, problem(name, 0, "is not TOML (%v)", err)
	}
	for _, key := range sortedKeys(keys) {
		if !slices.Contains(known, key) {
			return nil, problem(name, keyLine(text, key), "the key %q is not known%s", shortened(key), didYouMean(key, known))
		}
	}
	return keys, nil
}

func sortedKeys(m map[string]any) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// keyLine finds the line on which a key of a flat file is set, or 0.
func keyLine(text, key string) int {
	for i, line := range strings.Split(text, "\n") {
		k := strings.Trim(strings.TrimSpace(strings.SplitN(line, "=", 2)[0]), `"'[]`)
		if k == key || strings.HasPrefix(k, key+".") {
			return i + 1
		}
	}
	return 0
}
