package report

import (
	"fmt"

	"tautline/model/explain"
	"tautline/model/unit"
)

// steps are the actions as they are said.
var steps = [...]string{
	explain.LookAtVent:    "Look at the mask vent: open, clean, and a vented mask at all?",
	explain.CheckOxygen:   "See where oxygen enters, and note what the machine reads with it.",
	explain.CheckSetting:  "Compare the mask setting on the machine, and the curve used here, with this mask.",
	explain.CheckAssembly: "Look at the assembly: cushion clicked in, port cap on, elbow, hose, humidifier lid.",
	explain.CleanAll:      "Clean face and cushion, and dry them.",
	explain.CheckSize:     "See whether the size is right, by this mask's own gauge.",
	explain.ReseatMask:    "Re-seat: loosen, lift off, let the cushion fill, let it settle.",
	explain.SupportHose:   "Support the hose so that it does not pull.",
	explain.CloseLips:     "Lips closed: ask, and see whether the leak falls. A chin strap does not seal lips, and is nothing for a blocked nose or vomiting.",
	explain.SupportOnSide: "On the side: free the mask from the bed pillow, and lead the hose round.",
	explain.EvenStraps:    "Straps even, in pairs.",
	explain.StepStraps:    "Straps in pairs, one small even step, by the label.",
	explain.NewCushion:    "Try a new cushion.",
	explain.OtherSize:     "Another size.",
	explain.OtherType:     "Another type of mask.",
	explain.Leave:         "Nothing needs doing about this leak as it was read; zero is not the aim.",
}

// ActionWords says a step by itself.
func ActionWords(k explain.ActionKind) string { return steps[k] }

// ActionLines say what to try in bedside order, each with what it is expected to
// do and what it costs the skin.
func ActionLines(a explain.Answer) (out []string) {
	for _, act := range a.Actions {
		out = append(out, steps[act.Kind]+expected(act))
	}
	return out
}

func expected(act explain.Action) string {
	switch {
	case !act.Predicted && act.SkinCost:
		return " No figure here: fit it anew, and look at the skin as for a first mask."
	case !act.Predicted:
		return ""
	case act.Helps < 0.02:
		return " Hardly changes a leak like this one; it comes early because it costs nothing."
	}
	what, sign := "the leak would go", unit.Flow(1)
	if act.Now.Middle < 0 {
		what, sign = "what the vent falls short by would go", -1
	}
	ends := [2]unit.Flow{act.After.Low, act.After.High}
	if sign < 0 {
		ends = [2]unit.Flow{-act.After.High, -act.After.Low}
	}
	s := fmt.Sprintf(" Helps in %s of simulated leaks; %s from %s to %s L/min (%s to %s).", chance(float64(act.Helps)), what, flowText(sign*act.Now.Middle),
		flowText(sign*act.After.Middle), flowText(ends[0]), flowText(ends[1]))
	if act.SkinCost {
		return s + " " + skinCostWords(act)
	}
	return s + " Costs the skin nothing."
}

func skinCostWords(act explain.Action) string {
	if act.Contact == [3]unit.Pressure{} {
		return "What it costs the skin the model cannot say here."
	}
	return fmt.Sprintf("Presses about %s harder on %s (%s to %s).", Contact(act.Contact[1]), The(act.Site),
		fmt.Sprintf("%.0f", nonzero(act.Contact[0].MmHg())), Contact(act.Contact[2]))
}

// ActionRows is the table of actions, heading first.
func ActionRows(a explain.Answer) [][]string {
	rows := [][]string{{"step", "helps", "leak after", "from", "skin"}, {"", "%", "L/min", "L/min", "mmHg"}}
	for _, act := range a.Actions {
		row := []string{actionNames[act.Kind], "", "", "", ""}
		if act.Predicted {
			row = []string{actionNames[act.Kind], wholePercent(act.Helps), flowText(act.After.Low) + " to " + flowText(act.After.High), flowText(act.Now.Middle), "0"}
		}
		switch {
		case act.SkinCost && act.Predicted && act.Contact[1] != 0:
			row[4] = fmt.Sprintf("%+.0f", nonzero(act.Contact[1].MmHg()))
		case act.SkinCost:
			row[4] = "look"
		}
		rows = append(rows, row)
	}
	return rows
}

var actionNames = [...]string{"mask vent", "oxygen", "setting and curve", "assembly", "clean", "size by gauge", "re-seat", "hose", "lips closed",
	"on the side", "straps even", "straps, one step", "new cushion", "another size", "another type", "leave it"}
