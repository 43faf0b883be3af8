package report

import (
	"fmt"

	"tautline/model/explain"
	"tautline/model/mask"
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
		out = append(out, actionStep(act)+expected(act))
	}
	return out
}

// actionStep says a step, and which mask where it is another one.
func actionStep(act explain.Action) string {
	switch {
	case act.Size == "":
	case act.Kind == explain.OtherSize:
		return fmt.Sprintf("Another size, %s, with about the same strap pull.", act.Size)
	case act.Kind == explain.OtherType:
		return fmt.Sprintf("Another type of mask, %s, %s.", TypeWords(act.Type), act.Size)
	}
	return steps[act.Kind]
}

// hardly is the chance of helping below which a step is said to do nothing.
const hardly = 0.02

func expected(act explain.Action) string {
	switch {
	case !act.Predicted && act.Kind == explain.CheckOxygen, act.Kind == explain.Leave:
		return ""
	case !act.Predicted:
		return " " + noFigure(act)
	case act.Helps < hardly && act.SkinCost:
		return fmt.Sprintf(" Leaves no less than now: %s L/min (%s) instead of %s.", leakText(act.After.Middle), spanText(act.After), flowText(act.Now.Middle))
	case act.Helps < hardly:
		return " Hardly changes a leak like this one; it comes early because it costs nothing."
	case act.Kind == explain.CheckSize:
		return fmt.Sprintf(" Looking costs the skin nothing; in %s of simulated leaks the size above or below leaks less by a third or more.", chance(float64(act.Helps)))
	case act.Now.Middle < 0:
		return fmt.Sprintf(" Helps in %s of simulated leaks; what the vent falls short by would go from %s to %s L/min (%s).%s", chance(float64(act.Helps)),
			flowText(-act.Now.Middle), flowText(-act.After.Middle), spanText(explain.Span{Low: -act.After.High, High: -act.After.Low}), skinWords(act))
	}
	return fmt.Sprintf(" Helps in %s of simulated leaks; the leak would go from %s to %s L/min (%s).%s", chance(float64(act.Helps)),
		flowText(act.Now.Middle), leakText(act.After.Middle), spanText(act.After), skinWords(act))
}

// noFigure says what would let the model say more of a step.
func noFigure(act explain.Action) string {
	if act.SkinCost {
		return "No figure here: none of the simulated faces leaks like this. The strap pull on a hanging scale, or where air is felt, would let the model say; the skin is looked at as for a first mask."
	}
	return "No figure here: none of the simulated faces leaks like this. Looking costs the skin nothing."
}

func spanText(s explain.Span) string { return leakText(s.Low) + " to " + leakText(s.High) }

// wideOpen is the leak beyond which no figure is said: the machine would no
// longer keep its pressure.
const wideOpen = 100 * unit.LPerMin

func leakText(q unit.Flow) string {
	if q > wideOpen {
		return "over " + flowText(wideOpen)
	}
	return flowText(q)
}

func skinWords(act explain.Action) string {
	if !act.SkinCost {
		return " Costs the skin nothing."
	}
	s := " " + skinCostWords(act)
	if act.OverNow > 0 || act.Over > 0 {
		s += fmt.Sprintf(" Past your line on %s of the faces; now on %s.", chance(float64(act.Over)), chance(float64(act.OverNow)))
	}
	if act.Tips > hardly {
		s += fmt.Sprintf(" On %s of the faces such a pull does not hold it.", chance(float64(act.Tips)))
	}
	if act.Type == mask.Pillows {
		s += " The model knows little of nostrils: take these figures lightly."
	}
	if act.Kind == explain.OtherType {
		s += " Whether it is worn is another question."
	}
	return s
}

// skinCostWords say what a step does to the largest contact pressure. Another
// mask has its own firmest place, which may be elsewhere.
func skinCostWords(act explain.Action) string {
	if act.Contact == [3]unit.Pressure{} {
		return "What it costs the skin the model cannot say here."
	}
	change, least, most, which := act.Contact[1], act.Contact[0], act.Contact[2], "harder"
	if change < 0 {
		change, least, most, which = -change, -most, -least, "less hard"
	}
	by := fmt.Sprintf("about %s %s", Contact(change), which)
	spread := fmt.Sprintf("(%.0f to %.0f)", nonzero(least.MmHg()), nonzero(most.MmHg()))
	if act.Size == "" {
		return fmt.Sprintf("Presses %s on %s %s.", by, The(act.Site), spread)
	}
	return fmt.Sprintf("Its firmest place, most often %s, would press %s than the firmest place now %s.", The(act.Site), by, spread)
}
