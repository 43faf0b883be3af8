package report

import (
	"encoding/csv"
	"strconv"
	"strings"

	"tautline/model/fit"
)

// sweepHead heads the CSV of a sweep: one line for each point and site, so that
// a spreadsheet can filter by site; what holds for the whole mask is repeated.
var sweepHead = []string{
	"pressure_cmH2O", "mask_pressure_cmH2O", "strap_N", "strap_at_pressure_N", "push_N",
	"balance", "size", "cushion_days", "position",
	"vent_L_per_min", "leak_L_per_min", "lift_off_cmH2O", "leak_onset_cmH2O", "opens_first",
	"site", "contact_mmHg", "contact_mean_mmHg", "margin_cmH2O", "gap_um", "site_leak_L_per_min", "crushed",
}

// SweepCSV gives the points of a sweep as a table. A cell is empty where there
// is no such number.
func SweepCSV(a fit.Answer) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	// A strings.Builder takes everything, so no write can fail.
	_ = w.Write(sweepHead)
	for _, row := range a.Rows {
		s, p := settingItems(a, row.Settings), pointNumbers(row.Point)
		for _, at := range p.Sites {
			_ = w.Write([]string{
				cell(s.Pressure), cell(p.Mask), cell(s.Strap), cell(p.StrapAtPressure), cell(p.Push),
				cell(s.Balance), s.Size, cell(s.Cushion), s.Position,
				cell(p.Vent), cell(p.Leak), cell(p.LiftOff), cell(p.Onset), p.OpensFirst,
				at.Site, cell(at.Contact), cell(at.ContactMean), cell(at.Margin), cell(at.Gap), cell(at.Leak),
				strconv.FormatBool(at.Crushed)})
		}
	}
	w.Flush()
	return b.String()
}

func cell(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'g', -1, 64)
}
