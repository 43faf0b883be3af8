package report

import (
	"tautline/model/uncertainty"
)

// A DrawsItem is what draws tell, for programs.
type DrawsItem struct {
	Draws    int          `json:"draws"`
	Seed     uint64       `json:"seed"`
	Verdict  string       `json:"verdict"`
	Agree    int          `json:"agree"`
	Tipped   int          `json:"tipped"`
	Failed   int          `json:"failed"`
	Verdicts []ShareItem  `json:"verdicts"`
	Bands    []BandItem   `json:"bands"`
	Effects  []EffectList `json:"effects"`
	Leading  []string     `json:"leading"` // names of inputs, what matters most first
	Inputs   []SpreadItem `json:"inputs"`
	Held     []HeldItem   `json:"held"`
	Text     []string     `json:"sentences"`
}

// A ShareItem is how many draws come to a verdict.
type ShareItem struct {
	Verdict string `json:"verdict"`
	Draws   int    `json:"draws"`
}

// A BandItem is where a figure lies over the draws, in its unit.
type BandItem struct {
	Quantity string   `json:"quantity"`
	Unit     string   `json:"unit"`
	Stated   *float64 `json:"as_asked"`
	Low      *float64 `json:"percentile_10"`
	Middle   *float64 `json:"percentile_50"`
	High     *float64 `json:"percentile_90"`
	Missing  int      `json:"missing"`
}

// An EffectList is what the inputs do to one figure, the largest first.
type EffectList struct {
	Quantity string       `json:"quantity"`
	Method   string       `json:"method"`
	Effects  []EffectItem `json:"effects"`
}

// An EffectItem is one input's shares of the variance; the input is null for
// all that are not listed, together.
type EffectItem struct {
	Input       *string     `json:"input"`
	First       *float64    `json:"first_order"`
	FirstWithin [2]*float64 `json:"first_order_95"`
	Total       *float64    `json:"total"`
	TotalWithin [2]*float64 `json:"total_95"`
}

// A SpreadItem is an input with the distribution that it is drawn from.
type SpreadItem struct {
	InputItem
	Shape string `json:"distribution"`
}

// A HeldItem is a number in play that is not drawn, and why.
type HeldItem struct {
	Name string `json:"name"`
	Why  string `json:"why"`
}

// DrawsJSON gives what draws tell for programs.
func DrawsJSON(r uncertainty.Result, w DrawsWords) *DrawsItem {
	d := &DrawsItem{Draws: r.Draws, Seed: r.Seed, Verdict: w.ID(r.Stated.Verdict), Agree: r.Agree, Tipped: r.Tipped, Failed: r.Failed,
		Verdicts: []ShareItem{}, Bands: []BandItem{}, Effects: []EffectList{}, Leading: []string{}, Inputs: []SpreadItem{}, Held: []HeldItem{},
		Text: DrawsSentences(r, w)}
	for _, v := range r.Verdicts {
		d.Verdicts = append(d.Verdicts, ShareItem{w.ID(v.Verdict), v.Draws})
	}
	for _, b := range r.Bands {
		q := w.Words(b.Quantity)
		in := func(si float64) *float64 { return num(si / q.Per) }
		d.Bands = append(d.Bands, BandItem{string(b.Quantity), q.Unit, in(b.Stated), in(b.Low), in(b.Middle), in(b.High), b.Missing})
	}
	for _, e := range r.Effects {
		d.Effects = append(d.Effects, effectList(r, e))
	}
	for _, e := range r.Leading {
		d.Leading = append(d.Leading, r.Inputs[e.Input].Parameter.Name)
	}
	for _, in := range r.Inputs {
		d.Inputs = append(d.Inputs, spreadItem(in))
	}
	for _, h := range r.Held {
		d.Held = append(d.Held, HeldItem{h.Parameter.Name, h.Why})
	}
	return d
}

func effectList(r uncertainty.Result, e uncertainty.Effects) EffectList {
	list := EffectList{Quantity: string(e.Quantity), Method: "pick-freeze", Effects: []EffectItem{}}
	if e.Ranked {
		list.Method = "rank correlation"
	}
	for _, x := range e.Effects {
		item := EffectItem{First: num(x.First.Value), FirstWithin: [2]*float64{num(x.First.Low), num(x.First.High)},
			Total: num(x.Total.Value), TotalWithin: [2]*float64{num(x.Total.Low), num(x.Total.High)}}
		if x.Input != uncertainty.Rest {
			item.Input = &r.Inputs[x.Input].Parameter.Name
		}
		list.Effects = append(list.Effects, item)
	}
	return list
}

func spreadItem(in uncertainty.Drawn) SpreadItem {
	p := in.Parameter
	item := SpreadItem{InputItem: inputItem(p), Shape: "triangle"}
	if in.Spread.SD > 0 {
		item.Shape = "normal, cut off"
	}
	return item
}
