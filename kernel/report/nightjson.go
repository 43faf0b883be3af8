package report

import (
	"encoding/csv"
	"strings"

	"tautline/model/night"
)

// NightJSON gives the answer that programs read.
func NightJSON(name, about string, a night.Answer) NightResult {
	r := NightResult{Format: "tautline night result", Version: 1, Name: name, About: about, Asked: nightAsked(a.Question),
		Over: a.Over, Above: num(float64(a.AboveMean)), PerNight: tenthsItem(a.Above), Values: []*float64{}, Openings: []OpeningItem{},
		Sites: []NightSite{}, Positions: partItems(a.Positions), Stages: partItems(a.Stages), Top: a.Top.ID(),
		Turns: num(a.Turns), Opened: num(a.Opened), Tipped: num(float64(a.Tipped)), Mouth: num(a.Mouth.LPerMin()),
		Swing:   [2]*float64{num(a.Swing[0].CmH2O()), num(a.Swing[1].CmH2O())},
		Example: exampleItem(a), Cautions: append(cautionLines(), NightLimits),
		Sentences: append([]string{NightSentence(a.Question), NightVerdict(a)}, append(NightWhy(a), NightAfterwards(a))...)}
	for i, p := range night.Percents() {
		r.Percents = append(r.Percents, PercentItem{num(p), num(a.Leak[i].LPerMin())})
	}
	for _, s := range night.Statistics() {
		r.Bands = append(r.Bands, StatisticItem{string(s), tenthsItem(a.PerNight[s])})
	}
	for _, v := range a.Values {
		r.Values = append(r.Values, num(v.LPerMin()))
	}
	for _, h := range a.Hours {
		r.Hours = append(r.Hours, HourItem{num(h.At.Hours()), tenthsItem(h.Leak)})
	}
	for _, s := range a.Sites {
		r.Sites = append(r.Sites, NightSite{s.Site.ID(), num(s.Mean.MmHg()), num(s.Largest.MmHg()), num(s.Load), num(float64(s.Over))})
	}
	for _, o := range a.Openings {
		r.Openings = append(r.Openings, OpeningItem{o.Site.ID(), o.To, num(o.Each)})
	}
	return r
}

func nightAsked(q night.Question) NightAsked {
	same := asked(slept(q))
	if q.Line.TakesTime() {
		same.Line.Worn = num(q.Hours.Hours())
	}
	return NightAsked{Type: same.Type, Size: same.Size, Face: same.Face, Strap: same.Strap, Pressure: same.Pressure,
		Limit: same.Limit, Statistic: string(q.Statistic), Line: same.Line, Hours: num(q.Hours.Hours()), Nights: q.Nights,
		Seed: q.Seed, TurnRate: num(q.Habits.TurnRate), CutOut: q.Habits.CutOut, Hose: num(q.Case.Hose.Pull.N()), Mouth: mouthWords(q)}
}

func tenthsItem(b night.Band) TenthsItem { return TenthsItem{num(b.Low), num(b.Middle), num(b.High)} }

func partItems(parts []night.Part) []PartItem {
	out := []PartItem{}
	for _, p := range parts {
		out = append(out, PartItem{p.Name, num(float64(p.Share)), num(p.Leak.LPerMin()), num(p.P95.LPerMin()), num(float64(p.Above))})
	}
	return out
}

func exampleItem(a night.Answer) NightExampleItem {
	e := NightExampleItem{a.ExampleAt, []SpellItem{}}
	for _, s := range a.Example {
		item := SpellItem{From: num(s.From.Hours()), Length: num(s.Length.Hours()), Position: s.Position, Stage: s.Stage.String(),
			Turned: s.Turned, Tipped: s.Tipped, Strap: num(s.Straps.N())}
		held := !s.Tipped
		item.Leak, item.Mouth = when(held, s.Leak.LPerMin()), when(held, s.Mouth.LPerMin())
		item.Mask, item.Margin = when(held, s.Mask.CmH2O()), when(held, s.Margin.CmH2O())
		e.Spells = append(e.Spells, item)
	}
	return e
}

// NightCSV gives the leak along the night, spread over the nights: one line for
// every ten minutes. A cell is empty where the mask tips off.
func NightCSV(a night.Answer) string {
	return table([]string{"time_h", "leak_p10_L_per_min", "leak_p50_L_per_min", "leak_p90_L_per_min"}, func(line func(...string)) {
		for _, h := range a.Hours {
			b := tenthsItem(h.Leak)
			line(cell(num(h.At.Hours())), cell(b.Low), cell(b.Middle), cell(b.High))
		}
	})
}

// table writes a CSV table line by line. A strings.Builder takes everything, so
// no write can fail.
func table(head []string, fill func(line func(...string))) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	_ = w.Write(head)
	fill(func(cells ...string) { _ = w.Write(cells) })
	w.Flush()
	return b.String()
}
