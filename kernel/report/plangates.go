package report

import (
	"fmt"
	"slices"
	"strings"

	"tautline/model/plan"
)

// reasons says why masks are not planned, as the end of "Kept out, because".
var reasons = map[plan.Reason]string{
	plan.NoVent:        "they have no vent of their own",
	plan.NoneLeft:      "none is left",
	plan.ByVomiting:    "of vomiting, a full stomach or thick secretions",
	plan.ByHands:       "the patient cannot take the mask off alone",
	plan.ByMagnets:     "of magnets near an implant",
	plan.ByBlockedNose: "the nose is blocked",
	plan.ByCover:       "they cover more than the patient lets be covered",
	plan.ByRefusal:     "the patient will not wear that type",
}

// unasked says the same where nobody knows.
var unasked = map[plan.Reason]string{
	plan.ByVomiting: "nobody knows about vomiting, a full stomach or secretions",
	plan.ByHands:    "nobody knows whether the patient can take the mask off alone",
	plan.ByMagnets:  "nobody knows about implants, of the patient or of whoever shares the bed",
}

// order is that in which reasons are looked at.
var order = []plan.Reason{plan.NoVent, plan.NoneLeft, plan.ByVomiting, plan.ByHands, plan.ByMagnets, plan.ByBlockedNose, plan.ByCover, plan.ByRefusal}

// PlanGates says what keeps masks out, and what must be settled before any.
func PlanGates(a plan.Answer) []string {
	var out []string
	g := a.Question.Gates
	if g.TakesOffAlone != plan.Yes {
		out = append(out, "Cannot take a mask off alone, or nobody knows: call someone before any mask is left on.")
	}
	if g.Vomiting == plan.Yes {
		out = append(out, "Vomiting: stop and call someone before any mask.")
	}
	for _, r := range order {
		for _, open := range []bool{false, true} {
			if s := keptOut(a, r, open); s != "" {
				out = append(out, s)
			}
		}
	}
	if len(out) == 0 {
		return []string{"Nothing in the stock is kept out."}
	}
	return out
}

// keptOut names the masks that one reason keeps out.
func keptOut(a plan.Answer, r plan.Reason, open bool) string {
	var masks []string
	for _, o := range a.RuledOut {
		if o.Reason != r || o.Unasked != open {
			continue
		}
		name := shortType(string(o.Item.Type)) + " " + o.Item.Size
		if !slices.Contains(masks, name) {
			masks = append(masks, name)
		}
	}
	if len(masks) == 0 {
		return ""
	}
	why := reasons[r]
	if text, ok := unasked[r]; ok && open {
		why = text
	}
	if r == plan.NoneLeft {
		return fmt.Sprintf("None left on the shelf: %s.", strings.Join(masks, ", "))
	}
	return fmt.Sprintf("Kept out, because %s: %s.", why, strings.Join(masks, ", "))
}

// planWarnings are what a reader must know of a plan.
var planWarnings = map[plan.Warning]string{
	plan.LittleLeft:      "What was told is so unusual that few simulated persons agree with it: the plan is a wide guess.",
	plan.NoGauge:         "Neither nose width nor face length was measured: the size is a wide guess; use the mask's own gauge.",
	plan.PositionUnknown: "The posture of sleep is not known: planned as on the back.",
	plan.PullUnknown:     "A strap force of an earlier visit is not known: taken as usual, widely.",
	plan.NoVisitsLeft:    fmt.Sprintf("%d visits are used up: pass on.", plan.Cap),
	plan.UntoldGlasses:   "Glasses are not in the model: look whether they sit on the cushion.",
}

// PlanUnknown says what the answer cannot know.
func PlanUnknown(a plan.Answer) []string {
	var out []string
	for _, w := range a.Warnings {
		if s := planWarnings[w]; s != "" {
			out = append(out, s)
		}
	}
	return append(out,
		"The shape of this face: ticks and a gauge stand for ranges, and those come from soldiers, not sleep patients.",
		"What this skin bears. No line is a limit; no hours are counted.",
		"What the mouth does asleep, how often the head turns, what the patient does to the straps at home.",
		"Whether a mask will be worn: full face is worn less (common practice), so it is not ranked by leak alone.",
		"The real masks on the shelf: those here are invented.")
}

// PlanUnknownLine is the same as one paragraph.
func PlanUnknownLine(a plan.Answer) string { return strings.Join(PlanUnknown(a), " ") }

// StockRows is the table of a shelf, heading first.
func StockRows(items []plan.Item) [][]string {
	yes := map[bool]string{true: "yes", false: "no"}
	rows := [][]string{{"mask", "vent of its own", "magnets", "state", "count"}}
	for _, m := range items {
		state := "new"
		if m.Reprocessed {
			state = "reprocessed"
		}
		rows = append(rows, []string{shortType(string(m.Type)) + ", " + m.Size, yes[m.Vented], yes[m.Magnets], state, fmt.Sprint(m.Count)})
	}
	return rows
}
