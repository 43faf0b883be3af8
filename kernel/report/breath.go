package report

import (
	"fmt"
	"strings"

	"tautline/model/airway"
	"tautline/model/fit"
)

// A BreathAnswer is what is said about whole breaths behind one mask.
type BreathAnswer struct {
	Name, About string
	Question    fit.Question // the case; nothing is swept
	Result      airway.Result
}

// BreathLimits says what the numbers of a breath leave out.
const BreathLimits = "One calculation with an invented mask, face and sleeper; lips, jaw and nose differ from person to person " +
	"and through a night. Breathing is quiet and regular here."

// Text is the answer of at most 80 columns, the sentence that matters first.
func (a BreathAnswer) Text(ink Ink) string {
	r := a.Result
	var b strings.Builder
	para := func(s string) { b.WriteString(Wrap(s, "") + "\n") }
	para(ink.Faint(ShortCaution))
	b.WriteString("\n")
	para(a.caseWords())
	b.WriteString("\n")
	para(ink.Bold(BreathSentence(r, a.Question.Case.Position.Name)))
	b.WriteString("\n")
	for _, s := range BreathWhy(r) {
		para(s)
	}
	b.WriteString("\n" + ink.Bold("What a machine's leak figure would read") + "\n")
	para(EstimateSentence(r))
	b.WriteString(Columns("  ", EstimateRows(r)))
	b.WriteString("\n" + ink.Bold("What to look at and try, in this order") + "\n")
	for i, s := range BreathNext(r) {
		b.WriteString(Wrap(fmt.Sprintf("%d. %s", i+1, s), "   ") + "\n")
	}
	para(BreathAfterwards(r))
	b.WriteString("\n" + ink.Bold("Means over whole breaths") + "\n" + Columns("  ", BreathRows(r)))
	para(fmt.Sprintf("What comes and goes agrees to %.0e of the flow.", max(r.Imbalance, 1e-15)))
	b.WriteString("\n")
	para(ink.Faint(BreathLimits + " " + Disclaimer))
	return b.String()
}

func (a BreathAnswer) caseWords() string {
	b := a.Result.Setup.Breathing
	s := fmt.Sprintf("%s. Straps %s in all. %.0f breaths a minute, %s.", CaseName(a.Question),
		Pull(a.Question.Case.Total()), 60*b.Rate, Flow(b.Minute))
	if a.Result.Setup.Mouth.ChinStrap > 0 {
		s += " With a chin strap."
	}
	if l := a.Result.Setup.TestLeak; l.At10 > 0 {
		s += fmt.Sprintf(" A test leak of %s at 10 cmH2O, %s.", Flow(l.At10), whenWords(l.When))
	}
	return s
}

func whenWords(w airway.When) string {
	if w == airway.InInspiration || w == airway.InExpiration {
		return "open in " + string(w)
	}
	return "open throughout"
}

// CSV is the record of the breaths, one line for each instant.
func (a BreathAnswer) CSV() string {
	var b strings.Builder
	b.WriteString("time_s,set_cmH2O,mask_cmH2O,pharynx_cmH2O,hose_L_per_min,vent_L_per_min,seal_leak_L_per_min,mouth_leak_L_per_min,lung_L_per_min,lung_mL\n")
	for _, s := range a.Result.Samples {
		t := traceItem(s)
		fmt.Fprintf(&b, "%g,%g,%g,%g,%g,%g,%g,%g,%g,%g\n", t.Time, t.Set, t.Mask, t.Pharynx, t.Hose, t.Vent, t.Leak, t.Mouth, t.Lung, t.Volume)
	}
	return b.String()
}
