package report

import (
	"fmt"
	"slices"
	"strings"

	"tautline/model/explain"
	"tautline/model/unit"
)

// VentFirst is what is said before anything else where less flows than the vent
// should pass; empty otherwise.
func VentFirst(a explain.Answer) string {
	if !slices.Contains(a.Flags, explain.BelowVent) || len(a.Views) == 0 {
		return ""
	}
	v := a.Views[0]
	for _, w := range a.Views {
		if w.Leak < v.Leak {
			v = w
		}
	}
	read := v.Vent + v.Leak
	return fmt.Sprintf("Look at the mask vent now: is it open, and is this a vented mask at all? About %s L/min leave at %s, below the %s L/min of this mask's vent; expired air may be breathed again. Then oxygen led in further down, then the mask setting on the machine, then the curve used here.",
		flowText(read), Airway(v.Pressure), flowText(v.Vent))
}

// flagWords are what has to be said with an answer.
var flagWords = map[explain.Flag]string{
	explain.SelfAdjusting:     "The machine chose the pressures. Pressure and leak rising together do not show which came first; pressures that a person steps within the order would.",
	explain.ChooserUnknown:    "It was not said who chose the pressures. Had the machine adjusted them itself, the rise would tell less.",
	explain.TooLittle:         "These are few readings, or at nearly one pressure: the answer is wide. Three or more pressures, some apart, within the order, would tell more.",
	explain.OnePressure:       "All readings are at about one pressure, however many they are: they say how much leaves, not how it grows.",
	explain.StatisticMatters:  "A median hides what comes and goes, a 95th percentile shows mostly that: compare only with the same figure.",
	explain.StatisticUnknown:  "It was not said whether these are means, medians or percentiles; they were taken as means.",
	explain.OxygenShifts:      "Oxygen shifts the leak that a machine reports: note where it enters, and how much.",
	explain.NoCauseFits:       "None of the causes meets these readings well. Look at units, mask and columns before anything else.",
	explain.FewDraws:          "Few of the simulated leaks come near these readings, so the shares are rough.",
	explain.VentExtrapolated:  "Some pressures lie beyond the vent's published curve; the flow there is extrapolated.",
	explain.PostureUnknownOne: "Positions were not given: leaks that come on the side show only as scatter.",
	explain.QuietAsRead:       "Quiet readings tell of themselves alone: a leak that comes on the side, at a higher pressure or at another hour would not show in them.",
}

// ExplainFlags says what has to be said, most urgent first; the vent apart.
func ExplainFlags(a explain.Answer) (out []string) {
	for _, f := range a.Flags {
		if f == explain.TooLittle && slices.Contains(a.Flags, explain.OnePressure) {
			continue // one of the two says it
		}
		s := flagWords[f]
		if f == explain.TooLittle && slices.Contains(a.Flags, explain.QuietAsRead) {
			s = "These are few readings, or at nearly one pressure: quiet or not, they settle nothing. Three or more pressures, some apart, within the order, would tell more."
		}
		if s != "" {
			out = append(out, s)
		}
	}
	return out
}

// ExplainCase says what was read.
func ExplainCase(a explain.Answer) string {
	q := a.Question
	which := map[explain.Which]string{explain.TotalFlow: "total flow", explain.Unintentional: "unintentional leak"}[q.Which]
	figure := [...]string{"statistic not said", "means", "medians", "95th percentiles"}[q.Statistic]
	who := [...]string{"who chose the pressures not said", "pressures stepped by a person", "pressures chosen by the machine"}[q.Chooser]
	return fmt.Sprintf("Read: %s of the %s, %s, %s, %s; %s.", readings(len(q.Readings)), which, span(q), figure, who, q.Mask.Name)
}

func span(q explain.Question) string {
	low, high := q.Readings[0].Pressure, q.Readings[0].Pressure
	for _, r := range q.Readings {
		low, high = min(low, r.Pressure), max(high, r.Pressure)
	}
	if high-low < 0.05*unit.CmH2O {
		return "all at " + Airway(low)
	}
	return fmt.Sprintf("%s to %s", bedside(low.CmH2O()), Airway(high))
}

// tests say each ten-second test as it is done, and where it would point.
var tests = map[explain.Finding]string{
	explain.LipsClosed:     "Ask for the lips closed for three breaths",
	explain.FingerPressure: "Press lightly with a finger where air is felt",
	explain.Reseat:         "Loosen, lift the mask off, let the cushion fill, let it settle",
	explain.HeadTurned:     "Have the head turned to the side",
	explain.HoseHeldUp:     "Hold the hose up",
	explain.AgainstPalm:    "Seal the mask against your palm, off the patient, the vent never covered",
	explain.DampHand:       "Lead the back of a damp hand round the rim",
}

