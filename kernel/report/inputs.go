package report

import (
	"encoding/csv"
	"fmt"
	"strings"

	"tautline/model/unit"
)

// An InputList is the JSON form of the parameters in play.
type InputList struct {
	Format  string      `json:"format"`
	Version int         `json:"version"`
	Name    string      `json:"name"`
	Inputs  []InputItem `json:"inputs"`
}

// An InputItem is one parameter with what is known of it.
type InputItem struct {
	Name    string   `json:"name"`
	Symbol  string   `json:"symbol"`
	Meaning string   `json:"meaning"`
	Unit    string   `json:"unit"`
	Value   *float64 `json:"value"`
	Low     *float64 `json:"low"`
	High    *float64 `json:"high"`
	SD      *float64 `json:"sd"` // null where no spread was published
	// Where --draws takes it from; null where it is not drawn.
	LikelyLow  *float64 `json:"likely_low"`
	LikelyHigh *float64 `json:"likely_high"`
	Held       string   `json:"held,omitempty"` // why it is not drawn
	Origin     string   `json:"origin"`
	Source     string   `json:"source"`
}

// InputsJSON lists the parameters in play for programs.
func InputsJSON(name string, inputs []unit.Parameter) InputList {
	list := InputList{Format: "tautline inputs", Version: 1, Name: name, Inputs: []InputItem{}}
	for _, p := range inputs {
		list.Inputs = append(list.Inputs, inputItem(p))
	}
	return list
}

func inputItem(p unit.Parameter) InputItem {
	item := InputItem{Held: heldWhy(p), Name: p.Name, Symbol: p.Symbol, Meaning: p.Meaning, Unit: p.Unit,
		Value: num(p.Value), Low: num(p.Low), High: num(p.High), SD: when(p.SD > 0, p.SD),
		Origin: string(p.Origin), Source: p.Source}
	low, high := p.Plausible(p.Value)
	item.LikelyLow, item.LikelyHigh = when(low < high, low), when(low < high, high)
	return item
}

// heldWhy says why draws leave a number alone, as uncertainty.Of does.
func heldWhy(p unit.Parameter) string {
	switch {
	case p.Spreads():
		return ""
	case p.Origin == unit.Stated:
		return "stated"
	case p.Fixed != "":
		return p.Fixed
	}
	return "at zero, and no likely range is given"
}

// InputsCSV lists them as a table.
func InputsCSV(inputs []unit.Parameter) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	_ = w.Write([]string{"name", "value", "unit", "low", "high", "sd", "origin", "source", "likely_low", "likely_high"})
	for _, p := range inputs {
		low, high := p.Plausible(p.Value)
		_ = w.Write([]string{p.Name, cell(num(p.Value)), p.Unit, cell(num(p.Low)), cell(num(p.High)),
			cell(when(p.SD > 0, p.SD)), string(p.Origin), p.Source, cell(when(low < high, low)), cell(when(low < high, high))})
	}
	w.Flush()
	return b.String()
}

// InputsText lists them to be read: the stated ones first, then the others by
// where they come from, the least known last.
func InputsText(name string, inputs []unit.Parameter, ink Ink) string {
	var b strings.Builder
	b.WriteString(Wrap(fmt.Sprintf("%s: %d numbers are in play. Each line: value, the range that is accepted, the spread (sd) where one is published, the likely range that --draws takes it from, and where the value comes from.",
		name, len(inputs)), "") + "\n")
	for _, o := range []unit.Origin{unit.Stated, unit.Read, unit.Memory, unit.Calibrated, unit.Assumed} {
		var those []unit.Parameter
		for _, p := range inputs {
			if p.Origin == o {
				those = append(those, p)
			}
		}
		if len(those) > 0 {
			b.WriteString("\n" + ink.Bold(fmt.Sprintf("%s (%d)", capital(string(o)), len(those))) + "\n")
			writeInputs(&b, those)
		}
	}
	return b.String()
}

// writeInputs writes one origin's parameters, and each source once, below the
// parameters that share it.
func writeInputs(b *strings.Builder, those []unit.Parameter) {
	for i, p := range those {
		b.WriteString(Wrap("- "+p.Name+": "+p.String()+" ("+inputRange(p)+")", "  ") + "\n")
		if last := i == len(those)-1 || those[i+1].Source != p.Source; last && p.Source != "" {
			// The dash keeps the first line's place, and goes.
			b.WriteString(strings.Replace(Wrap("- from: "+p.Source, "    "), "-", " ", 1) + "\n")
		}
	}
}

func inputRange(p unit.Parameter) string {
	s := unit.Round(p.Low) + " to " + unit.Round(p.High)
	if p.SD > 0 {
		s += ", sd " + unit.Round(p.SD)
	}
	if low, high := p.Plausible(p.Value); low < high {
		return s + ", likely " + unit.Round(low) + " to " + unit.Round(high)
	}
	if p.Origin != unit.Stated {
		return s + ", not drawn: " + heldWhy(p)
	}
	return s
}
