package picture

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
)

// A scale is an axis: its title, its range, and names instead of numbers where
// what it counts has no size.
type scale struct {
	title     string
	low, high float64
	names     []string // at 0, 1, 2 ...
}

// set gives an axis this scale. Without numbers it keeps only its ticks.
func (s scale) set(a *plot.Axis, numbers bool) {
	a.Min, a.Max = s.low, s.high
	a.Padding = 0
	a.Label.TextStyle.Font = regular(normal).Font
	a.Label.TextStyle.Color = ink
	a.Label.Padding = 6
	a.Tick.Label.Font = regular(small).Font
	a.Tick.Label.Color = ink
	a.Tick.Length = 6
	a.LineStyle.Color, a.Tick.LineStyle.Color = soft, soft
	a.LineStyle.Width, a.Tick.LineStyle.Width = 1, 1
	ticks := s.ticks()
	if !numbers {
		for i := range ticks {
			ticks[i].Label = ""
		}
	}
	a.Tick.Marker = plot.ConstantTicks(ticks)
}

// ticks stand at round numbers, or at each name.
func (s scale) ticks() []plot.Tick {
	var ticks []plot.Tick
	if len(s.names) > 0 {
		for i, n := range s.names {
			ticks = append(ticks, plot.Tick{Value: float64(i), Label: n})
		}
		return ticks
	}
	step := roundStep((s.high - s.low) / 5)
	places := max(0, int(math.Ceil(-math.Log10(step)-1e-9))+1)
	for k := math.Ceil(s.low/step - 1e-9); k*step <= s.high+1e-9*step; k++ {
		ticks = append(ticks, plot.Tick{Value: k * step, Label: decimal(k*step, places)})
	}
	return ticks
}

// roundStep is the smallest of 1, 2, 2.5 and 5 times a power of ten that is not
// below the wish.
func roundStep(wish float64) float64 {
	if !(wish > 0) || math.IsInf(wish, 0) {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(wish)))
	for _, m := range []float64{1, 2, 2.5, 5, 10} {
		if m*power >= wish*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// around is a scale that holds all values, with a little air, and zero where it
// is close. One value alone gets air on both sides.
func around(title string, values ...float64) scale {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			low, high = math.Min(low, v), math.Max(high, v)
		}
	}
	switch {
	case low > high: // nothing at all
		low, high = 0, 1
	case low == high:
		air := math.Max(0.1*math.Abs(low), 1e-3)
		low, high = low-air, high+air
	default:
		air := 0.04 * (high - low)
		low, high = low-air, high+air
	}
	return scale{title: title, low: low, high: high}
}

// fromZero is a scale from zero, or from below where values are negative, to a
// round number above all of them.
func fromZero(title string, values ...float64) scale {
	s := around(title, append(values, 0)...)
	step := roundStep((s.high - s.low) / 5)
	s.high = step * math.Ceil(s.high/step)
	if s.low > -0.05*(s.high-s.low) {
		s.low = 0
	} else {
		s.low = step * math.Floor(s.low/step)
	}
	return s
}

// named is a scale of names with half a step of air at both ends. Names too
// wide for their step are cut.
func named(title string, names []string, room vg.Length) scale {
	cut := make([]string, len(names))
	for i, n := range names {
		cut[i] = shorten(regular(small), n, room)
	}
	return scale{title, -0.5, float64(len(names)) - 0.5, cut}
}

// rangeAll gives every panel the vertical range that its kind needs, the same
// in all cells, so that cells can be compared at a glance.
func (c *chart) rangeAll() {
	if len(c.cells) == 0 {
		return
	}
	for j := range c.cells[0].panels {
		var values, lowest, chosen []float64
		for _, l := range c.cells {
			for _, s := range l.panels[j].series {
				least := math.Inf(1)
				for _, p := range s.points {
					values = append(values, p.Y)
					least = math.Min(least, p.Y)
				}
				lowest = append(lowest, least)
			}
			for _, r := range l.panels[j].rules {
				chosen = append(chosen, r.y)
			}
		}
		y, cut := fitRange(c.cells[0].panels[j], values, lowest, chosen)
		for i := range c.cells {
			c.cells[i].panels[j].y = y
		}
		if cut != "" {
			c.facts = append(c.facts, fact{text: cut})
		}
	}
}

// mostOverRule is how many times a chosen line's value the axis goes up: a leak
// of 150 L/min would otherwise flatten everything near a limit of 10. It goes
// up further where a line would not be seen at all.
const mostOverRule = 6

// fitRange decides on a range and says what it cuts off, if anything.
func fitRange(p panel, values, lowest, chosen []float64) (scale, string) {
	if p.top > 0 {
		return scale{title: p.title, high: p.top}, ""
	}
	top := p.least
	for _, v := range values {
		top = math.Max(top, finite(v))
	}
	rule := 0.0
	for _, v := range chosen {
		rule = math.Max(rule, finite(v))
	}
	end := mostOverRule * rule
	for _, v := range lowest {
		end = math.Max(end, 2*finite(v))
	}
	if p.cut && rule > 0 && top > end {
		what, unit, _ := strings.Cut(p.title, ", ")
		return fromZero(p.title, 0.95*end), fmt.Sprintf("Cut off at the top: the %s goes up to %s %s.", what, decimal(top, 0), unit)
	}
	all := append([]float64{p.least}, values...)
	if rule <= 4*top { // else the line is far above and only named
		all = append(all, rule)
	}
	return fromZero(p.title, all...), ""
}
