package report

import (
	"encoding/csv"
	"strings"

	"tautline/model/plan"
)

// A PlanResult is a plan as programs read it.
type PlanResult struct {
	Format    string         `json:"format"`
	Version   int            `json:"version"`
	Name      string         `json:"name"`
	About     string         `json:"about"`
	Stock     string         `json:"stock"`
	RuledOut  []RuledOutItem `json:"ruled_out"`
	Choices   []ChoiceItem   `json:"choices"`
	Next      *StepItem      `json:"next"`
	Planned   ForecastItem   `json:"planned"`
	Trial     ForecastItem   `json:"trial_and_error"`
	Belief    BeliefItem     `json:"belief"`
	Warnings  []plan.Warning `json:"warnings"`
	Sentences []string       `json:"sentences"`
	Unknown   []string       `json:"cannot_know"`
	Cautions  []string       `json:"cautions"`
}

// A StockItem is one line of a stock.
type StockItem struct {
	Type        string `json:"type"`
	Size        string `json:"size"`
	Vented      bool   `json:"vented"`
	Magnets     bool   `json:"magnets"`
	Reprocessed bool   `json:"reprocessed"`
	Count       int    `json:"count"`
}

// A RuledOutItem is a mask that is not planned, and why.
type RuledOutItem struct {
	StockItem
	Reason  plan.Reason `json:"reason"`
	Unasked bool        `json:"not_known"`
}

// A StrapSetting is a mask at an intended strap force.
type StrapSetting struct {
	Type  string      `json:"type"`
	Size  string      `json:"size"`
	Pull  *float64    `json:"strap_N"`
	Range [2]*float64 `json:"strap_range_N"`
}

// A ChoiceItem is a mask that may be tried next.
type ChoiceItem struct {
	StrapSetting
	From     []StockItem         `json:"from"`
	Visits   *float64            `json:"visits"`
	Changes  *float64            `json:"mask_changes"`
	Solved   []*float64          `json:"solved_by_visit"`
	Chances  map[string]*float64 `json:"chance_of_outcome"`
	Leak     *float64            `json:"leak_L_per_min"`
	Contact  *float64            `json:"contact_mmHg"`
	Site     string              `json:"contact_site"`
	OverLine *float64            `json:"chance_past_line"`
	PastLine bool                `json:"nothing_keeps_under_line"`
}

// A StepItem is one node of the tree.
type StepItem struct {
	Move     string        `json:"move"`
	Setting  *StrapSetting `json:"setting"`
	Solves   *float64      `json:"chance_comfortable"`
	OverLine *float64      `json:"chance_past_line"`
	PastLine bool          `json:"nothing_keeps_under_line"`
	After    []BranchItem  `json:"after"`
}

// A BranchItem is what comes after one outcome.
type BranchItem struct {
	Outcome string    `json:"outcome"`
	Chance  *float64  `json:"chance"`
	Next    *StepItem `json:"next"`
}

// A MeanItem is a mean with its 95 % interval.
type MeanItem struct {
	Mean *float64 `json:"mean"`
	Low  *float64 `json:"low"`
	High *float64 `json:"high"`
}

// A ForecastItem is how a policy does in simulated persons.
type ForecastItem struct {
	Visits       MeanItem   `json:"visits"`
	Changes      MeanItem   `json:"mask_changes"`
	Unsolved     MeanItem   `json:"unsolved_share"`
	SolvedVisits MeanItem   `json:"visits_if_solved"`
	ByVisit      []*float64 `json:"solved_by_visit"`
	Persons      int        `json:"persons"`
}

// A BeliefItem is what is held of the person.
type BeliefItem struct {
	Mouth    *float64            `json:"chance_mouth_open"`
	Bridge   []*float64          `json:"bridge_depth_mm"`
	SoreAt   []*float64          `json:"sore_from_mmHg"`
	Refuses  map[string]*float64 `json:"chance_not_worn"`
	Agreeing *float64            `json:"persons_agreeing"`
}

