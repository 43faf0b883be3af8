package explain

import "slices"

// What a finding is worth: the chance of each outcome under each cause. All are
// assumed (common practice, no source): they say which way a finding points and
// that none of them proves anything. Dry mouth also comes from medicines and
// dry air; a chin strap or closed lips do not exclude the mouth.

// two makes the table of a finding with two outcomes from the chance of the
// first; order: gap, hole, lift-off, mouth, worn, wrong vent, blocked vent,
// side, nothing.
func two(first ...float64) []byCause {
	var a, b byCause
	for c, p := range first {
		a[c], b[c] = p, 1-p
	}
	return []byCause{a, b}
}

// more makes the table from one row for each outcome but the last, which takes
// what is left.
func more(rows ...byCause) []byCause {
	last := byCause{}
	for c := range last {
		last[c] = 1
		for _, r := range rows {
			last[c] -= r[c]
		}
	}
	return append(rows, last)
}

var tables = [FindingCount][]byCause{
	//                  gap   hole  lift  mouth worn  wrong block side  nothing
	DryMouth:    two(0.25, 0.25, 0.25, 0.80, 0.25, 0.20, 0.20, 0.30, 0.20),
	WorseOnSide: two(0.30, 0.10, 0.35, 0.30, 0.30, 0.08, 0.08, 0.90, 0.10),
	CushionAge: more(
		byCause{0.35, 0.30, 0.30, 0.30, 0.03, 0.35, 0.30, 0.30, 0.35},
		byCause{0.30, 0.30, 0.30, 0.30, 0.12, 0.30, 0.30, 0.30, 0.30},
		byCause{0.20, 0.22, 0.25, 0.22, 0.30, 0.20, 0.20, 0.22, 0.20}),
	CushionLooks: two(0.80, 0.80, 0.75, 0.80, 0.25, 0.85, 0.75, 0.80, 0.85),
	StrapsFeel: more(
		byCause{0.25, 0.25, 0.45, 0.25, 0.25, 0.25, 0.25, 0.30, 0.20},
		byCause{0.50, 0.50, 0.40, 0.50, 0.45, 0.50, 0.50, 0.45, 0.60}),
	OxygenAdded: two(0.05, 0.05, 0.05, 0.05, 0.05, 0.10, 0.05, 0.05, 0.05),
	AirFelt: more(
		byCause{0.75, 0.08, 0.75, 0.08, 0.70, 0.05, 0.05, 0.55, 0.05},
		byCause{0.02, 0.02, 0.04, 0.65, 0.03, 0.02, 0.02, 0.05, 0.02},
		byCause{0.03, 0.55, 0.03, 0.02, 0.02, 0.10, 0.03, 0.03, 0.03}),
	LipsClosed:     two(0.04, 0.04, 0.06, 0.85, 0.04, 0.04, 0.04, 0.08, 0.06),
	FingerPressure: two(0.70, 0.05, 0.80, 0.06, 0.60, 0.04, 0.04, 0.40, 0.06),
	Reseat:         two(0.30, 0.05, 0.50, 0.05, 0.25, 0.04, 0.04, 0.35, 0.06),
	HeadTurned:     two(0.30, 0.15, 0.40, 0.20, 0.35, 0.05, 0.05, 0.85, 0.08),
	HoseHeldUp:     two(0.15, 0.20, 0.35, 0.05, 0.20, 0.03, 0.03, 0.40, 0.05),
	// On the palm the rim is pressed shut: what stays leaves elsewhere, or is an
	// error of the vent's curve.
	AgainstPalm: two(0.08, 0.95, 0.05, 0.03, 0.15, 0.93, 0.60, 0.05, 0.30),
	DampHand: more(
		byCause{0.85, 0.10, 0.80, 0.10, 0.80, 0.06, 0.06, 0.50, 0.06},
		byCause{0.04, 0.75, 0.04, 0.30, 0.04, 0.10, 0.05, 0.06, 0.04}),
}

// withinMask gives the tables for a mask that encloses the mouth: an open mouth
// shows at the chin then, as a site of the rim that opens does.
func withinMask(all [FindingCount][]byCause) [FindingCount][]byCause {
	for _, f := range []Finding{AirFelt, FingerPressure, DampHand} {
		all[f] = slices.Clone(all[f])
		for k := range all[f] {
			all[f][k][MouthOpening] = all[f][k][LiftOff]
		}
	}
	return all
}
