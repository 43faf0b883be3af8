package report

import (
	"fmt"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// Options says what to try, in bedside order: what costs the skin nothing
// first, and "tighten" never first.
func Options(a fit.Answer) []string {
	var out []string
	var later []string
	for _, o := range a.Options {
		s := option(a, o)
		switch {
		case s == "":
		case o.Kind == fit.StepStraps && a.Verdict == fit.TooTight:
			out = append(out, s) // loosening spares the skin
		case o.Kind == fit.LookAtVent:
			out = append(out, s)
		default:
			later = append(later, s)
		}
	}
	return append(out, later...)
}

func option(a fit.Answer, o fit.Option) string {
	switch o.Kind {
	case fit.LookAtVent:
		return "Mask vent, oxygen, assembly: vent open, cushion clicked in, port cap on, elbow, hose, humidifier lid."
	case fit.Clean:
		return "Face and cushion clean and dry."
	case fit.Reseat:
		return "Re-seat: loosen, lift off, let the cushion fill, let it settle."
	case fit.SupportHose:
		return "Hose held up, so that it does not drag on the mask."
	case fit.CloseLips:
		if a.Question.Case.Mask.Type == mask.Oronasal {
			return "Jaw: does the chin seal open when the mouth drops open?"
		}
		return "Lips closed for three breaths: does the sound stop?"
	case fit.EvenStraps:
		return fmt.Sprintf("Straps in pairs, left and right alike: the same pull with %.0f %% of it in the upper pair (now %.0f %%) gives %s.",
			o.Settings.Balance.Percent(), a.Question.Case.Straps.Upper.Percent(), trade(a, o))
	case fit.StepStraps:
		return stepWords(a, o)
	case fit.NewCushion:
		return fmt.Sprintf("New cushion, the same mask: %s.", trade(a, o))
	case fit.OtherSize:
		return fmt.Sprintf("Size %s, the same pull: %s; %s.", o.Settings.Size, trade(a, o), windowWords(o.Window))
	case fit.OtherType:
		return fmt.Sprintf("Type %s, %s, at %s: %s; %s.", TypeWords(o.Type), o.Settings.Size, Pull(o.Settings.Straps), trade(a, o), windowWords(o.Window))
	}
	return ""
}

// trade says leak against skin, both at the highest pressure of the range:
// "9 L/min instead of 14, and 75 mmHg at the bridge instead of 55".
func trade(a fit.Answer, o fit.Option) string {
	site, contact := Worst(a.Top)
	where := "at " + The(o.Site)
	if site != o.Site {
		where += fmt.Sprintf(" (now %s at %s)", Contact(contact), The(site))
		return fmt.Sprintf("%s instead of %s past the cushion, %s %s", Flow(o.Leak), bedside(a.Top.Leak.LPerMin()), Contact(o.Contact), where)
	}
	return fmt.Sprintf("%s instead of %s past the cushion, %s instead of %.0f %s", Flow(o.Leak), bedside(a.Top.Leak.LPerMin()),
		Contact(o.Contact), nonzero(contact.MmHg()), where)
}

func windowWords(w fit.Window) string {
	if !w.Exists {
		return "no fit window"
	}
	return fmt.Sprintf("fit window %s to %s", bedside(w.Low.N()), Pull(w.High))
}

// stepWords says what straps in small steps would do, and what that costs.
func stepWords(a fit.Answer, o fit.Option) string {
	by := o.Settings.Straps - a.Question.Case.Total()
	switch a.Verdict {
	case fit.TooTight:
		return fmt.Sprintf("Let the straps out in pairs, evenly, in small steps towards %s in all: %s.", Pull(o.Settings.Straps), trade(a, o))
	case fit.Opens:
		return fmt.Sprintf("Only then take the straps in, in pairs, evenly, in small steps towards %s in all: %s.", Pull(o.Settings.Straps), trade(a, o))
	case fit.EmptyByLine:
		return fmt.Sprintf("Taking the straps in to %s would give %s: past your line, so not the way.", Pull(o.Settings.Straps), trade(a, o))
	}
	if by < 0.05*unit.N {
		return ""
	}
	return fmt.Sprintf("Taking the straps in by %s would give %s: it costs skin and does not cure the shape.", Pull(by), trade(a, o))
}

// Afterwards says what to look at when something was changed.
func Afterwards(a fit.Answer) string {
	site, _ := Worst(a.Top)
	return fmt.Sprintf("Afterwards: look at the skin of %s when the mask comes off and again after 30 minutes, and listen once more at %s, %s.",
		The(site), Airway(a.Question.Range[1]), posture(a))
}

func posture(a fit.Answer) string {
	if a.Question.Case.Position.Name == "" {
		return "in the posture of sleep"
	}
	return a.Question.Case.Position.Name
}
