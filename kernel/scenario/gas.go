package scenario

import (
	"fmt"
	"strings"

	"tautline/model/gas"
	"tautline/model/unit"
)

// Gas reads a gas as people write it, "30 C, 80 %": temperature and relative
// humidity in either order. What is not said stays as it is in base.
func Gas(s string, base gas.State) (gas.State, error) {
	g := base
	var warm, damp bool
	for part := range strings.SplitSeq(s, ",") {
		t, errT := unit.ParseTemperature(part)
		h, errH := unit.ParseFraction(part)
		switch {
		case errT == nil && !warm:
			g.Temperature, warm = t, true
		case errH == nil && strings.Contains(part, "%") && !damp:
			g.Humidity, damp = h, true
		default:
			return base, fmt.Errorf("the gas %q is not understood: write temperature and humidity, such as \"30 C, 80 %%\"", shortened(s))
		}
	}
	return g, g.Check()
}
