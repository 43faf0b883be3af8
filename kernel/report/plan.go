package report

import (
	"fmt"
	"math"
	"strings"

	"tautline/model/face"
	"tautline/model/plan"
)

// PlanText is the whole plan as text of at most 80 columns: what keeps a mask
// out first, then what to try, then what next.
func PlanText(a plan.Answer, stock string, ink Ink) string {
	var b strings.Builder
	para := func(all ...string) {
		for _, s := range all {
			if s != "" {
				b.WriteString(Wrap(s, "") + "\n")
			}
		}
	}
	head := func(s string) { b.WriteString("\n" + ink.Bold(s) + "\n") }
	numbered := func(all []string) {
		for i, s := range all {
			b.WriteString(Wrap(fmt.Sprintf("%d. %s", i+1, s), "   ") + "\n")
		}
	}
	para(ink.Faint(ShortCaution))
	b.WriteString("\n")
	para(PlanCase(a, stock))
	para(PlanGates(a)...)
	b.WriteString("\n")
	para(ink.Bold(PlanSentence(a)))
	para(PlanPastLine(a))
	para(PlanWhy(a)...)
	if a.Next != nil && a.Next.Move != plan.Keep && a.Next.Move != plan.Stop {
		head("At this visit, in this order")
		numbered(PlanOrder(a))
		head("Next, by what comes of it")
		b.WriteString(Columns("  ", PlanRows(a)))
		para(pastLineNote(a))
		head("What to expect from now on, in simulated persons")
		b.WriteString(Columns("  ", ForecastRows(a)))
		para(ForecastSentence(a))
	}
	if rows := ChoiceRows(a); len(rows) > headRows+1 {
		head("What else the stock has, fewest visits to expect first")
		b.WriteString(Columns("  ", rows))
		if a.Question.Line.IsSet() {
			para(PlanLineLimit)
		}
	}
	head("What this cannot know")
	for _, s := range PlanUnknown(a) {
		b.WriteString(Wrap("- "+s, "  ") + "\n")
	}
	b.WriteString("\n")
	para(PlanAfterwards(a))
	b.WriteString("\n")
	para(ink.Faint(PlanLimits + " " + Disclaimer))
	return b.String()
}

// PlanLimits says what the numbers of a plan rest on.
const PlanLimits = "Faces, masks and persons are invented; the spreads of faces, skin and straps are assumed: of about ten sets that let trial and error take three to four visits (common practice, no source) this one was taken, with the plan's own result in view, which flatters it."

// PlanCase says what was planned for.
func PlanCase(a plan.Answer, stock string) string {
	q := a.Question
	n := 0
	for _, m := range q.Stock {
		n += m.Count
	}
	posture := q.Position.Name
	if posture == "" {
		posture = "posture not known"
	}
	s := fmt.Sprintf("Planned for %s to %s, %s; leak limit %s; reference line %s. Stock: %s (%d masks).",
		bedside(q.Range[0].CmH2O()), Airway(q.Range[1]), posture, Flow(q.Limit), planLine(q), stock, n)
	return s + " Face: " + lookWords(q.Look) + "." + triedWords(q.Tried)
}

func planLine(q plan.Question) string {
	if !q.Line.IsSet() {
		return "not stated, so none is kept to"
	}
	level := Contact(q.Line.Level(q.Worn))
	if q.Line.Source == "chosen by the user" {
		return level + " (yours)"
	}
	return q.Line.Name + ", " + level
}

func lookWords(l plan.Look) string {
	var parts []string
	for _, t := range l.Ticks {
		parts = append(parts, string(t))
	}
	if len(parts) == 0 {
		parts = append(parts, "nothing ticked")
	}
	if l.NoseWidth > 0 {
		parts = append(parts, "nose "+Depth(l.NoseWidth)+" wide")
	}
	if l.Length > 0 {
		parts = append(parts, Depth(l.Length)+" long")
	}
	return strings.Join(append(parts, map[plan.Told]string{plan.Yes: "mouth falls open asleep", plan.No: "mouth stays shut asleep",
		plan.Unknown: "mouth asleep not known"}[l.MouthOpen]), ", ")
}

func triedWords(tried []plan.Visit) string {
	var all []string
	for _, v := range tried {
		s := fmt.Sprintf("%s, %s", TypeWords(v.Type), v.Size)
		if v.Pull > 0 {
			s += " at " + Pull(v.Pull)
		}
		all = append(all, s+": "+visitWords(v))
	}
	if len(all) == 0 {
		return " Nothing was tried yet."
	}
	return " Tried: " + strings.Join(all, "; ") + "."
}

func visitWords(v plan.Visit) string {
	if v.Anywhere {
		return "leaks, place not seen"
	}
	return OutcomeWords(v.What)
}

