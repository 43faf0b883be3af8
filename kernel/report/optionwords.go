package report

import (
	"fmt"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// OptionsHeading stands above the options.
func OptionsHeading(a fit.Answer) string {
	if a.Verdict == fit.Holds {
		return "Before you leave it so"
	}
	return "Try, in this order"
}

// Options says what to try, in bedside order: what costs the skin nothing
// first, and tightening never first.
func Options(a fit.Answer) []string {
	var first, later []string
	for _, o := range a.Options {
		if !worthSaying(a, o) {
			continue
		}
		s := option(a, o)
		switch {
		case s == "":
		case o.Kind == fit.LookAtVent, o.Kind == fit.StepStraps && a.Verdict == fit.TooTight: // loosening spares the skin
			first = append(first, s)
		default:
			later = append(later, s)
		}
	}
	return append(first, later...)
}

// worthSaying leaves out what would not help: everything but a look where the
// fit holds, and sizes and types that leak more or offer no window.
func worthSaying(a fit.Answer, o fit.Option) bool {
	switch o.Kind {
	case fit.LookAtVent, fit.SupportHose, fit.EvenStraps:
		return true
	case fit.NewCushion, fit.OtherSize, fit.OtherType:
		if a.Verdict == fit.Holds {
			return false
		}
		_, contact := Worst(a.Top)
		if a.Verdict == fit.TooTight {
			return o.Window.Exists && o.Contact < contact
		}
		return o.Window.Exists && (!a.Window.Exists || o.Leak < a.Top.Leak)
	}
	return a.Verdict != fit.Holds
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
// "9 L/min past the cushion instead of 14 L/min, 75 mmHg at the bridge instead
// of 55".
func trade(a fit.Answer, o fit.Option) string {
	site, contact := Worst(a.Top)
	leak := fmt.Sprintf("%s past the cushion instead of %s", Some(o.Leak), Flow(a.Top.Leak))
	if a.Top.Leak < trace {
		leak = Some(o.Leak) + " past the cushion, as now"
	}
	if site != o.Site && site.Mirror() != o.Site {
		return fmt.Sprintf("%s, %s at %s (now %s at %s)", leak, Contact(o.Contact), The(o.Site), Contact(contact), The(site))
	}
	return fmt.Sprintf("%s, %s at %s instead of %.0f", leak, Contact(o.Contact), Both(a.Top, o.Site), nonzero(contact.MmHg()))
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
	posture := a.Question.Case.Position.Name
	if posture == "" || posture == "sitting" {
		posture = "in the posture of sleep"
	}
	return fmt.Sprintf("Afterwards: look at the skin of %s when the mask comes off and again after 30 minutes, and listen once more at %s, %s.",
		Both(a.Top, site), Airway(a.Question.Range[1]), posture)
}
