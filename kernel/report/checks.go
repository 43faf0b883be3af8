package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"tautline/model/published"
)

// sectionNames head the groups of the list of checks.
var sectionNames = map[int]string{1: "Gas", 2: "Mask vent", 3: "Circuit", 4: "Seal", 5: "Skin", 6: "Breath and mouth", 7: "Faces"}

// Checks prints every published check: what came out, what was wanted, and by
// whom it was published.
func Checks(results []published.Result, ink Ink) string {
	var b strings.Builder
	section := 0
	for _, r := range results {
		if r.Section != section {
			section = r.Section
			fmt.Fprintf(&b, "%s\n", ink.Bold(sectionNames[section]))
		}
		b.WriteString(check(r, ink))
	}
	b.WriteString("\n" + Wrap(checksSummary(results), "") + "\n")
	return b.String()
}

func check(r published.Result, ink Ink) string {
	status := fmt.Sprintf("%-10s", r.Status)
	if r.Status != published.Pass {
		status = ink.Warn(status)
	}
	got := "nothing"
	if !math.IsNaN(r.Got) {
		got = figure(r.Got)
	}
	const indent = "            "
	head := Wrap(fmt.Sprintf("%s got %s, wanted %s", r.ID, got, wanted(r.Want, r.Unit)), indent)
	text := "  " + status + head + "\n" + indented(r.What, indent)
	if r.Reason != "" {
		text += indented(r.Reason, indent)
	}
	source := r.Source
	if r.Predicted {
		source += " (predicted)"
	}
	for _, line := range strings.SplitAfter(indented(source, indent), "\n") {
		text += ink.Faint(strings.TrimSuffix(line, "\n")) + strings.Repeat("\n", strings.Count(line, "\n"))
	}
	return text
}

// indented wraps a paragraph whose first line is indented too.
func indented(text, indent string) string {
	// The stand-in takes the room of the indent on the first line.
	standIn := strings.Repeat("x", len(indent)-1)
	return indent + strings.TrimPrefix(Wrap(standIn+" "+text, indent), standIn+" ") + "\n"
}

func wanted(w published.Want, unit string) string {
	var s string
	switch {
	case math.IsInf(w.Low, -1):
		s = "at most " + figure(w.High)
	case math.IsInf(w.High, 1):
		s = "at least " + figure(w.Low)
	case w.Tolerance() < 0.15*math.Abs(w.Figure) || w.Figure == 0:
		s = fmt.Sprintf("%s +- %s", figure(w.Figure), strconv.FormatFloat(w.Tolerance(), 'g', 2, 64))
	default:
		s = fmt.Sprintf("%s to %s", figure(w.Low), figure(w.High))
	}
	if unit == "" {
		return s
	}
	return s + " " + unit
}

// figure shows as many digits as the sharpest published check has.
func figure(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }

func checksSummary(results []published.Result) string {
	n := map[published.Status]int{}
	predicted := 0
	for _, r := range results {
		n[r.Status]++
		if r.Predicted {
			predicted++
		}
	}
	return fmt.Sprintf("%d checks: %d pass, %d known miss, %d fail. %d of them are predicted: no parameter in them was chosen to meet them or cites them.",
		len(results), n[published.Pass], n[published.Miss], n[published.Fail], predicted)
}

// A CheckList is the JSON form of all checks.
type CheckList struct {
	Format  string      `json:"format"`
	Version int         `json:"version"`
	Checks  []CheckItem `json:"checks"`
}

// A CheckItem is one check. Numbers are in Unit; those that do not exist, such
// as the tolerance of a bound, are null.
type CheckItem struct {
	ID        string   `json:"id"`
	Section   int      `json:"section"`
	What      string   `json:"what"`
	Source    string   `json:"source"`
	Unit      string   `json:"unit"`
	Expected  float64  `json:"expected"`
	Tolerance *float64 `json:"tolerance"`
	Low       *float64 `json:"low"`
	High      *float64 `json:"high"`
	Got       *float64 `json:"got"`
	Status    string   `json:"status"`
	Reason    string   `json:"reason"`
	Predicted bool     `json:"predicted"`
}

// ChecksJSON gives the list that programs read.
func ChecksJSON(results []published.Result) CheckList {
	list := CheckList{Format: "tautline checks", Version: 1, Checks: []CheckItem{}}
	for _, r := range results {
		list.Checks = append(list.Checks, CheckItem{ID: r.ID, Section: r.Section, What: r.What,
			Source: r.Source, Unit: r.Unit, Expected: r.Want.Figure, Tolerance: finite(r.Want.Tolerance()),
			Low: finite(r.Want.Low), High: finite(r.Want.High), Got: finite(r.Got),
			Status: string(r.Status), Reason: r.Reason, Predicted: r.Predicted})
	}
	return list
}

// finite gives nothing for what JSON cannot hold.
func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
