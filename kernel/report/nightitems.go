package report

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
