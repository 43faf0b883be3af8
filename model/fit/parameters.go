package fit

import "tautline/model/unit"

const byTheUser = "has no default: the user states it"

// The records of what a question states.
var (
	LimitRecord = unit.Parameter{Name: "leak limit", Unit: "L/min", Value: 24, Low: 0.1, High: 200,
		Meaning: "unintentional leak that is still let pass", Fixed: "stated by the user",
		Origin: unit.Assumed, Source: byTheUser}
	LineRecord = unit.Parameter{Name: "reference line", Unit: "mmHg", Value: 70, Low: 1, High: 1000,
		Meaning: "contact pressure that loads are compared with", Fixed: "stated by the user",
		Origin: unit.Assumed, Source: byTheUser}
	WornRecord = unit.Parameter{Name: "time worn", Unit: "h", Value: 7, Low: 0.01, High: 24,
		Meaning: "time that the mask stays on", Fixed: "stated by the user",
		Origin: unit.Assumed, Source: byTheUser}
	LeftRecord = unit.Parameter{Name: "left straps' share of the pull", Unit: "%", Value: 50, Low: 0, High: 100, Likely: [2]float64{42, 58},
		Meaning: "share of the pull on the wearer's left", Origin: unit.Assumed, Source: "evenly set"}
	SegmentsRecord = unit.Parameter{Name: "segments", Value: usualSegments, Low: 24, High: 1024, Fixed: "chosen, and of no matter",
		Meaning: "pieces that each rim is cut into", Origin: unit.Assumed,
		Source: "96 against 384 moves a leak by about 0.3 % (median)"}
)

// Parameters lists the records of a position's numbers, with the values that
// this position has.
func (p Position) Parameters() []unit.Parameter {
	set := func(r unit.Parameter, name string, si float64) unit.Parameter {
		r = r.At(si)
		r.Name = name
		return r
	}
	return []unit.Parameter{
		set(LyingPress, "weight pressing", float64(p.Pressing)),
		set(SittingHang, "weight hanging on the bridge", float64(p.Hanging)),
		set(LyingSlack, "strap slackening", float64(p.Slackening)),
		set(JawBack, "jaw falling back", float64(p.JawBack)),
		set(PillowShove, "bed pillow's push", float64(p.Shove)),
	}
}

// A Feel is a strap force told by feel instead of measured: a broad range, and
// a figure inside it to start from.
type Feel struct {
	Words     []string // ways to say it
	Usual     unit.Parameter
	Low, High unit.Force
}

// Feels lists what straps are told to be by feel. The figures are those at
// which a mask was worn loose, right and tight; the ranges overlap because
// hands differ, and are assumed.
func Feels() []Feel {
	feel := func(usual float64, low, high unit.Force, words ...string) Feel {
		return Feel{Words: words, Low: low, High: high, Usual: unit.Parameter{
			Name: "strap force, " + words[0], Symbol: "F", Unit: "N", Value: usual, Low: StrapRange.Low, High: StrapRange.High,
			SD: float64(high-low) / 4, Meaning: "sum of the strap pulls when they feel " + words[0], Origin: unit.Read,
			Source: "D. H. Duong et al., ERJ Open Res 2021, 10.1183/23120541.00632-2020; its range " + low.String() + " to " + high.String() + " assumed"}}
	}
	return []Feel{
		feel(0.98, 0.5, 2.5, "loose", "two fingers"),
		feel(3.43, 2, 5, "snug", "one finger"),
		feel(5.88, 4, 9, "tight", "no finger"),
	}
}
