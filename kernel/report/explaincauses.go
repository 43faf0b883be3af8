package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tautline/model/explain"
	"tautline/model/mask"
	"tautline/model/unit"
)

// causeNames are the causes as they are said in a sentence.
var causeNames = [explain.CauseCount]string{
	explain.ConstantGap:    "a constant gap at the rim",
	explain.HoleElsewhere:  "an opening elsewhere",
	explain.LiftOff:        "a site of the seal that opens",
	explain.MouthOpening:   "air that leaves through the mouth",
	explain.WornCushion:    "a worn cushion",
	explain.WrongVent:      "another vent curve or mask setting than assumed",
	explain.BlockedVent:    "a mask vent that passes too little",
	explain.SideSleeping:   "a leak that comes on the side",
	explain.NothingUnusual: "nothing unusual",
}

// shortNames are the same for tables.
var shortNames = [explain.CauseCount]string{"constant gap at the rim", "opening elsewhere", "site that opens", "through the mouth",
	"worn cushion", "vent curve or setting", "vent passes too little", "comes on the side", "nothing unusual"}

// causeLooks say what readings would look like under each cause, in words that
// need no picture.
var causeLooks = [explain.CauseCount]string{
	explain.ConstantGap:    "air would escape at low pressure already, and at twice the pressure half as much again",
	explain.HoleElsewhere:  "port cap, elbow, hose or humidifier lid; grows as a constant gap does, but no air would be felt at the rim, and it would stay with the mask sealed against the palm",
	explain.LiftOff:        "little up to one pressure and then rising ever more steeply, with air felt at one place of the rim",
	explain.MouthOpening:   "little up to the pressure at which the lips part, then a jump; air felt at the mouth and none at the rim",
	explain.WornCushion:    "air at low pressure already that grows with pressure, at a lip of the cushion that follows the skin no longer",
	explain.WrongVent:      "off by the same share of the vent flow at every pressure, too high or too low, with no air felt anywhere",
	explain.BlockedVent:    "less than the vent should pass, at every pressure",
	explain.SideSleeping:   "little on the back and much on the side; without positions, scatter that pressure does not explain",
	explain.NothingUnusual: "the few litres a minute that every seal lets through, and the scatter of the readings",
}

// CauseName is a cause as it is said in a sentence.
func CauseName(c explain.Cause) string { return causeNames[c] }

// causeOn is the same on a mask: one that encloses the mouth keeps its leak.
func causeOn(t mask.Type, c explain.Cause) string {
	if c == explain.MouthOpening && t == mask.Oronasal {
		return "a mouth that opens within the mask"
	}
	return causeNames[c]
}

// CauseShort is a cause as it stands in a table or over a picture.
func CauseShort(c explain.Cause) string { return shortNames[c] }

// CauseLook says what readings would look like under a cause. Behind an oronasal
// mask an open mouth shows at the chin.
func CauseLook(c explain.Cause, t mask.Type) string {
	if c == explain.MouthOpening && t == mask.Oronasal {
		return "its leak stays inside this mask; the jaw that drops opens the chin seal, so that air would be felt at the chin, and less with the mouth shut"
	}
	return causeLooks[c]
}

// ExplainSentence is the one sentence of an answer: the leading cause, or those
// that the data cannot tell apart.
func ExplainSentence(a explain.Answer) string {
	lead := a.Leading()
	if tie, ok := leadingTie(a); ok {
		var parts []string
		for _, c := range tie.Causes {
			r := a.Of(c)
			parts = append(parts, fmt.Sprintf("%s (%s)", causeOn(a.Question.Mask.Type, c), chance(float64(r.Probability))))
		}
		return "A tie: what was read and seen cannot tell apart " + and(parts) + "."
	}
	it := "It"
	if slices.Contains(a.Flags, explain.QuietAsRead) {
		it = "What was read" // and no more than that
	}
	s := fmt.Sprintf("%s looks most like %s (%s)", it, causeOn(a.Question.Mask.Type, lead.Cause), chance(float64(lead.Probability)))
	if len(lead.Sites) > 0 && lead.Sites[0].Share > 0.3 {
		s += fmt.Sprintf(", most often at %s (%s of it)", The(lead.Sites[0].Site), chance(float64(lead.Sites[0].Share)))
	}
	if len(a.Set) > 1 {
		var parts []string
		for _, c := range a.Set[1:min(len(a.Set), 4)] {
			parts = append(parts, fmt.Sprintf("%s (%s)", causeOn(a.Question.Mask.Type, c), chance(float64(a.Of(c).Probability))))
		}
		s += "; also in question: " + and(parts)
	}
	return s + ". This compares stories; it proves none."
}