// looks say each finding that is asked for or looked at.
var looks = map[explain.Finding]string{
	explain.DryMouth: "whether the mouth is dry in the morning (medicines and dry air do that too)", explain.WorseOnSide: "whether it is worse on the side",
	explain.CushionAge: "how long the cushion has been in use", explain.CushionLooks: "whether the cushion is greasy, torn or misshapen",
	explain.StrapsFeel: "how the straps feel", explain.OxygenAdded: "whether oxygen is led in", explain.AirFelt: "where air is felt",
	explain.LipsClosed: "lips closed for three breaths", explain.FingerPressure: "light finger pressure where air is felt",
	explain.Reseat: "re-seating", explain.HeadTurned: "the head turned", explain.HoseHeldUp: "the hose held up",
	explain.AgainstPalm: "the mask against the palm, off the patient", explain.DampHand: "a damp hand round the rim",
}

// outcomeWords are what a test comes out with.
var outcomeWords = map[string]string{"helps": "the leak falls", "no_change": "nothing changes", "worse": "the leak grows",
	"leak_stays": "the leak stays", "leak_gone": "the leak is gone", "found_at_rim": "air is found at the rim",
	"found_elsewhere": "air is found elsewhere", "found_nothing": "air is found nowhere"}

// TieSentences say what would break each tie.
func TieSentences(a explain.Answer) (out []string) {
	for _, t := range a.Ties {
		var names, ways []string
		for _, c := range t.Causes {
			names = append(names, causeOn(a.Question.Mask.Type, c))
		}
		for _, b := range t.Breaks {
			ways = append(ways, breakWords(b))
		}
		if len(ways) == 0 {
			ways = []string{"nothing that this program knows of"}
		}
		out = append(out, fmt.Sprintf("Between %s these would decide: %s.", and(names), strings.Join(ways, "; ")))
	}
	return out
}

func breakWords(b explain.Break) string {
	switch b.Kind {
	case explain.AnotherPressure:
		return "20 seconds at another pressure within the order"
	case explain.StepByHand:
		return "pressures stepped by a person within the order"
	}
	return looks[b.Finding]
}

// NextSentence is the one test that tells most between the leading two causes.
func NextSentence(a explain.Answer) string {
	if !a.HasNext {
		return ""
	}
	n := a.Next
	if c, ok := settled(n); ok {
		return fmt.Sprintf("%s. Whatever comes of it, it would go on looking most like %s; it tells most of what is left to tell.", tests[n.Finding], causeOn(a.Question.Mask.Type, c))
	}
	parts := []string{}
	for _, o := range n.Outcomes {
		if len(o.After) == 0 {
			continue
		}
		comes := outcomeWords[n.Finding.Outcomes()[o.Outcome-1]]
		// How likely an outcome is rests on causes that quiet readings do not show.
		if !slices.Contains(a.Flags, explain.QuietAsRead) {
			comes += fmt.Sprintf(" (%s likely)", chance(float64(o.Chance)))
		}
		parts = append(parts, fmt.Sprintf("if %s, it looks more like %s (%s then)", comes,
			causeOn(a.Question.Mask.Type, o.After[0].Cause), chance(float64(o.After[0].Probability))))
	}
	return fmt.Sprintf("%s: %s.", tests[n.Finding], strings.Join(parts, "; "))
}

// settled tells whether no outcome of a test would change the leading cause
// or leave it in doubt.
func settled(n explain.Next) (lead explain.Cause, ok bool) {
	for i, o := range n.Outcomes {
		if len(o.After) == 0 || o.After[0].Probability < 0.9 || i > 0 && o.After[0].Cause != lead {
			return 0, false
		}
		lead = o.After[0].Cause
	}
	return lead, len(n.Outcomes) > 0
}

// ExplainAfterwards says what to look at when something was tried.
func ExplainAfterwards(a explain.Answer) string {
	where := "where the mask presses most"
	for _, act := range a.Actions {
		if act.SkinCost && act.Predicted {
			// The first of them is about the mask that is worn.
			where = "of " + The(act.Site)
			break
		}
	}
	if len(a.Question.Sore) > 0 {
		where = "of " + The(a.Question.Sore[0]) + ", which is sore already,"
	}
	return fmt.Sprintf("Afterwards: read the same figure again at the same pressures, in the posture of sleep; feel where air is left; look at the skin %s when the mask comes off and again after 30 minutes. Broken skin, or a mark that does not fade when pressed: take the load off that place and tell the nurse or the prescriber.", where)
}

// ExplainLimits says what the shares rest on.
const ExplainLimits = "How common each cause is, what each sign is worth and how much most steps take off are assumed (common practice, no source); mask and faces are invented. The shares say how well stories fit what was typed in, and nothing of the person."
