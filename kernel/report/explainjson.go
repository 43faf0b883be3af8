package report

import (
	"encoding/csv"
	"fmt"
	"strings"

	"tautline/model/explain"
	"tautline/model/face"
	"tautline/model/unit"
)

// An ExplainResult is an answer about a leak as programs read it.
type ExplainResult struct {
	Format    string            `json:"format"`
	Version   int               `json:"version"`
	Name      string            `json:"name"`
	About     string            `json:"about"`
	Mask      string            `json:"mask"`
	Which     string            `json:"flow"`
	Statistic string            `json:"statistic"`
	SteppedBy string            `json:"stepped_by"`
	Seen      map[string]string `json:"seen"`
	Readings  []ReadingItem     `json:"readings"`
	Flags     []string          `json:"flags"`
	Causes    []CauseItem       `json:"causes"`
	Set       []string          `json:"causes_that_carry_80_percent"`
	Ties      []TieItem         `json:"ties"`
	Next      *NextItem         `json:"next_test"`
	Actions   []ActionItem      `json:"actions"`
	Draws     *float64          `json:"simulated_leaks"`
	Effective *float64          `json:"simulated_leaks_that_count"`
	Sentences []string          `json:"sentences"`
	Cautions  []string          `json:"cautions"`
}

// A ReadingItem is one reading taken apart.
type ReadingItem struct {
	Pressure *float64 `json:"pressure_cmH2O"`
	Read     *float64 `json:"read_L_per_min"`
	Vent     *float64 `json:"vent_L_per_min"`
	Leak     *float64 `json:"leak_L_per_min"`
	SD       *float64 `json:"sd_L_per_min"`
	Seconds  *float64 `json:"time_s"`
	Posture  string   `json:"position"`
}

// A CauseItem is what is said of one cause.
type CauseItem struct {
	Cause       string          `json:"cause"`
	Words       string          `json:"words"`
	Looks       string          `json:"would_look_like"`
	Prior       *float64        `json:"prior"`
	ByReadings  *float64        `json:"by_readings"`
	Probability *float64        `json:"probability"`
	Mismatch    *float64        `json:"mismatch_sd"`
	Sites       []SiteShareItem `json:"sites"`
	Band        []ExpectedItem  `json:"band"`
}

// A SiteShareItem is how likely a site is the one.
type SiteShareItem struct {
	Site  string   `json:"site"`
	Share *float64 `json:"share"`
}

// A ExpectedItem is where a reading of the unintentional leak would lie.
type ExpectedItem struct {
	Pressure *float64 `json:"pressure_cmH2O"`
	Vent     *float64 `json:"vent_L_per_min"`
	Low      *float64 `json:"low_L_per_min"`
	Middle   *float64 `json:"middle_L_per_min"`
	High     *float64 `json:"high_L_per_min"`
}

// A TieItem is a group of causes that the data do not tell apart.
type TieItem struct {
	Causes []string `json:"causes"`
	Breaks []string `json:"would_decide"`
}

// A NextItem is the test that tells most between two causes.
type NextItem struct {
	Test     string        `json:"test"`
	Between  [2]string     `json:"between"`
	Bits     *float64      `json:"expected_bits"`
	Outcomes []OutcomeItem `json:"outcomes"`
}

// An OutcomeItem is what one outcome would do.
type OutcomeItem struct {
	Outcome string              `json:"outcome"`
	Chance  *float64            `json:"chance"`
	After   map[string]*float64 `json:"probability_then"`
}

// An ActionItem is one thing to try.
type ActionItem struct {
	Action   string    `json:"action"`
	Type     *string   `json:"mask_type"`
	Size     *string   `json:"size"`
	Helps    *float64  `json:"chance_to_help"`
	Now      *SpanItem `json:"leak_now_L_per_min"`
	After    *SpanItem `json:"leak_after_L_per_min"`
	SkinCost bool      `json:"skin_cost"`
	Contact  *SpanItem `json:"contact_change_mmHg"`
	Site     *string   `json:"contact_site"`
	Tips     *float64  `json:"share_not_held"`
}

// A SpanItem is a middle value with its 10 to 90 % range.
type SpanItem struct {
	Low    *float64 `json:"low"`
	Middle *float64 `json:"middle"`
	High   *float64 `json:"high"`
}

// ExplainJSON gives the answer that programs read.
func ExplainJSON(name, about string, a explain.Answer, notes []string) ExplainResult {
	q := a.Question
	r := ExplainResult{Format: "tautline explain result", Version: 1, Name: name, About: about, Mask: q.Mask.Name,
		Which:     [...]string{"not_said", "total", "unintentional"}[q.Which],
		Statistic: [...]string{"not_said", "mean", "median", "95th_percentile"}[q.Statistic],
		SteppedBy: [...]string{"not_said", "person", "machine"}[q.Chooser],
		Seen:      map[string]string{}, Flags: []string{}, Set: []string{}, Ties: []TieItem{}, Actions: []ActionItem{},
		Draws: num(a.Draws), Effective: num(a.Effective), Cautions: cautionLines(), Sentences: explainSentences(a, notes)}
	for f, k := range q.Seen {
		if k > 0 {
			r.Seen[explain.Finding(f).ID()] = explain.Finding(f).Outcomes()[k-1]
		}
	}
	for i := range a.Views {
		r.Readings = append(r.Readings, readingItem(q.Readings[i], a.Views[i]))
	}
	for _, f := range a.Flags {
		r.Flags = append(r.Flags, f.ID())
	}
	for _, c := range a.Causes {
		r.Causes = append(r.Causes, causeItem(c))
	}
	r.Set = append(r.Set, ids(a.Set)...)
	for _, t := range a.Ties {
		r.Ties = append(r.Ties, tieItem(t))
	}
	for _, act := range a.Actions {
		r.Actions = append(r.Actions, actionItem(act))
	}
	if a.HasNext {
		r.Next = nextItem(a.Next)
	}
	return r
}