// leadingTie is the tie that the most probable cause takes part in.
func leadingTie(a explain.Answer) (explain.Tie, bool) {
	for _, t := range a.Ties {
		for _, c := range t.Causes {
			if c == a.Leading().Cause {
				return t, true
			}
		}
	}
	return explain.Tie{}, false
}

// LookLines say, for each cause in question, what the readings would look like
// and what would be read at the lowest and the highest pressure.
func LookLines(a explain.Answer) (out []string) {
	for i, r := range a.Causes {
		if i >= 2 && r.Probability < 0.1 || i == 4 {
			break
		}
		s := fmt.Sprintf("%s (%s): %s", capital(causeOn(a.Question.Mask.Type, r.Cause)), chance(float64(r.Probability)), CauseLook(r.Cause, a.Question.Mask.Type))
		if low, high := ends(a, r); low < high {
			s += fmt.Sprintf("; here %s at %s and %s at %s", bandWords(a, r.Band[low]), Airway(r.Band[low].Pressure),
				bandWords(a, r.Band[high]), Airway(r.Band[high].Pressure))
		} else if len(r.Band) > 0 {
			s += fmt.Sprintf("; here %s at %s", bandWords(a, r.Band[low]), Airway(r.Band[low].Pressure))
		}
		out = append(out, s+".")
	}
	return out
}

// ends are the points of a band nearest to the lowest and the highest reading.
func ends(a explain.Answer, r explain.Result) (low, high int) {
	least, most := a.Views[0].Pressure, a.Views[0].Pressure
	for _, v := range a.Views {
		least, most = min(least, v.Pressure), max(most, v.Pressure)
	}
	for i, b := range r.Band {
		if math.Abs(float64(b.Pressure-least)) < math.Abs(float64(r.Band[low].Pressure-least)) {
			low = i
		}
		if math.Abs(float64(b.Pressure-most)) <= math.Abs(float64(r.Band[high].Pressure-most)) {
			high = i
		}
	}
	return low, high
}

// bandWords says a band as the readings are: with the vent's flow where the
// total was read.
func bandWords(a explain.Answer, b explain.BandPoint) string {
	if a.Question.Which == explain.TotalFlow {
		return flowText(b.Low+b.Vent) + " to " + flowText(b.High+b.Vent) + " L/min in all"
	}
	return flowText(b.Low) + " to " + flowText(b.High) + " L/min"
}

// chance says a probability, and never as none or all.
func chance(p float64) string {
	switch {
	case p < 0.01:
		return "under 1 %"
	case p > 0.99:
		return "over 99 %"
	}
	return percent(p)
}

// flowText keeps to whole litres: nobody reads a leak more finely.
func flowText(q unit.Flow) string { return fmt.Sprintf("%.0f", nonzero(math.Round(q.LPerMin()))) }

// CauseRows is the table of causes, heading first.
func CauseRows(a explain.Answer) [][]string {
	rows := [][]string{{"cause", "before", "by readings", "with what was seen", "off by"}, {"", "%", "%", "%", "SD"}}
	for _, r := range a.Causes {
		rows = append(rows, []string{shortNames[r.Cause], wholePercent(r.Prior), wholePercent(r.ByReadings), wholePercent(r.Probability),
			fmt.Sprintf("%.1f", r.Mismatch)})
	}
	return rows
}

func wholePercent(x unit.Fraction) string {
	return strings.TrimSuffix(strings.NewReplacer("under ", "<", "over ", ">").Replace(chance(float64(x))), " %")
}

// ReadingRows is the table of the readings as they were taken apart.
func ReadingRows(a explain.Answer) [][]string {
	rows := [][]string{{"pressure", "read", "mask vent", "unintentional leak", "give or take"}, {"cmH2O", "L/min", "L/min", "L/min", "L/min"}}
	for i, v := range a.Views {
		if i == mostRows {
			return append(rows, []string{fmt.Sprintf("and %d more", len(a.Views)-i), "", "", "", ""})
		}
		rows = append(rows, []string{bedside(v.Pressure.CmH2O()), flowText(a.Question.Readings[i].Flow), flowText(v.Vent),
			flowText(v.Leak), fmt.Sprintf("%.1f", v.SD.LPerMin())})
	}
	return rows
}
