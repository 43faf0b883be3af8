package picture

import (
	"math"
	"sort"

	"gonum.org/v1/plot/plotter"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

// A group is what one line of skin contact stands for: a site of the midline,
// or the two sides of a pair together.
type group struct {
	name  string
	sites []face.Site
	style style
}

// Each group has its own style everywhere, so that a reader learns it once.
var groups = []group{
	{"bridge", []face.Site{face.Bridge}, styles[1]},
	{"nose sides", []face.Site{face.NoseSideLeft, face.NoseSideRight}, styles[3]},
	{"cheeks", []face.Site{face.CheekLeft, face.CheekRight}, styles[4]},
	{"mouth corners", []face.Site{face.CornerLeft, face.CornerRight}, styles[5]},
	{"upper lip", []face.Site{face.Lip}, styles[2]},
	{"chin", []face.Site{face.Chin}, styles[2]}, // never on a rim with a lip
	{"nostrils", []face.Site{face.NostrilLeft, face.NostrilRight}, styles[1]},
}

func (g group) holds(s face.Site) bool {
	for _, own := range g.sites {
		if own == s {
			return true
		}
	}
	return false
}

// contact is the largest on the group, in mmHg; false where the rim lacks it.
func (g group) contact(p fit.Point) (float64, bool) {
	most, found := math.Inf(-1), false
	for _, s := range p.Sites {
		if g.holds(s.Site) {
			most, found = math.Max(most, finite(s.Contact.MmHg())), true
		}
	}
	return most, found
}

// topContact is the largest contact of a point and where it is.
func topContact(p fit.Point) (unit.Pressure, face.Site) {
	top, at := unit.Pressure(math.Inf(-1)), face.Site(-1)
	for _, s := range p.Sites {
		if s.Contact > top {
			top, at = s.Contact, s.Site
		}
	}
	if at < 0 {
		return 0, at
	}
	return top, at
}

// leastMargin is the smallest net margin of a point and where it is.
func leastMargin(p fit.Point) (unit.Pressure, face.Site) {
	least, at := unit.Pressure(math.Inf(1)), face.Site(-1)
	for _, s := range p.Sites {
		if s.Margin < least {
			least, at = s.Margin, s.Site
		}
	}
	if at < 0 {
		return 0, at
	}
	return least, at
}

// contactSeries are the lines of skin contact by group. Where several rows
// share a place, as at several pressures, the largest counts.
func contactSeries(rows []fit.Row, x func(fit.Row) float64) []series {
	var all []series
	for _, g := range groups {
		s := series{name: g.name, style: g.style}
		for _, r := range rows {
			if y, ok := g.contact(r.Point); ok {
				s.points = append(s.points, plotter.XY{X: x(r), Y: y})
			}
		}
		if s.points = highest(s.points); len(s.points) > 0 {
			all = append(all, s)
		}
	}
	return all
}

// highest sorts points and keeps the highest of those at one place.
func highest(points plotter.XYs) plotter.XYs {
	sort.SliceStable(points, func(i, j int) bool { return points[i].X < points[j].X })
	var kept plotter.XYs
	for _, p := range points {
		if n := len(kept); n > 0 && kept[n-1].X == p.X {
			kept[n-1].Y = math.Max(kept[n-1].Y, p.Y)
			continue
		}
		kept = append(kept, p)
	}
	return kept
}

// leakSeries is the leak as one line.
func leakSeries(name string, st style, rows []fit.Row, x func(fit.Row) float64) series {
	s := series{name: name, style: st}
	for _, r := range rows {
		s.points = append(s.points, plotter.XY{X: x(r), Y: r.Leak.LPerMin()})
	}
	s.points = highest(s.points)
	return s
}

// present shows points, and joins them where the axis counts numbers.
func present(all []series, joined bool) []series {
	for i := range all {
		all[i].joined, all[i].dotted = joined, true
	}
	return all
}
