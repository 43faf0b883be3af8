package words

import (
	"strings"

	"tautline/kernel/scenario"
	"tautline/model/explain"
)

// What is told of a leak. Each word takes one answer as text; "don't know" is
// always one, and the same as leaving the word out.

// A Seen is one thing that was told of a leak.
type Seen struct {
	name string
	tell func(*explain.Question)
}

// String says what was told.
func (t Seen) String() string { return t.name }

// seen takes an answer, and refuses one that is not known at once, in the cell
// that says it.
func seen(key, answer string) Seen {
	t, _ := scenario.FindTelling(key)
	check(t.Tell(&explain.Question{}, answer))
	return Seen{t.Meaning + ": " + answer, func(q *explain.Question) { check(t.Tell(q, answer)) }}
}

// seenSites takes the names of sites.
func seenSites(key, what string, sites []string) Seen {
	names := strings.Join(sites, ",")
	check(scenario.TellSites(&explain.Question{}, key, names))
	return Seen{what + ": " + names, func(q *explain.Question) { check(scenario.TellSites(q, key, names)) }}
}

// onFlow says which flow was read: "total", everything that leaves, or
// "unintentional", what a machine has left after taking off its own vent curve.
// The two differ by the vent's flow, so there is no usual one.
//
// Example: OnFlow("total")
func onFlow(answer string) Seen { return seen("flow", answer) }

// onStatistic says which figure of a stretch of time was read: "mean", "median",
// "95th percentile" or "don't know".
//
// Example: OnStatistic("95th percentile")
func onStatistic(answer string) Seen { return seen("statistic", answer) }

// steppedBy says who chose the pressures: a "person", within the order, or the
// "machine"; or "don't know". Where a machine chose, pressure may have followed
// the leak.
//
// Example: SteppedBy("person")
func steppedBy(answer string) Seen { return seen("stepped_by", answer) }

// dryMouth says whether the mouth is dry in the morning: "yes", "no" or
// "don't know". Medicines and dry air do that too.
//
// Example: DryMouth("yes")
func dryMouth(answer string) Seen { return seen("dry_mouth", answer) }

// worseOnSide says whether it leaks more when lying on the side: "yes", "no" or
// "don't know".
//
// Example: WorseOnSide("yes")
func worseOnSide(answer string) Seen { return seen("worse_on_side", answer) }

// cushionLooks says how the cushion looks: "fine", or "worn" where it is greasy,
// torn or misshapen; or "don't know".
//
// Example: CushionLooks("worn")
func cushionLooks(answer string) Seen { return seen("cushion_looks", answer) }

// strapsFeel says how the straps feel: "loose", "snug", "tight" or
// "don't know". A pull on a scale is said with Straps.
//
// Example: StrapsFeel("snug")
func strapsFeel(answer string) Seen { return seen("straps_feel", answer) }

// oxygenAdded says whether oxygen is led into mask or hose: "yes", "no" or
// "don't know". It shifts the leak that a machine reports.
//
// Example: OxygenAdded("no")
func oxygenAdded(answer string) Seen { return seen("oxygen_added", answer) }

// airFelt says where air is felt: "at rim", "at mouth", "at assembly",
// "nowhere" or "don't know". A place on the rim is said with AirFeltAt.
//
// Example: AirFelt("at rim")
func airFelt(answer string) Seen { return seen("air_felt", answer) }

// lipsClosed says what came of lips closed for three breaths: "helps",
// "no change" or "don't know".
//
// Example: LipsClosed("no change")
func lipsClosed(answer string) Seen { return seen("lips_closed", answer) }

// fingerPressure says what came of light finger pressure where air is felt:
// "helps", "no change" or "don't know".
//
// Example: FingerPressure("helps")
func fingerPressure(answer string) Seen { return seen("finger_pressure", answer) }

// reseated says what came of lifting the mask off, letting the cushion fill and
// settle: "helps", "no change" or "don't know".
//
// Example: Reseated("helps")
func reseated(answer string) Seen { return seen("reseat", answer) }

// headTurned says what came of turning the head: "worse", "no change" or
// "don't know".
//
// Example: HeadTurned("no change")
func headTurned(answer string) Seen { return seen("head_turned", answer) }

// hoseHeldUp says what came of holding the hose up: "helps", "no change" or
// "don't know".
//
// Example: HoseHeldUp("no change")
func hoseHeldUp(answer string) Seen { return seen("hose_held_up", answer) }

// againstPalm says what came of sealing the mask against the palm, off the
// patient, the vent never covered: "leak stays", "leak gone" or "don't know".
//
// Example: AgainstPalm("leak gone")
func againstPalm(answer string) Seen { return seen("against_palm", answer) }

// dampHand says what the back of a damp hand found round the rim:
// "found at rim", "found elsewhere", "found nothing" or "don't know".
//
// Example: DampHand("found at rim")
func dampHand(answer string) Seen { return seen("damp_hand", answer) }

// airFeltAt says at which sites of the rim air is felt: one or more, as files
// name them; "cheek" alone stands for both sides.
//
// Example: AirFeltAt("bridge")
func airFeltAt(sites ...string) Seen { return seenSites("air_felt_at", "air felt at the rim", sites) }

// soreAt says at which sites the skin is sore.
//
// Example: SoreAt("bridge")
func soreAt(sites ...string) Seen { return seenSites("sore_at", "sore skin", sites) }

// seenKeys are the words that take one answer, each with its key in files.
var seenKeys = map[string]string{
	"OnFlow": "flow", "OnStatistic": "statistic", "SteppedBy": "stepped_by", "DryMouth": "dry_mouth",
	"WorseOnSide": "worse_on_side", "CushionLooks": "cushion_looks", "StrapsFeel": "straps_feel", "OxygenAdded": "oxygen_added",
	"AirFelt": "air_felt", "LipsClosed": "lips_closed", "FingerPressure": "finger_pressure", "Reseated": "reseat",
	"HeadTurned": "head_turned", "HoseHeldUp": "hose_held_up", "AgainstPalm": "against_palm", "DampHand": "damp_hand",
}
