package report

import (
	"encoding/csv"
	"strings"

	"tautline/model/night"
)

// A NightResult is the JSON form of simulated nights (testdata/schema). What
// does not exist is null; so is a leak where the mask tips off the face.
type NightResult struct {
	Format    string           `json:"format"`
	Version   int              `json:"version"`
	Name      string           `json:"name"`
	About     string           `json:"about"`
	Asked     NightAsked       `json:"asked"`
	Over      int              `json:"nights_over"`
	Above     *float64         `json:"above_limit"` // share of all time
	PerNight  TenthsItem       `json:"above_limit_per_night"`
	Percents  []PercentItem    `json:"leak_percentiles"`
	Bands     []StatisticItem  `json:"statistics_per_night_L_per_min"`
	Values    []*float64       `json:"nights_L_per_min"` // the stated statistic, in the nights' order
	Hours     []HourItem       `json:"hours"`
	Positions []PartItem       `json:"positions"`
	Stages    []PartItem       `json:"stages"`
	Sites     []NightSite      `json:"sites"`
	Top       string           `json:"top_site"`
	Turns     *float64         `json:"turns_per_night"`
	Opened    *float64         `json:"turns_that_opened_per_night"`
	Openings  []OpeningItem    `json:"openings"`
	Tipped    *float64         `json:"tipped"` // share of all time
	Mouth     *float64         `json:"mouth_L_per_min"`
	Swing     [2]*float64      `json:"mask_pressure_cmH2O"` // lowest and highest, breath included
	Example   NightExampleItem `json:"example"`
	Sentences []string         `json:"sentences"`
	Cautions  []string         `json:"cautions"`
}

// A NightAsked repeats what was asked.
type NightAsked struct {
	Type      string   `json:"type"`
	Size      string   `json:"size"`
	Face      string   `json:"face"`
	Strap     *float64 `json:"strap_N"`
	Pressure  *float64 `json:"pressure_cmH2O"`
	Limit     *float64 `json:"limit_L_per_min"`
	Statistic string   `json:"statistic"`
	Line      LineItem `json:"line"`
	Hours     *float64 `json:"hours_h"`
	Nights    int      `json:"nights"`
	Seed      uint64   `json:"seed"`
	TurnRate  *float64 `json:"turns_per_hour"`
	CutOut    bool     `json:"cut_out"`
	Hose      *float64 `json:"hose_pull_N"`
	Mouth     string   `json:"mouth"`
}

// A TenthsItem is a tenth, half and nine tenths.
type TenthsItem struct {
	Low    *float64 `json:"p10"`
	Middle *float64 `json:"p50"`
	High   *float64 `json:"p90"`
}

// A PercentItem is one percentile of the leak.
type PercentItem struct {
	Percent *float64 `json:"percent"`
	Leak    *float64 `json:"leak_L_per_min"`
}

// A StatisticItem is one statistic of a night, spread over the nights.
type StatisticItem struct {
	Statistic string `json:"statistic"`
	TenthsItem
}

// An HourItem is the leak at one time of the night, spread over the nights.
type HourItem struct {
	At *float64 `json:"time_h"`
	TenthsItem
}

// A PartItem is a position's or a stage's share of the time.
type PartItem struct {
	Name  string   `json:"name"`
	Share *float64 `json:"share"`
	Leak  *float64 `json:"median_L_per_min"`
	P95   *float64 `json:"p95_L_per_min"`
	Above *float64 `json:"above_limit"`
}

// A NightSite is what the skin of a site met.
type NightSite struct {
	Site    string   `json:"site"`
	Mean    *float64 `json:"mean_mmHg"`
	Largest *float64 `json:"largest_mmHg"`
	Load    *float64 `json:"times_line"`
	Over    *float64 `json:"above_line"`
}

// An OpeningItem counts turns that opened the seal.
type OpeningItem struct {
	Site string   `json:"site"`
	To   string   `json:"turning_to"`
	Each *float64 `json:"per_night"`
}

// A NightExampleItem is one night, spell by spell.
type NightExampleItem struct {
	Night  int         `json:"night"`
	Spells []SpellItem `json:"spells"`
}

// A SpellItem is one stretch of that night.
type SpellItem struct {
	From     *float64 `json:"from_h"`
	Length   *float64 `json:"length_h"`
	Position string   `json:"position"`
	Stage    string   `json:"stage"`
	Turned   bool     `json:"turned"`
	Tipped   bool     `json:"tipped"`
	Strap    *float64 `json:"strap_N"`
	Leak     *float64 `json:"leak_L_per_min"`
	Mouth    *float64 `json:"mouth_L_per_min"`
	Mask     *float64 `json:"mask_pressure_cmH2O"`
	Margin   *float64 `json:"margin_cmH2O"`
}

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
