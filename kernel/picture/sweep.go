package picture

import (
	"fmt"
	"slices"
	"strings"

	"tautline/model/fit"
)

// Sweep draws leak and skin contact against one or two of the things that a
// sweep varies: the first on the horizontal axis, the second, like anything
// else that varies, as small multiples. Sizes and positions stand side by side
// as points, since nothing lies between them.
func Sweep(rows []fit.Row, by []fit.Variable, o ...Option) *Picture {
	first := fit.ByStraps
	if len(by) > 0 {
		first = by[0]
	}
	rows = finiteRows(rows, first)
	v, opt := find(first), gather(o)
	parts := facets(rows, first)
	x, at := v.axis(append(slices.Clip(rows), opt.start.rows...), len(parts))

	c := &chart{x: x, title: "Leak and skin contact against " + v.short}
	if opt.name != "" {
		c.title = opt.name + ": leak and skin contact against " + v.short
	}
	for _, f := range parts {
		c.cells = append(c.cells, sweepCell(f, v, at))
	}
	if s := constant(rows, first); s != "" {
		c.facts = append(c.facts, fact{text: s})
	}
	var old []cell
	for _, f := range facets(opt.start.rows, first) {
		old = append(old, sweepCell(f, v, at))
	}
	opt.start.under(c, old)
	c.alt = opt.start.inWords(sweepAlt(parts, v))
	return c.picture()
}

func sweepCell(f facet, v varied, at func(fit.Row) float64) cell {
	joined := v.value != nil
	leak := leakSeries("", styles[0], f.rows, at)
	leak.stems, leak.values = !joined, !joined || len(leak.points) <= 6
	return cell{name: f.name, panels: []panel{
		{title: leakTitle, least: 1, series: present([]series{leak}, joined)},
		{title: contactTitle, least: 10, series: present(contactSeries(f.rows, at), joined)},
	}}
}

// constant names the settings that are the same in all rows, which a reader
// needs beside the one that is not.
func constant(rows []fit.Row, but fit.Variable) string {
	if len(rows) == 0 {
		return ""
	}
	var same []string
	s := rows[0].Settings
	for _, v := range variables {
		if v.variable == but || len(v.differing(rows)) != 1 || unset(v.variable, s) {
			continue
		}
		same = append(same, v.label(s))
	}
	return sentenceCase(strings.Join(same, " · "))
}

// unset is true where a setting was never given. A cushion of no days is new,
// which goes without saying.
func unset(v fit.Variable, s fit.Settings) bool {
	switch v {
	case fit.ByStraps:
		return s.Straps == 0
	case fit.ByBalance:
		return s.Balance == 0 || s.Balance == 1 // one pair of straps only
	case fit.BySize:
		return s.Size == ""
	case fit.ByCushion:
		return s.Cushion == 0
	case fit.ByPosition:
		return s.Position == ""
	}
	return s.Pressure == 0
}

// mostInWords is how many points a text alternative tells one by one.
const mostInWords = 8

func sweepAlt(parts []facet, v varied) string {
	text := []string{fmt.Sprintf("Two panels over %s: leak above, largest skin contact by site below.", v.short)}
	for _, f := range parts {
		if f.name != "" {
			text = append(text, sentenceCase(f.name)+".")
		}
		if v.value != nil || len(f.rows) > mostInWords {
			text = append(text, fromTo(f.rows, v.variable))
			continue
		}
		for _, r := range f.rows {
			text = append(text, sentenceCase(stateOf(r, v))+".")
		}
	}
	if len(parts) == 0 {
		text = append(text, "There are no points.")
	}
	return strings.Join(text, " ")
}
