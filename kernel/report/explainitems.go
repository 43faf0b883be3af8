package report

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
	Course    *TimesItem        `json:"over_time"`
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
	OverNow  *float64  `json:"share_past_line_now"`
	Over     *float64  `json:"share_past_line"`
}

// A TimesItem is what the times of the readings tell.
type TimesItem struct {
	Kind     string   `json:"kind"`
	Readings int      `json:"readings"`
	Low      *float64 `json:"lowest_pressure_cmH2O"`
	High     *float64 `json:"highest_pressure_cmH2O"`
	From     *float64 `json:"from_s"`
	To       *float64 `json:"to_s"`
	Before   *float64 `json:"leak_before_L_per_min"`
	After    *float64 `json:"leak_after_L_per_min"`
	Last     *float64 `json:"step_after_s"`
	Next     *float64 `json:"step_before_s"`
	Turned   bool     `json:"with_a_turn"`
}

// A SpanItem is a middle value with its 10 to 90 % range.
type SpanItem struct {
	Low    *float64 `json:"low"`
	Middle *float64 `json:"middle"`
	High   *float64 `json:"high"`
}