func explainSentences(a explain.Answer, notes []string) []string {
	out := []string{}
	for _, s := range append(append([]string{VentFirst(a), ExplainSentence(a)}, notes...), ExplainFlags(a)...) {
		if s != "" {
			out = append(out, s)
		}
	}
	out = append(out, TieSentences(a)...)
	if next := NextSentence(a); next != "" {
		out = append(out, next)
	}
	return append(append(out, ActionLines(a)...), ExplainAfterwards(a), ExplainLimits)
}

func ids(causes []explain.Cause) (out []string) {
	for _, c := range causes {
		out = append(out, c.ID())
	}
	return out
}

func readingItem(r explain.Reading, v explain.View) ReadingItem {
	return ReadingItem{Pressure: num(r.Pressure.CmH2O()), Read: num(r.Flow.LPerMin()), Vent: num(v.Vent.LPerMin()), Leak: num(v.Leak.LPerMin()),
		SD: num(v.SD.LPerMin()), Seconds: when(r.HasTime, float64(r.Time)), Posture: [...]string{"not_said", "not_on_side", "on_side"}[r.Posture]}
}

func causeItem(c explain.Result) CauseItem {
	item := CauseItem{Cause: c.Cause.ID(), Words: causeNames[c.Cause], Looks: causeLooks[c.Cause], Prior: num(float64(c.Prior)),
		ByReadings: num(float64(c.ByReadings)), Probability: num(float64(c.Probability)), Mismatch: num(c.Mismatch),
		Sites: []SiteShareItem{}, Band: []ExpectedItem{}}
	for _, s := range c.Sites {
		item.Sites = append(item.Sites, SiteShareItem{s.Site.ID(), num(float64(s.Share))})
	}
	for _, b := range c.Band {
		item.Band = append(item.Band, ExpectedItem{num(b.Pressure.CmH2O()), num(b.Vent.LPerMin()), num(b.Low.LPerMin()), num(b.Middle.LPerMin()), num(b.High.LPerMin())})
	}
	return item
}

func tieItem(t explain.Tie) TieItem {
	item := TieItem{Causes: ids(t.Causes), Breaks: []string{}}
	for _, b := range t.Breaks {
		item.Breaks = append(item.Breaks, breakWords(b))
	}
	return item
}

func nextItem(n explain.Next) *NextItem {
	item := &NextItem{Test: n.Finding.ID(), Between: [2]string{n.Between[0].ID(), n.Between[1].ID()}, Bits: num(n.Bits), Outcomes: []OutcomeItem{}}
	for _, o := range n.Outcomes {
		after := map[string]*float64{}
		for _, r := range o.After {
			after[r.Cause.ID()] = num(float64(r.Probability))
		}
		item.Outcomes = append(item.Outcomes, OutcomeItem{n.Finding.Outcomes()[o.Outcome-1], num(float64(o.Chance)), after})
	}
	return item
}

func actionItem(act explain.Action) ActionItem {
	item := ActionItem{Action: act.Kind.ID(), SkinCost: act.SkinCost}
	if !act.Predicted {
		return item
	}
	if act.Size != "" {
		kind, size := string(act.Type), act.Size
		item.Type, item.Size, item.Tips = &kind, &size, num(float64(act.Tips))
	}
	item.Helps, item.Now, item.After = num(float64(act.Helps)), spanItem(act.Now), spanItem(act.After)
	if act.SkinCost && act.Contact != [3]unit.Pressure{} {
		item.Contact = &SpanItem{num(act.Contact[0].MmHg()), num(act.Contact[1].MmHg()), num(act.Contact[2].MmHg())}
		item.Site = siteWhen(true, face.Site(act.Site))
	}
	return item
}

func spanItem(s explain.Span) *SpanItem {
	return &SpanItem{num(s.Low.LPerMin()), num(s.Middle.LPerMin()), num(s.High.LPerMin())}
}

// ExplainCSV has a line for each cause at each pressure of its band.
func ExplainCSV(a explain.Answer) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.Write([]string{"cause", "prior", "by_readings", "probability", "mismatch_sd", "pressure_cmH2O", "vent_L_per_min", "low_L_per_min", "middle_L_per_min", "high_L_per_min"})
	cell := func(x float64) string { return fmt.Sprintf("%.6g", x) }
	for _, c := range a.Causes {
		for _, p := range c.Band {
			w.Write([]string{c.Cause.ID(), cell(float64(c.Prior)), cell(float64(c.ByReadings)), cell(float64(c.Probability)), cell(c.Mismatch),
				cell(p.Pressure.CmH2O()), cell(p.Vent.LPerMin()), cell(p.Low.LPerMin()), cell(p.Middle.LPerMin()), cell(p.High.LPerMin())})
		}
	}
	w.Flush()
	return b.String()
}