// PlanJSON gives the plan that programs read.
func PlanJSON(name, about, stock string, a plan.Answer) PlanResult {
	r := PlanResult{Format: "tautline plan result", Version: 1, Name: name, About: about, Stock: stock,
		RuledOut: []RuledOutItem{}, Choices: []ChoiceItem{}, Next: stepItem(a.Next),
		Planned: forecastItem(a.Planned), Trial: forecastItem(a.Trial), Belief: beliefItem(a.Belief),
		Warnings: append([]plan.Warning{}, a.Warnings...), Unknown: PlanUnknown(a), Cautions: cautionLines()}
	for _, o := range a.RuledOut {
		r.RuledOut = append(r.RuledOut, RuledOutItem{stockItem(o.Item), o.Reason, o.Unasked})
	}
	for _, c := range a.Choices {
		r.Choices = append(r.Choices, choiceItem(c))
	}
	r.Sentences = append(append([]string{PlanCase(a, stock)}, PlanGates(a)...), PlanSentence(a))
	if past := PlanPastLine(a); past != "" {
		r.Sentences = append(r.Sentences, past)
	}
	r.Sentences = append(append(r.Sentences, PlanWhy(a)...), PlanAfterwards(a))
	return r
}

func stockItem(m plan.Item) StockItem {
	return StockItem{string(m.Type), m.Size, m.Vented, m.Magnets, m.Reprocessed, m.Count}
}

func strapSetting(s plan.Setting) StrapSetting {
	return StrapSetting{string(s.Type), s.Size, num(s.Pull.N()), [2]*float64{num(s.Range[0].N()), num(s.Range[1].N())}}
}

func choiceItem(c plan.Choice) ChoiceItem {
	item := ChoiceItem{StrapSetting: strapSetting(c.Setting), From: []StockItem{}, Visits: num(c.Visits), Changes: num(c.Changes),
		Solved: nums(c.Solved), Chances: map[string]*float64{}, Leak: num(c.Leak.LPerMin()), Contact: num(c.Contact.MmHg()),
		Site: c.Site.ID(), OverLine: num(c.OverLine), PastLine: c.PastLine}
	for _, m := range c.Items {
		item.From = append(item.From, stockItem(m))
	}
	for _, o := range plan.Outcomes() {
		item.Chances[o.ID()] = num(c.Chances[o])
	}
	return item
}

func stepItem(s *plan.Step) *StepItem {
	if s == nil {
		return nil
	}
	item := &StepItem{Move: s.Move.ID(), Solves: num(s.Solves), OverLine: num(s.OverLine), PastLine: s.PastLine, After: []BranchItem{}}
	if s.Setting.Type != "" {
		set := strapSetting(s.Setting)
		item.Setting = &set
	}
	for _, b := range s.After {
		item.After = append(item.After, BranchItem{b.Outcome.ID(), num(b.Chance), stepItem(b.Next)})
	}
	return item
}

func forecastItem(f plan.Forecast) ForecastItem {
	return ForecastItem{meanItem(f.Visits), meanItem(f.Changes), meanItem(f.Unsolved), meanItem(f.SolvedVisits), nums(f.ByVisit), f.N}
}

func meanItem(m plan.Mean) MeanItem { return MeanItem{num(m.Value), num(m.Low), num(m.High)} }

func beliefItem(b plan.Belief) BeliefItem {
	item := BeliefItem{Mouth: num(b.Mouth), Refuses: map[string]*float64{}, Agreeing: num(b.Agreeing)}
	for i := range b.Bridge {
		item.Bridge = append(item.Bridge, num(b.Bridge[i].Mm()))
		item.SoreAt = append(item.SoreAt, num(b.SoreAt[i].MmHg()))
	}
	for t, p := range b.Refuses {
		item.Refuses[string(t)] = num(p)
	}
	return item
}

func nums(all []float64) []*float64 {
	out := []*float64{}
	for _, x := range all {
		out = append(out, num(x))
	}
	return out
}

// planHead heads the CSV of a plan: one line for each step of the tree, with the
// outcomes that lead to it.
var planHead = []string{"after", "chance", "move", "type", "size", "strap_N", "strap_low_N", "strap_high_N", "chance_comfortable"}

// PlanCSV gives the tree as a table. The chance is that of getting there.
func PlanCSV(a plan.Answer) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	// A strings.Builder takes everything, so no write can fail.
	_ = w.Write(planHead)
	var walk func(path []string, chance float64, s *plan.Step)
	walk = func(path []string, chance float64, s *plan.Step) {
		if s == nil {
			return
		}
		set := StrapSetting{}
		if s.Setting.Type != "" {
			set = strapSetting(s.Setting)
		}
		_ = w.Write([]string{strings.Join(path, " > "), cell(num(chance)), s.Move.ID(), set.Type, set.Size,
			cell(set.Pull), cell(set.Range[0]), cell(set.Range[1]), cell(num(s.Solves))})
		for _, branch := range s.After {
			walk(append(path[:len(path):len(path)], branch.Outcome.ID()), chance*branch.Chance, branch.Next)
		}
	}
	walk(nil, 1, a.Next)
	w.Flush()
	return b.String()
}