// OutcomeWords says what came of a mask. A mouth is never called the cause.
func OutcomeWords(o plan.Outcome) string {
	return [...]string{"comfortable", "leaks at bridge or nose", "leaks elsewhere", "sore", "would look like a mouth leak", "will not wear it"}[o]
}

// PlanSentence is the one sentence of a plan.
func PlanSentence(a plan.Answer) string {
	switch {
	case a.Next == nil && len(a.Choices) == 0:
		return "Nothing in this stock is left to plan with: pass on to whoever can get another type, or settle what is not known above."
	case a.Next == nil:
		return "Nothing to change: what was tried last is comfortable."
	case a.Next.Move == plan.Keep:
		return "Keep what was tried last: it is comfortable."
	case a.Next.Move == plan.Stop:
		return "Nothing in this stock is left to try: pass on to whoever can get another type."
	}
	when := "Try first"
	if len(a.Question.Tried) > 0 {
		when = "Try next"
	}
	return fmt.Sprintf("%s: %s. In %s simulated persons like this one it would be comfortable.", when, stepSentence(*a.Next), share(a.Next.Solves))
}

// stepSentence says one step: "another size, nasal, small, straps about 3 N in
// all (2.5 to 3.6)".
func stepSentence(s plan.Step) string {
	set := fmt.Sprintf("%s, %s, straps about %s in all (%s to %s)", TypeWords(s.Setting.Type), s.Setting.Size, Pull(s.Setting.Pull),
		bedside(s.Setting.Range[0].N()), bedside(s.Setting.Range[1].N()))
	switch s.Move {
	case plan.Reseat:
		return "re-seat the same mask, straps as they are (" + Pull(s.Setting.Pull) + ")"
	case plan.Loosen:
		return fmt.Sprintf("let the straps of the same mask out in pairs, to about %s in all", Pull(s.Setting.Pull))
	case plan.Tighten:
		return fmt.Sprintf("re-seat, then small even steps in pairs, to about %s in all", Pull(s.Setting.Pull))
	case plan.ChangeSize:
		return "another size: " + set
	case plan.ChangeType:
		return "another type: " + set
	case plan.Keep:
		return "keep it"
	case plan.Stop:
		return "nothing is left in stock: pass on"
	}
	return set
}

// share says a chance as people do: "7 of 10".
func share(p float64) string {
	switch n := math.Round(10 * p); {
	case p < 0.05:
		return "hardly any"
	case n >= 10:
		return "nearly all"
	default:
		return fmt.Sprintf("%.0f of 10", n)
	}
}

// PlanWhy says what is expected of the mask that is tried.
func PlanWhy(a plan.Answer) []string {
	if a.Next == nil || len(a.Choices) == 0 || a.Next.Move == plan.Keep || a.Next.Move == plan.Stop {
		return nil
	}
	c := a.Choices[0]
	out := []string{fmt.Sprintf("In the middle of what is believed, %s would pass the cushion at %s, and the largest contact is %s, most often at %s.%s",
		Some(c.Leak), Airway(a.Question.Range[1]), Contact(c.Contact), bothSides(c.Site), passWords(a.Question, c.OverLine))}
	if c.OverLine > 0.5 {
		out = append(out, "More likely than not it passes your line: look at the skin early, and at the other masks below, before it is left so.")
	}
	if len(c.Items) > 0 && c.Items[0].Reprocessed {
		out = append(out, "On the shelf it is a reprocessed one: look at cushion, headgear and vent before it goes on.")
	}
	if len(c.Items) > 0 && c.Items[0].Magnets {
		out = append(out, "It has magnets: keep the distance on its label, from whoever shares the bed as well.")
	}
	return out
}

// bothSides names a site with its mirror: a simulated face leans neither way.
func bothSides(s face.Site) string {
	if s.Mirror() == s {
		return The(s)
	}
	return pair(s)
}

func percent(p float64) string { return fmt.Sprintf("%.0f %%", nonzero(100*p)) }

// PlanOrder is what to do at the visit in bedside order; the straps come late.
func PlanOrder(a plan.Answer) []string {
	s := a.Next.Setting
	posture := a.Question.Position.Name
	if posture == "" {
		posture = "in the posture of sleep"
	}
	straps := fmt.Sprintf("Straps in pairs, evenly, in small steps, by the label, to about %s in all (%.0f g on a hanging scale).", Pull(s.Pull), s.Pull.Grams())
	if a.Next.Move == plan.Loosen {
		straps = fmt.Sprintf("Let the straps out in pairs, evenly, in small steps, to about %s in all (%.0f g on a hanging scale).", Pull(s.Pull), s.Pull.Grams())
	}
	return []string{
		"Danger signs, then mask vent, oxygen, assembly: vent open, cushion clicked in, port cap on, elbow, hose, humidifier lid.",
		"Face and cushion clean and dry; the right size by this mask's own gauge.",
		"Loosen, lift off, let the cushion fill, let it settle; hose held up, lips closed.",
		straps,
		fmt.Sprintf("Judge it %s, with %s on: the highest that will be met, not the ramp.", posture, Airway(a.Question.Range[1])),
	}
}

