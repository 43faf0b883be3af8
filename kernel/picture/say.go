package picture

import (
	"math"
	"strconv"
	"strings"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

// decimal prints a number with at most that many decimals, and none from 100 on.
// Numbers too long for a label get three digits.
func decimal(x float64, places int) string {
	switch {
	case math.IsNaN(x):
		return "not known"
	case math.IsInf(x, 0) || math.Abs(x) >= 1e6:
		return strings.Replace(unit.Round(x), "-", "−", 1)
	}
	if math.Abs(x) >= 100 {
		places = 0
	}
	s := strconv.FormatFloat(x, 'f', places, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return strings.Replace(s, "-", "−", 1)
}

// The units in pictures, spelled as everywhere else in the program.
func cmH2O(p unit.Pressure) string { return decimal(p.CmH2O(), 1) + " cmH2O" }
func newton(f unit.Force) string   { return decimal(f.N(), 1) + " N" }

// mmHg drops the decimal that nobody can measure on skin.
func mmHg(p unit.Pressure) string {
	if v := math.Abs(p.MmHg()); v > 0 && v < 10 {
		return decimal(p.MmHg(), 1) + " mmHg"
	}
	return decimal(p.MmHg(), 0) + " mmHg"
}

// perMinute keeps a small leak visible: under 0.05 L/min it says so.
func perMinute(q unit.Flow) string {
	switch v := q.LPerMin(); {
	case v > 0 && v < 0.05:
		return "under 0.05 L/min"
	case math.Abs(v) < 10:
		return decimal(v, 1) + " L/min"
	default:
		return decimal(v, 0) + " L/min"
	}
}

// signed shows the sign of a margin, which is what matters about it.
func signed(p unit.Pressure) string {
	s := cmH2O(p)
	if strings.HasPrefix(s, "−") || strings.HasPrefix(s, "0 ") {
		return s
	}
	return "+" + s
}

// plain turns the typographic minus back into what a screen reader says rightly.
func plain(s string) string { return strings.ReplaceAll(s, "−", "-") }

// siteLabels are the sites' names where room is short.
var siteLabels = map[face.Site]string{
	face.Bridge:      "bridge",
	face.CornerLeft:  "left mouth corner",
	face.CornerRight: "right mouth corner",
}

func siteLabel(s face.Site) string {
	if s < 0 || s >= face.SiteCount {
		return "unknown site"
	}
	if short, ok := siteLabels[s]; ok {
		return short
	}
	return s.String()
}

// A side says in which column a site's label stands.
type side int

const (
	midline side = iota
	wearersLeft
	wearersRight
)

func sideOf(s face.Site) side {
	switch {
	case s < 0 || s >= face.SiteCount || s.Mirror() == s:
		return midline
	case s.Mirror() > s: // face.Site lists each left before its right
		return wearersLeft
	}
	return wearersRight
}

// finite stands in for what is not a number, so that one bad value cannot spoil
// a whole sheet.
func finite(x float64) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	return x
}

// join lists things as a sentence does: "a, b and c".
func join(items []string) string {
	switch n := len(items); n {
	case 0:
		return ""
	case 1:
		return items[0]
	default:
		return strings.Join(items[:n-1], ", ") + " and " + items[n-1]
	}
}

// atLift says at which pressure a rim lifts; one that never closed at all has
// no such pressure.
func atLift(p fit.Point) string {
	if p.LiftOff < 0.05*unit.CmH2O {
		return "at any pressure"
	}
	return "at " + cmH2O(p.LiftOff)
}
