package report

import (
	"fmt"
	"math"
	"strings"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// How numbers are said at the bedside: whole L/min and mmHg once they reach
// ten, one decimal below, because nobody reads more off a machine.

// Flow says a flow: "14 L/min".
func Flow(q unit.Flow) string { return bedside(q.LPerMin()) + " L/min" }

// Contact says a contact pressure: "75 mmHg".
func Contact(p unit.Pressure) string { return fmt.Sprintf("%.0f mmHg", nonzero(p.MmHg())) }

// Airway says an airway pressure: "12 cmH2O".
func Airway(p unit.Pressure) string { return bedside(p.CmH2O()) + " cmH2O" }

// Pull says a strap force: "3.4 N".
func Pull(f unit.Force) string { return bedside(f.N()) + " N" }

// Depth says a length: "4 mm".
func Depth(l unit.Length) string { return bedside(l.Mm()) + " mm" }

func bedside(x float64) string {
	switch a := math.Abs(x); {
	case a < 0.05:
		return "0"
	case a >= 9.95:
		return fmt.Sprintf("%.0f", x)
	}
	s := fmt.Sprintf("%.1f", x)
	if len(s) > 2 && s[len(s)-2:] == ".0" {
		return s[:len(s)-2]
	}
	return s
}

// nonzero keeps "-0" out.
func nonzero(x float64) float64 {
	if math.Abs(x) < 0.5 {
		return 0
	}
	return x
}

// TypeWords says a mask type as the trade does.
func TypeWords(t mask.Type) string {
	switch t {
	case mask.Oronasal:
		return "oronasal (full face)"
	case mask.Pillows:
		return "nasal pillows"
	case mask.Nasal:
		return "nasal"
	}
	return string(t)
}

// The says a site with its article: "the left cheek".
func The(s face.Site) string { return "the " + s.String() }

// Both says a site together with its mirror where the two are alike at a
// point: "both cheeks".
func Both(p fit.Point, s face.Site) string {
	var own, other *fit.SiteState
	for i := range p.Sites {
		switch p.Sites[i].Site {
		case s:
			own = &p.Sites[i]
		case s.Mirror():
			other = &p.Sites[i]
		}
	}
	if own == nil || other == nil || !alike(float64(own.Contact), float64(other.Contact)) ||
		!alike(float64(own.Leak), float64(other.Leak)) {
		return The(s)
	}
	return pair(s)
}

// pair names a site together with its mirror.
func pair(s face.Site) string {
	one := strings.TrimPrefix(strings.TrimPrefix(s.String(), "left "), "right ")
	if before, after, found := strings.Cut(one, " of "); found {
		return "both " + before + "s of " + after
	}
	return "both " + one + "s"
}

func alike(a, b float64) bool { return math.Abs(a-b) <= 0.01*(math.Abs(a)+math.Abs(b)) }

// Some says a leak in a sentence; under 0.1 L/min it is not put in figures.
func Some(q unit.Flow) string {
	if q < trace {
		return "hardly any air"
	}
	return Flow(q)
}

// Worst gives the site with the largest contact and that contact.
func Worst(p fit.Point) (s face.Site, contact unit.Pressure) {
	for _, at := range p.Sites {
		if at.Contact > contact {
			s, contact = at.Site, at.Contact
		}
	}
	return s, contact
}

// leakiest gives the site through which most air escapes.
func leakiest(p fit.Point) (s face.Site, leak unit.Flow) {
	for _, at := range p.Sites {
		if at.Leak > leak {
			s, leak = at.Site, at.Leak
		}
	}
	return s, leak
}

// weakest gives the site with the least net margin.
func weakest(p fit.Point) (s face.Site, margin unit.Pressure) {
	margin = unit.Pressure(math.Inf(1))
	for _, at := range p.Sites {
		if at.Margin < margin {
			s, margin = at.Site, at.Margin
		}
	}
	return s, margin
}

// capital makes a sentence of a clause.
func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
