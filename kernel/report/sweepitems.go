package report

// A SweepResult is the JSON form of a sweep (testdata/schema). What does not
// exist, such as the lift-off of a mask that never lifts off, is null.
type SweepResult struct {
	Format    string         `json:"format"`
	Version   int            `json:"version"`
	Name      string         `json:"name"`
	About     string         `json:"about"`
	Asked     AskedItem      `json:"asked"`
	Verdict   string         `json:"verdict"`
	Doubt     []string       `json:"doubt"` // the verdicts at both ends of a guessed strap force
	Now       PointItem      `json:"now"`
	Top       PointItem      `json:"top"`
	Split     SplitItem      `json:"split"`
	Rows      []RowItem      `json:"rows"`
	Tipped    []SettingItems `json:"tipped"` // points without a row: the mask tips off the face
	Window    WindowItem     `json:"window"` // for the case as stated
	Windows   []WindowItem   `json:"windows"`
	Options   []OptionItem   `json:"options"`
	Draws     *DrawsItem     `json:"draws,omitempty"` // only with --draws
	Sentences []string       `json:"sentences"`
	Try       []string       `json:"try"`
	Cautions  []string       `json:"cautions"`
}

// An AskedItem repeats what the answer was asked for.
type AskedItem struct {
	Type     string      `json:"type"`
	Size     string      `json:"size"`
	Face     string      `json:"face"`
	Position string      `json:"position"`
	Strap    *float64    `json:"strap_N"`
	Guess    []*float64  `json:"strap_guess_N"` // null when it was measured
	Balance  *float64    `json:"balance"`
	Cushion  *float64    `json:"cushion_days"`
	Pressure *float64    `json:"pressure_cmH2O"`
	Range    [2]*float64 `json:"range_cmH2O"`
	Limit    *float64    `json:"limit_L_per_min"`
	Line     LineItem    `json:"line"`
	Between  [2]*float64 `json:"between_N"`
	Swept    []string    `json:"swept"`
}

// A LineItem is the reference line that was chosen, at the time worn.
type LineItem struct {
	Name   string   `json:"name"`
	Source string   `json:"source"`
	Level  *float64 `json:"contact_mmHg"`
	Worn   *float64 `json:"worn_h"` // null when the line does not ask for it
}

// SettingItems are the things that a sweep may vary.
type SettingItems struct {
	Pressure *float64 `json:"pressure_cmH2O"`
	Strap    *float64 `json:"strap_N"`
	Balance  *float64 `json:"balance"` // share of the upper pair; null for a mask with one pair
	Size     string   `json:"size"`
	Cushion  *float64 `json:"cushion_days"`
	Position string   `json:"position"`
}

// A RowItem is one point of a sweep with its settings.
type RowItem struct {
	SettingItems
	PointNumbers
}

// A PointItem is one point on its own.
type PointItem struct {
	Pressure *float64 `json:"pressure_cmH2O"`
	Strap    *float64 `json:"strap_N"`
	PointNumbers
}

// PointNumbers are what is found at one point.
type PointNumbers struct {
	Mask            *float64   `json:"mask_pressure_cmH2O"`
	StrapAtPressure *float64   `json:"strap_at_pressure_N"`
	Push            *float64   `json:"push_N"`
	Vent            *float64   `json:"vent_L_per_min"`
	Leak            *float64   `json:"leak_L_per_min"`
	LiftOff         *float64   `json:"lift_off_cmH2O"`
	Onset           *float64   `json:"leak_onset_cmH2O"`
	OpensFirst      string     `json:"opens_first"`
	Sites           []SiteItem `json:"sites"`
	Warnings        []string   `json:"warnings"`
}

// A SiteItem is one site at one point.
type SiteItem struct {
	Site        string   `json:"site"`
	Contact     *float64 `json:"contact_mmHg"`
	ContactMean *float64 `json:"contact_mean_mmHg"`
	Margin      *float64 `json:"margin_cmH2O"`
	Gap         *float64 `json:"gap_um"`
	Leak        *float64 `json:"leak_L_per_min"`
	Crushed     bool     `json:"crushed"`
}

// A SplitItem parts the mismatch.
type SplitItem struct {
	Total  *float64 `json:"total_mm"`
	Straps *float64 `json:"straps_mm"`
	Shape  *float64 `json:"shape_mm"`
	Worst  string   `json:"worst"`
}

// A WindowItem is a fit window, or why there is none, and what it holds for.
type WindowItem struct {
	Balance   *float64 `json:"balance"`
	Size      string   `json:"size"`
	Cushion   *float64 `json:"cushion_days"`
	Position  string   `json:"position"`
	Exists    bool     `json:"exists"`
	Low       *float64 `json:"low_N"`
	High      *float64 `json:"high_N"`
	OpenBelow bool     `json:"open_below"` // reaches the loosest force looked at
	OpenAbove bool     `json:"open_above"`
	SealsFrom *float64 `json:"seals_from_N"`
	LineUntil *float64 `json:"line_until_N"`
	LeastLeak *float64 `json:"least_leak_L_per_min"` // at the tightest force looked at
	LeakSite  *string  `json:"leak_site"`
	TopSite   *string  `json:"top_site"` // largest contact where it just seals
	TopAtSeal *float64 `json:"top_at_seal_mmHg"`
}

// An OptionItem is one thing to try, in order.
type OptionItem struct {
	Kind      string        `json:"kind"`
	Predicted bool          `json:"predicted"`
	Type      *string       `json:"type"`
	Settings  *SettingItems `json:"settings"`
	Leak      *float64      `json:"leak_L_per_min"`
	Contact   *float64      `json:"contact_mmHg"`
	Site      *string       `json:"site"`
	Window    *WindowItem   `json:"window"`
}
