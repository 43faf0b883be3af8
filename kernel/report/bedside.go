package report

import (
	"fmt"
	"strings"

	"tautline/kernel/minute"
	"tautline/kernel/scenario"
	"tautline/model/fit"
)

// BedsideLine is the one line of the first minute's answer.
func BedsideLine(a minute.Answer) string {
	f := a.Form
	switch a.Kind {
	case minute.Stop:
		return "Stop here and call someone now. No picture of forces helps with a danger sign."
	case minute.LoadOff:
		return "Take the load off that site now and tell the nurse or the prescriber. There is nothing to trade off on skin that is broken or keeps its mark."
	case minute.NotVented:
		return "A mask without a vent of its own: look now where the breath leaves. It belongs only on a circuit that has its own way out."
	case minute.BelowVent:
		return fmt.Sprintf("%s at %s is below the %s that this mask's vent passes in the model: look at the vent now.", Flow(f.Leak), Airway(f.Highest), Flow(a.Vent))
	case minute.Magnetic:
		return "Magnets and an implant do not go together: keep the distance on the mask's label, and take a mask without magnets until that is settled."
	case minute.NoMask:
		return "Without the mask's type no forces can be shown: read type and size off the mask."
	}
	return modelLine(a)
}

// modelLine says what the forces say, and where they and the hand at the rim
// disagree.
func modelLine(a minute.Answer) string {
	s := VerdictSentence(a.Fit)
	leak, known := a.Unintentional()
	holds := a.Fit.Top.Leak < a.Form.Limit
	switch {
	case known && leak > a.Form.Limit && holds:
		return fmt.Sprintf("You read %s, past your %s; on this invented face the mask would hold. Believe the mask, and look for what the model has not: assembly, mouth, a fold, a worn cushion.", Flow(leak), Flow(a.Form.Limit))
	case known && leak <= a.Form.Limit && !holds:
		return fmt.Sprintf("You read %s, within your %s, though on this invented face the mask would leak more. Believe the mask.", Flow(leak), Flow(a.Form.Limit))
	}
	return s
}

// bedsideSteps are the next steps. None of them is to tighten.
var bedsideSteps = map[minute.Kind]string{
	minute.Stop:       "Call. The mask can wait.",
	minute.LoadOff:    "Loosen or lift the mask off that site, and say what you saw, where and when. On dark skin compare warmth, firmness, pain and tone with the skin beside it.",
	minute.NotVented:  "Look at the mask: find the vent's holes. None, and no outlet in the circuit: take it off the patient.",
	minute.BelowVent:  "Look at the vent: open, not blocked? Then oxygen added downstream, then the mask setting on the machine, then whether this is the vent's curve.",
	minute.Magnetic:   "Ask where the implant is, look at the label, and put the mask back on the shelf if you cannot tell.",
	minute.NoMask:     "Until then, in this order: vent, oxygen, assembly, a clean face and cushion, the right size, re-seat.",
	minute.Assembly:   "Assembly: cushion clicked in, port cap on, elbow, hose, humidifier lid. Listen again before anything is done to the straps.",
	minute.MouthFirst: "Lips closed for three breaths: does the sound stop? A dry mouth alone does not tell.",
	minute.Loosen:     "Let the straps out a notch, lift the mask off, let the cushion fill, let it settle. Too tight folds the cushion, and loosening cures it.",
	minute.Reseat:     "Re-seat, with the highest pressure on, in the posture of sleep: loosen, lift off, let the cushion fill, let it settle.",
	minute.LetOut:     "Let the straps out in pairs, evenly, in small steps, and listen after each one. It leaks less than your limit.",
	minute.LookRound:  "Go round the rim with the back of a damp hand, with the highest pressure on: where is the air? Then two fingers under each strap: loose, snug or tight?",
	minute.LeaveIt:    "Leave the straps as they are. The hiss of the mask vent is meant to be there.",
}

// BedsideStep is the one next step.
func BedsideStep(a minute.Answer) string { return bedsideSteps[a.Kind] }

// BedsideWhy says which story the reading would look like, and what would tell
// more.
func BedsideWhy(a minute.Answer) []string {
	if !a.HasWhy {
		return nil
	}
	out := []string{ExplainSentence(a.Why) + " One reading tells little: one more at another pressure within the order tells more."}
	if s := NextSentence(a.Why); s != "" {
		out = append(out, "Ten seconds that tell most: "+s)
	}
	return out
}