// PlanRows is the table of what to do after each outcome, heading first.
func PlanRows(a plan.Answer) [][]string {
	rows := [][]string{{"if it ...", "chance", "next", "straps", "comfortable"}, {"", "%", "", "N", "then, %"}}
	for _, b := range a.Next.After {
		rows = append(rows, append([]string{OutcomeWords(b.Outcome), fmt.Sprintf("%.0f", nonzero(100*b.Chance))}, stepCells(b.Next)...))
	}
	return rows
}

func stepCells(s *plan.Step) []string {
	switch {
	case s == nil:
		return []string{"too unlikely", "", ""}
	case s.Move == plan.Keep:
		return []string{"keep it", "", ""}
	case s.Move == plan.Stop:
		return []string{"nothing left", "", ""}
	}
	return []string{moveWords(*s), bedside(s.Setting.Pull.N()), fmt.Sprintf("%.0f", nonzero(100*s.Solves))}
}

func moveWords(s plan.Step) string {
	switch s.Move {
	case plan.Reseat:
		return "re-seat"
	case plan.Loosen:
		return "let straps out"
	case plan.Tighten:
		return "straps in a little"
	}
	return fmt.Sprintf("%s, %s", shortType(string(s.Setting.Type)), s.Setting.Size)
}

func shortType(t string) string { return strings.Replace(t, "oronasal", "full face", 1) }

// ForecastRows sets the plan beside plain trial and error.
func ForecastRows(a plan.Answer) [][]string {
	rows := [][]string{{"", "visits", "mask changes", "unsolved", "if solved"}, {"", "", "", "%", ""}}
	for _, f := range []struct {
		name string
		of   plan.Forecast
	}{{"this plan", a.Planned}, {"trial and error", a.Trial}} {
		rows = append(rows, []string{f.name, within(f.of.Visits, 1), within(f.of.Changes, 1), within(f.of.Unsolved, 100), within(f.of.SolvedVisits, 1)})
	}
	return rows
}

// within writes a mean with its 95 % interval.
func within(m plan.Mean, times float64) string {
	digits := 1
	if times > 1 {
		digits = 0
	}
	return fmt.Sprintf("%.*f (%.*f-%.*f)", digits, times*m.Value, digits, times*m.Low, digits, times*m.High)
}

// ForecastSentence says how to read the forecast.
func ForecastSentence(a plan.Answer) string {
	return fmt.Sprintf("Unsolved after %d visits counts as %d. Trial and error reacts to outcomes too: size by gauge, re-seat, straps, another size, another type. In brackets: 95 %% intervals of the simulation (%d persons), not the spread of people.",
		plan.Cap, plan.Cap, a.Planned.N)
}

// ChoiceRows is the table of masks that may be tried.
func ChoiceRows(a plan.Answer) [][]string {
	rows := [][]string{{"mask", "straps", "comfortable", "visits", "leak", "contact", "past line"},
		{"", "N", "%", "", "L/min", "mmHg", "%"}}
	for _, c := range a.Choices {
		rows = append(rows, []string{shortType(string(c.Type)) + ", " + c.Size, bedside(c.Pull.N()),
			fmt.Sprintf("%.0f", nonzero(100*c.Chances[plan.Comfortable])), fmt.Sprintf("%.1f", c.Visits), bedside(c.Leak.LPerMin()),
			fmt.Sprintf("%.0f", nonzero(c.Contact.MmHg())), fmt.Sprintf("%.0f", nonzero(100*c.OverLine))})
	}
	return rows
}

// PlanAfterwards says what to look at when the mask was tried.
func PlanAfterwards(a plan.Answer) string {
	site := "the bridge"
	if len(a.Choices) > 0 {
		site = bothSides(a.Choices[0].Site)
	}
	return fmt.Sprintf("Afterwards: look at the skin of %s when the mask comes off and again after 30 minutes, ask where air was felt, read the leak and note which figure it is, and write the outcome into the patient file: the next plan learns from it.", site)
}

// NoPlan says that the model could not plan, and what may help.
func NoPlan(name string, err error) error {
	return fmt.Errorf("%s cannot be planned for: %w; look at pressures, limit and outcomes there", name, err)
}
