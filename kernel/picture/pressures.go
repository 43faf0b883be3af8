package picture

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"gonum.org/v1/plot/plotter"

	"tautline/model/face"
	"tautline/model/fit"
)

// AcrossPressures draws leak and the smallest net margin against the pressure
// at the mask, with the lift-off and the onset of the leak marked. Whatever
// else varies makes small multiples.
func AcrossPressures(rows []fit.Row, o ...Option) *Picture {
	rows = finiteRows(rows, fit.ByPressure)
	opt := gather(o)
	parts := facets(rows, fit.ByPressure)
	at := func(r fit.Row) float64 { return finite(r.Mask.CmH2O()) }
	var masks []float64
	for _, r := range append(slices.Clip(rows), opt.start.rows...) {
		masks = append(masks, at(r))
	}
	c := &chart{title: "Leak and net margin against mask pressure",
		x: around("pressure at the mask, cmH2O", append(masks, ends(rows)...)...)}
	if opt.name != "" {
		c.title = opt.name + ": leak and net margin against mask pressure"
	}
	for _, f := range parts {
		c.cells = append(c.cells, pressureCell(f, at))
	}
	if s := constant(rows, fit.ByPressure); s != "" {
		c.facts = append(c.facts, fact{text: s})
	}
	if len(c.cells) == 1 {
		c.facts = append(c.facts, fact{c.cells[0].note, true})
		c.cells[0].note = ""
	}
	var old []cell
	for _, f := range facets(opt.start.rows, fit.ByPressure) {
		old = append(old, pressureCell(f, at))
	}
	opt.start.under(c, old)
	c.alt = opt.start.inWords(pressureAlt(parts))
	return c.picture()
}

// ends are the places that must lie on the axis beside the rows themselves.
func ends(rows []fit.Row) []float64 {
	var at []float64
	for _, r := range rows {
		if r.HasLiftOff {
			at = append(at, r.LiftOff.CmH2O())
		}
		if r.HasOnset {
			at = append(at, r.Onset.CmH2O())
		}
	}
	return at
}

func pressureCell(f facet, at func(fit.Row) float64) cell {
	margin := panel{title: "smallest net margin, cmH2O", least: 2,
		series: present(marginSeries(f.rows, at), true), rules: []rule{{0, "zero: lifts off"}}}
	leak := leakSeries("", styles[0], f.rows, at)
	l := cell{name: f.name, note: liftSentence(f.rows),
		panels: []panel{{title: leakTitle, least: 1, series: present([]series{leak}, true)}, margin}}
	if p, ok := marked(f.rows); ok {
		if p.HasOnset {
			l.posts = append(l.posts, post{p.Onset.CmH2O(), "leak onset " + cmH2O(p.Onset)})
		}
		if p.HasLiftOff {
			l.posts = append(l.posts, post{p.LiftOff.CmH2O(), "lift-off " + cmH2O(p.LiftOff)})
		}
	}
	return l
}

// marked is the row whose lift-off and onset stand for all: they are properties
// of mask, face and straps, so any row of a facet has the same.
func marked(rows []fit.Row) (fit.Point, bool) {
	if len(rows) == 0 {
		return fit.Point{}, false
	}
	return rows[len(rows)-1].Point, true
}

// marginSeries follows the smallest margin, one line for each stretch over
// which the same site has it.
func marginSeries(rows []fit.Row, at func(fit.Row) float64) []series {
	rows = append([]fit.Row{}, rows...)
	sort.SliceStable(rows, func(i, j int) bool { return at(rows[i]) < at(rows[j]) })
	var all []series
	var where face.Site = -1
	for _, r := range rows {
		m, site := leastMargin(r.Point)
		if site < 0 {
			continue
		}
		p := plotter.XY{X: at(r), Y: finite(m.CmH2O())}
		if site != where {
			if n := len(all); n > 0 { // the lines meet
				all[n-1].points = append(all[n-1].points, p)
			}
			all = append(all, series{name: siteLabel(site), style: groupStyle(site)})
			where = site
		}
		n := len(all) - 1
		all[n].points = append(all[n].points, p)
	}
	return all
}

func groupStyle(s face.Site) style {
	for _, g := range groups {
		if g.holds(s) {
			return g.style
		}
	}
	return styles[0]
}

func liftSentence(rows []fit.Row) string {
	p, ok := marked(rows)
	switch {
	case !ok || len(p.Sites) == 0:
		return ""
	case p.HasLiftOff:
		return fmt.Sprintf("Opens first at the %s, %s.", siteName(p.OpensFirst), atLift(p))
	}
	return fmt.Sprintf("No lift-off up to the highest pressure looked at; the %s would open first.", siteName(p.OpensFirst))
}

func pressureAlt(parts []facet) string {
	text := []string{"Two panels over the pressure at the mask: leak above, smallest net margin below."}
	for _, f := range parts {
		if f.name != "" {
			text = append(text, sentenceCase(f.name)+".")
		}
		for _, r := range firstAndLast(f.rows) {
			m, site := leastMargin(r.Point)
			s := fmt.Sprintf("At %s: leak %s", cmH2O(r.Mask), perMinute(r.Leak))
			if site >= 0 {
				s += fmt.Sprintf(", smallest margin %s at the %s", signed(m), siteName(site))
			}
			text = append(text, s+".")
		}
		text = append(text, liftSentence(f.rows))
		if p, ok := marked(f.rows); ok && p.HasOnset {
			text = append(text, "The leak passes 0.1 L/min at "+cmH2O(p.Onset)+".")
		}
	}
	if len(parts) == 0 {
		text = append(text, "There are no points.")
	}
	return strings.Join(text, " ")
}

func firstAndLast(rows []fit.Row) []fit.Row {
	if len(rows) < 2 {
		return rows
	}
	return []fit.Row{rows[0], rows[len(rows)-1]}
}
