package report

import (
	"fmt"
	"strings"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/night"
	"tautline/model/unit"
)

// slept gives what a night shares with other questions.
func slept(q night.Question) fit.Question {
	return fit.Question{Case: q.Case, Pressure: q.Pressure, Limit: q.Limit, Line: q.Line, Worn: q.Hours}
}

// NightSentence says what was simulated.
func NightSentence(q night.Question) string {
	h := q.Habits
	var lying []string
	sum := unit.Fraction(0)
	for _, s := range h.Shares {
		sum += s.Share
	}
	for _, s := range h.Shares {
		if s.Share > 0 {
			lying = append(lying, fmt.Sprintf("%s %.0f %%", s.Position.Name, (s.Share/sum).Percent()))
		}
	}
	s := wearing(q.Case, "") + fmt.Sprintf(". %s of %s at %s set (seed %d): %s of the time, %s turns an hour",
		countOf(q.Nights, "simulated night"), q.Hours, Airway(q.Pressure), q.Seed, and(lying), bedside(h.TurnRate))
	return s + "; " + hoseWords(q.Case.Hose) + "; " + pillowWords(h.CutOut) + "; " + mouthWords(q) + "."
}

func countOf(n int, what string) string {
	if n == 1 {
		return "One " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// and lists things as a sentence does.
func and(items []string) string {
	if n := len(items); n > 1 {
		return strings.Join(items[:n-1], ", ") + " and " + items[n-1]
	}
	return strings.Join(items, "")
}

func hoseWords(h fit.Hose) string {
	if h.Pull == 0 {
		return "hose supported"
	}
	return "hose not supported, pulling with " + Pull(h.Pull)
}

func pillowWords(cutOut bool) string {
	if cutOut {
		return "bed pillow with a cut-out"
	}
	return "bed pillow without a cut-out"
}

func mouthWords(q night.Question) string {
	switch {
	case q.Habits.JawDrop > 0:
		return "mouth open within the mask"
	case q.Mouth == nil && q.Case.Mask.Type == mask.Oronasal:
		return "mouth closed, within the mask"
	case q.Mouth == nil:
		return "mouth closed"
	}
	if l, ok := q.Mouth.(night.Lips); ok {
		return lipWords(l)
	}
	return "the mouth leaks as stated"
}

func lipWords(l night.Lips) string {
	s := "lips resting together, free to part"
	if l.Mouth.Open {
		s = "mouth open"
	}
	if l.Mouth.ChinStrap > 0 {
		s += ", with a chin strap"
	}
	return s
}

// statisticWords says which figure of a night is meant.
func statisticWords(s night.Statistic) string {
	switch s {
	case night.Mean, night.Median:
		return "the " + string(s) + " leak"
	case night.Largest:
		return "the largest leak"
	}
	return "the 95th percentile of the leak"
}

// NightVerdict is the sentence that matters: how many nights, how much time.
func NightVerdict(a night.Answer) string {
	q := a.Question
	s := fmt.Sprintf("In %d of %s %s is above your limit of %s; of all the time %s is above it",
		a.Over, strings.ToLower(countOf(q.Nights, "simulated night")), statisticWords(q.Statistic), Flow(q.Limit), ofTime(a.AboveMean))
	if q.Nights >= 10 {
		s += fmt.Sprintf(" (night by night %s to %s, a tenth of the nights lower and a tenth higher)",
			ofTime(unit.Fraction(a.Above.Low)), ofTime(unit.Fraction(a.Above.High)))
	}
	return s + ". The flow through the mask vent comes on top and belongs there."
}

// ofTime says a share so that a little is not nothing.
func ofTime(f unit.Fraction) string {
	switch p := f.Percent(); {
	case p > 0 && p < 1:
		return "under 1 %"
	case p > 99 && p < 100:
		return "over 99 %"
	default:
		return fmt.Sprintf("%.0f %%", p)
	}
}

// NightWhy gives the sentences behind the verdict.
func NightWhy(a night.Answer) []string {
	out := []string{leakWords(a), turnWords(a), nightLoad(a)}
	if a.Question.Mouth != nil {
		out = append(out, fmt.Sprintf("Of the leak %s on average leaves by the mouth in these nights. Dry mouth would go with it, and so would medicines and dry air.", Flow(a.Mouth)))
	}
	if a.Swing[1] > a.Swing[0] {
		out = append(out, fmt.Sprintf("The pressure in the mask lies between %s and %s over all nights, each breath's swing included.", bedside(a.Swing[0].CmH2O()), Airway(a.Swing[1])))
	}
	if a.Tipped > 0 {
		out = append(out, fmt.Sprintf("For %s of the time the straps do not hold the mask on the face at all; that counts as above the limit and is in no other figure.", ofTime(a.Tipped)))
	}
	return out
}

// leakWords says how the leak is spread and where in the night it is largest.
func leakWords(a night.Answer) string {
	s := fmt.Sprintf("Half of all the time the leak is under %s, and 95 %% of it under %s.", some(a.Leak[2]), some(a.Leak[4]))
	if p, ok := worst(a.Positions); ok {
		s += fmt.Sprintf(" By position it is above the limit most %s (%s of the time there)", alikeNames(a.Positions, p), ofTime(p.Above))
		if st, ok := worst(a.Stages); ok {
			s += fmt.Sprintf(", by stage of sleep in %s (%s)", st.Name, ofTime(st.Above))
		}
		s += "."
	}
	return s
}

// some says a flow of which there may be next to none.
func some(q unit.Flow) string {
	if q < 0.05*unit.LPerMin {
		return "0.1 L/min"
	}
	return Flow(q)
}

// worst gives the part that is above the limit for the largest share of its
// time; none where the parts hardly differ.
func worst(parts []night.Part) (most night.Part, differ bool) {
	least := unit.Fraction(1)
	for _, p := range parts {
		if p.Above > most.Above {
			most = p
		}
		least = min(least, p.Above)
	}
	return most, most.Above-least > 0.02
}

// alikeNames names the parts that are above the limit nearly as often as the
// one that is most often.
func alikeNames(parts []night.Part, most night.Part) string {
	var names []string
	for _, p := range parts {
		if most.Above-p.Above < 0.05 {
			names = append(names, p.Name)
		}
	}
	return and(names)
}

// turnWords says what turning over did.
func turnWords(a night.Answer) string {
	s := fmt.Sprintf("%s turns a night", capital(bedside(a.Turns)))
	if a.Opened < 0.05 {
		return s + fmt.Sprintf("; next to none adds %s or more to the leak.", Flow(unit.Flow(night.Opening.SI())))
	}
	s += fmt.Sprintf(", of which %s open the seal (%s or more on top)", bedside(a.Opened), Flow(unit.Flow(night.Opening.SI())))
	if len(a.Openings) > 0 {
		o := a.Openings[0]
		s += fmt.Sprintf(", most often at %s on turning to lie %s", The(o.Site), o.To)
	}
	return s + "."
}

// nightLoad says where the skin carries most, against the chosen line.
func nightLoad(a night.Answer) string {
	q := slept(a.Question)
	for _, s := range a.Sites {
		if s.Site == a.Top {
			return fmt.Sprintf("The skin carries most at %s: %s on average over %s, %s times %s, and above the line%s for %s of the time.",
				The(s.Site), Contact(s.Mean), q.Worn, bedside(s.Load), lineWords(q), falling(q), ofTime(s.Over))
		}
	}
	return "No contact is known: the straps do not hold the mask on the face."
}

// falling reminds that a line that takes time stands higher at first.
func falling(q fit.Question) string {
	if q.Line.TakesTime() {
		return ", which falls as the night goes on,"
	}
	return ""
}

// NightAfterwards says what to look at in the morning.
func NightAfterwards(a night.Answer) string {
	return fmt.Sprintf("Afterwards: in the morning look at the skin of %s when the mask comes off and again after 30 minutes, whether the strap tabs are where they were, and how the hose lay.", The(a.Top))
}

// NightLimits says what the nights leave out.
const NightLimits = "Simulated nights of an invented mask on an invented face: nobody wakes in them, takes the mask off, " +
	"lies on the front or sets the straps anew, and one pressure is held throughout. Slackening, slipping and warming are assumed. " +
	"The night in the picture is one of many, not a forecast."

// NightName names the case of a picture of nights: the position changes.
func NightName(q night.Question) string {
	worn := slept(q)
	worn.Case.Position.Name = ""
	return strings.TrimSuffix(CaseName(worn), ", ")
}
