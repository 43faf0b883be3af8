package report

import (
	"fmt"

	"tautline/model/explain"
	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/unit"
)

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
		r.Causes = append(r.Causes, causeItem(c, q.Mask.Type))
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
	if a.Course.Kind != explain.NoTimes {
		r.Course = timesItem(a.Course)
	}
	return r
}

func explainSentences(a explain.Answer, notes []string) []string {
	out := []string{}
	for _, s := range append(append([]string{VentFirst(a), ExplainSentence(a)}, notes...), append(ExplainFlags(a), ExplainStated(a)...)...) {
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

func causeItem(c explain.Result, t mask.Type) CauseItem {
	item := CauseItem{Cause: c.Cause.ID(), Words: causeOn(t, c.Cause), Looks: CauseLook(c.Cause, t), Prior: num(float64(c.Prior)),
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

func timesItem(c explain.Course) *TimesItem {
	item := &TimesItem{Kind: c.Kind.ID(), Readings: c.Readings, Turned: c.Turned}
	if c.Kind == explain.NotTellable {
		return item
	}
	item.Low, item.High, item.From, item.To = num(c.Low.CmH2O()), num(c.High.CmH2O()), num(float64(c.From)), num(float64(c.To))
	item.Before, item.After = num(c.Before.LPerMin()), num(c.After.LPerMin())
	step := c.Kind == explain.AtOnce
	item.Last, item.Next = when(step, float64(c.Last)), when(step, float64(c.Next))
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
		line := act.OverNow > 0 || act.Over > 0
		item.OverNow, item.Over = when(line, float64(act.OverNow)), when(line, float64(act.Over))
	}
	return item
}

func spanItem(s explain.Span) *SpanItem {
	return &SpanItem{num(s.Low.LPerMin()), num(s.Middle.LPerMin()), num(s.High.LPerMin())}
}

// ExplainCSV has a line for each cause at each pressure of its band.
func ExplainCSV(a explain.Answer) string {
	head := []string{"cause", "prior", "by_readings", "probability", "mismatch_sd", "pressure_cmH2O", "vent_L_per_min", "low_L_per_min", "middle_L_per_min", "high_L_per_min"}
	cell := func(x float64) string { return fmt.Sprintf("%.6g", x) }
	return table(head, func(line func(...string)) {
		for _, c := range a.Causes {
			for _, p := range c.Band {
				line(c.Cause.ID(), cell(float64(c.Prior)), cell(float64(c.ByReadings)), cell(float64(c.Probability)), cell(c.Mismatch),
					cell(p.Pressure.CmH2O()), cell(p.Vent.LPerMin()), cell(p.Low.LPerMin()), cell(p.Middle.LPerMin()), cell(p.High.LPerMin()))
			}
		}
	})
}