// BedsideNotes say what was taken without being known.
func BedsideNotes(a minute.Answer) []string {
	if !a.HasFit {
		return nil
	}
	var out []string
	if a.SizeTaken {
		out = append(out, "Size not known: drawn for medium. Medium is not the same across masks.")
	}
	if a.PositionTaken {
		out = append(out, fmt.Sprintf("Posture not known: drawn for the one of four in which it leaks most here, %s.", a.Fit.Question.Case.Position.Name))
	}
	if a.Form.Face == "" {
		out = append(out, "Face not looked at: drawn for an average one.")
	}
	if a.Form.Straps == "" {
		out = append(out, "Straps not felt: anything from loose to tight.")
	}
	if a.Form.LeakIs == minute.FigureUnknown {
		out = append(out, "Which leak the machine shows is not known, so its figure is not used: some show total flow, some what is left after the vent.")
	}
	if a.Form.Oxygen != scenario.No {
		out = append(out, "Oxygen added shifts the leak that a machine reports.")
	}
	if s := DoubtSentence(a.Fit); s != "" {
		out = append(out, s)
	}
	return out
}

// BedsideLater is what comes when the one step did not help, in bedside order;
// nothing where something must not wait.
func BedsideLater(a minute.Answer) []string {
	if !a.HasFit || a.Kind == minute.LeaveIt || a.Kind == minute.LetOut {
		return nil
	}
	if a.Fit.Verdict == fit.Opens || a.Fit.Verdict == fit.EmptyByShape {
		return Options(a.Fit)
	}
	// Where the forces do not explain the leak, their figures help no further.
	return []string{"Mask vent, oxygen, assembly: vent open, cushion clicked in, port cap on, elbow, hose, humidifier lid.",
		"Face and cushion clean and dry.", "The right size, by the gauge.", "Re-seat: loosen, lift off, let the cushion fill, let it settle.",
		"Hose held up, lips closed.", "Straps in pairs, evenly, in small steps, by the label.", "A new cushion; then another size; then another type."}
}

// BedsideAfterwards says what to look at afterwards.
func BedsideAfterwards(a minute.Answer) string {
	switch {
	case a.HasFit:
		return Afterwards(a.Fit)
	case a.Kind == minute.LoadOff:
		return "Afterwards: look at that site again after 30 minutes without load, and once more before a mask goes on."
	}
	return "Afterwards: look at the patient first, then at the skin when the mask comes off and again after 30 minutes."
}

// BedsideName names the case over its picture.
func BedsideName(a minute.Answer) string { return CaseName(a.Fit.Question) }

// BedsideRows is what was tapped, for a sheet to print.
func BedsideRows(f minute.Form) [][]string {
	said := func(s string) string {
		if s == "" {
			return dontKnow
		}
		return s
	}
	return [][]string{
		{"danger sign", f.Danger.String()},
		{"mask", strings.TrimSpace(said(string(f.Type)) + ", " + said(f.Size))},
		{"vent of its own", f.Vented.String()},
		{"magnets; implants", f.Magnets.String() + "; " + f.Implants.String()},
		{"face", said(f.Face)},
		{"posture", said(f.Position)},
		{"highest pressure", Airway(f.Highest)},
		{"leak read now", Flow(f.Leak) + ", " + FigureWords(f.LeakIs)},
		{"oxygen added", f.Oxygen.String()},
		{"straps feel", said(f.Straps)},
		{"air is felt", PlaceWords(f.Air)},
		{"skin", SkinWords(f.Skin)},
		{"mouth open", f.Mouth.String()},
		{"your leak limit", Flow(f.Limit)},
		{"your reference line", Contact(f.Line)},
	}
}

const dontKnow = "don't know"

// FigureWords says what a machine's figure means.
func FigureWords(f minute.Figure) string {
	return [...]string{dontKnow, "unintentional leak", "total flow"}[f]
}

// PlaceWords says where air is felt.
func PlaceWords(p minute.Place) string {
	return [...]string{dontKnow, "at the bridge", "at the nose sides", "at the cheeks", "at lip or nostrils", "at the chin",
		"at the mouth", "at elbow, cap, hose or lid", "nowhere"}[p]
}

// SkinWords says what is seen of the skin.
func SkinWords(s minute.Skin) string {
	return [...]string{dontKnow, "no mark", "a mark that fades when pressed", "a mark after 30 minutes", "does not fade, or broken"}[s]
}

// BedsideWindow says the fit window where there is one to say.
func BedsideWindow(a minute.Answer) string {
	if !a.HasFit {
		return ""
	}
	return WindowSentence(a.Fit.Question, a.Fit.Window)
}
