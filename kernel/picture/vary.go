package picture

import (
	"sort"

	"gonum.org/v1/plot/vg"

	"tautline/model/fit"
)

// A varied is one thing that a sweep varies, with how it looks on an axis.
type varied struct {
	variable fit.Variable
	title    string                     // of its axis
	short    string                     // in a heading
	value    func(fit.Settings) float64 // nil where it has only names
	label    func(fit.Settings) string
}

var variables = []varied{
	{fit.ByStraps, "strap force, all straps together, set at zero pressure, N", "strap force",
		func(s fit.Settings) float64 { return s.Straps.N() },
		func(s fit.Settings) string { return "straps " + newton(s.Straps) }},
	{fit.ByBalance, "share of the strap force in the upper straps, %", "strap balance",
		func(s fit.Settings) float64 { return s.Balance.Percent() },
		func(s fit.Settings) string { return decimal(s.Balance.Percent(), 0) + " % in the upper straps" }},
	{fit.BySize, "size", "size", nil, func(s fit.Settings) string { return orUnnamed(s.Size, "no size given") }},
	{fit.ByCushion, "cushion, days in use", "days of cushion use",
		func(s fit.Settings) float64 { return s.Cushion.Days() },
		func(s fit.Settings) string { return "cushion " + decimal(s.Cushion.Days(), 0) + " days in use" }},
	{fit.ByPosition, "position", "position", nil, func(s fit.Settings) string { return orUnnamed(s.Position, "no position given") }},
	{fit.ByPressure, "set pressure, cmH2O", "set pressure",
		func(s fit.Settings) float64 { return s.Pressure.CmH2O() },
		func(s fit.Settings) string { return "at " + cmH2O(s.Pressure) }},
}

func orUnnamed(s, instead string) string {
	if s == "" {
		return instead
	}
	return s
}

// find gives the description of a variable; the strap force stands in for one
// that is not known.
func find(v fit.Variable) varied {
	for _, known := range variables {
		if known.variable == v {
			return known
		}
	}
	return variables[0]
}

// differing lists the labels of a variable's values in the order in which the
// rows have them.
func (v varied) differing(rows []fit.Row) []string {
	var labels []string
	seen := map[string]bool{}
	for _, r := range rows {
		if l := v.label(r.Settings); !seen[l] {
			seen[l] = true
			labels = append(labels, l)
		}
	}
	return labels
}

// A facet is a share of the rows that one cell shows.
type facet struct {
	name string
	rows []fit.Row
}

// facets parts the rows by everything that varies apart from what stands on the
// axes of a cell.
func facets(rows []fit.Row, onAxes ...fit.Variable) []facet {
	var split []varied
	for _, v := range variables {
		if !contains(onAxes, v.variable) && len(v.differing(rows)) > 1 {
			split = append(split, v)
		}
	}
	var all []facet
	place := map[string]int{}
	for _, r := range rows {
		name := nameBy(split, r.Settings)
		i, ok := place[name]
		if !ok {
			i, place[name] = len(all), len(all)
			all = append(all, facet{name: name})
		}
		all[i].rows = append(all[i].rows, r)
	}
	return all
}

func nameBy(split []varied, s fit.Settings) string {
	name := ""
	for _, v := range split {
		if name != "" {
			name += ", "
		}
		name += v.label(s)
	}
	return name
}

func contains(all []fit.Variable, v fit.Variable) bool {
	for _, o := range all {
		if o == v {
			return true
		}
	}
	return false
}

// axis gives the horizontal scale of a variable and the place of a row on it.
func (v varied) axis(rows []fit.Row, cells int) (scale, func(fit.Row) float64) {
	if v.value == nil {
		names := v.differing(rows)
		place := map[string]float64{}
		for i, n := range names {
			place[n] = float64(i)
		}
		across := min(3, max(1, cells))
		room := (chartWidth - 280) / vg.Length(max(1, across*len(names)))
		return named(v.title, names, room), func(r fit.Row) float64 { return place[v.label(r.Settings)] }
	}
	values := make([]float64, len(rows))
	for i, r := range rows {
		values[i] = v.value(r.Settings)
	}
	sort.Float64s(values)
	return around(v.title, values...), func(r fit.Row) float64 { return v.value(r.Settings) }
}
