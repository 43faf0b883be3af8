package report

import (
	"fmt"

	"tautline/model/airway"
	"tautline/model/mask"
	"tautline/model/unit"
)

// BreathSentence says what the breaths come to, in one or two sentences. A
// position such as "on the back" begins it.
func BreathSentence(r airway.Result, position string) string {
	where := capital(position)
	if where == "" {
		where = "As put on"
	}
	s := fmt.Sprintf("%s at %s ", where, levelWords(r.Setup.Source))
	inside := r.Mask == mask.Oronasal
	switch {
	case r.MouthTime > 0:
		s += fmt.Sprintf("air leaves this mouth %s of the time, %s on average, and %s passes the cushion",
			wholeShare(r.MouthTime), Some(r.Mouth), Some(r.Leak))
	case inside:
		s += fmt.Sprintf("%s passes the cushion", Some(r.Leak))
	default:
		s += fmt.Sprintf("this mouth stays shut, and %s passes the cushion", Some(r.Leak))
	}
	s += fmt.Sprintf(", besides %s through the mask vent, which belongs there.", Flow(r.Vent))
	if inside {
		s += " What leaves the mouth stays in the mask."
	}
	return s
}

func levelWords(s airway.Source) string {
	if !s.TwoLevel() {
		return Airway(s.Inspiration)
	}
	return fmt.Sprintf("%s breathing in and %s breathing out", Airway(s.Inspiration), Airway(s.Expiration))
}

// wholeShare says a share in whole per cent.
func wholeShare(f unit.Fraction) string {
	if p := f.Percent(); p > 0 && p < 1 {
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", f.Percent())
}

// BreathWhy gives the sentences behind it: lips and jaw, nose, pressure, breath,
// washout.
func BreathWhy(r airway.Result) []string {
	out := []string{mouthSentence(r), swingSentence(r)}
	if r.NoseLater > 1.02*r.NoseNow {
		out = append(out, fmt.Sprintf("Ten minutes of this mouth leak would take the nose's resistance from %s to %s at 0.5 L/s: the nose swells, and less air goes that way.",
			r.NoseNow, r.NoseLater))
	}
	out = append(out, washoutSentence(r))
	for _, w := range r.Warnings {
		out = append(out, BreathWarning(w))
	}
	return out
}

func mouthSentence(r airway.Result) string {
	m := r.Setup.Mouth
	strap := ""
	if m.ChinStrap > 0 {
		strap = fmt.Sprintf(", %s of it by the chin strap", Airway(m.ChinStrap))
	}
	switch {
	case m.Inside && m.Open && m.ChinStrap > 0:
		return fmt.Sprintf("The dropped jaw takes the chin %s further from the rim, less than without the chin strap.", Depth(r.JawBack))
	case m.Inside && m.Open:
		return fmt.Sprintf("The dropped jaw takes the chin %s further from the rim: the chin seal is what opens.", Depth(r.JawBack))
	case m.Inside:
		return "The jaw is up in this case; a jaw that drops would open the chin seal of an oronasal mask."
	case !m.Palate:
		return "The palate is shut, so nothing reaches the lips."
	case m.Open:
		return fmt.Sprintf("The jaw has dropped: the lips part from %s behind them%s.", Airway(m.Closing()), strap)
	}
	return fmt.Sprintf("These lips part where the pressure behind them passes %s%s.", Airway(m.Closing()), strap)
}

func swingSentence(r airway.Result) string {
	s := fmt.Sprintf("The mask pressure swings by %s within a breath (%s to %s cmH2O). The lung gets %.0f mL a breath, %s a minute.",
		Airway(r.Swing), tenths(r.MaskLow), tenths(r.MaskHigh), r.Tidal.ML(), bedside(r.Minute.LPerMin())+" L")
	return s
}

// tenths keeps the digit that tells the ends of a small swing apart.
func tenths(p unit.Pressure) string { return fmt.Sprintf("%.1f", p.CmH2O()) }

func washoutSentence(r airway.Result) string {
	if r.Left < 0.005 {
		return "Of what is breathed into the mask hardly any is left there when the next breath begins."
	}
	return fmt.Sprintf("When the next breath begins, about %s of what was breathed into the mask is still in mask and hose (%.0f mL).",
		wholeShare(r.Left), r.Rebreathed.ML())
}

// BreathWarning says a warning.
func BreathWarning(w airway.Warning) string {
	switch w {
	case airway.BelowWashout:
		return "Mask vent and leak pass less than washing out the breath takes: look at the vent now."
	case airway.SourceLimit:
		return "The machine cannot hold the set pressure at the largest flow."
	case airway.VentExtrapolated:
		return "The vent's flow lies outside the pressures that its curve was measured at."
	case airway.SealExtrapolated:
		return "The mask pressure went beyond what the seal was looked at for."
	case airway.MachineBreathes:
		return "The two levels alone move more air than this breathing was given: the effort is zero here, and a person would breathe otherwise."
	}
	return ""
}

// EstimateSentence says what the estimators are about.
func EstimateSentence(r airway.Result) string {
	s := fmt.Sprintf("A machine measures the flow in the hose and has to work the leak out. Seal and mouth together let out %s on average; no figure of a machine tells the two apart.", Some(r.Unintentional))
	worst := r.Estimates[0]
	for _, e := range r.Estimates {
		if e.Off*e.Off > worst.Off*worst.Off {
			worst = e
		}
	}
	if q := unit.Flow(max(float64(worst.Off), -float64(worst.Off))); q >= unit.LPerMin {
		way := "above"
		if worst.Off < 0 {
			way = "below"
		}
		s += fmt.Sprintf(" Furthest off here: %s, %s %s it.", worst.By, Flow(q), way)
	}
	return s
}

// EstimateRows is the table of estimators, heading first.
func EstimateRows(r airway.Result) [][]string {
	rows := [][]string{{"estimator", "would read", "less the true mean"}, {"", "L/min", "L/min"}}
	for _, e := range r.Estimates {
		rows = append(rows, []string{string(e.By), fmt.Sprintf("%.1f", plain(e.Leak)), fmt.Sprintf("%+.1f", plain(e.Off))})
	}
	return rows
}

// plain keeps "-0.0" out.
func plain(q unit.Flow) float64 {
	if v := q.LPerMin(); v > 0.05 || v < -0.05 {
		return v
	}
	return 0
}

// BreathRows is the table of means.
func BreathRows(r airway.Result) [][]string {
	return [][]string{
		{"through the hose", Flow(r.Total)},
		{"mask vent", Flow(r.Vent)},
		{"past the cushion", Flow(r.Leak)},
		{"out of the mouth", Flow(r.Mouth)},
		{"time in which air leaves the mouth", wholeShare(r.MouthTime)},
		{"mean mask pressure", Airway(r.MaskMean)},
		{"swing of the mask pressure", Airway(r.Swing)},
		{"left in mask and hose", fmt.Sprintf("%.0f mL", r.Rebreathed.ML())},
		{"largest pull of the breathing muscles", Airway(r.Effort)},
	}
}

// BreathNext gives what to try, free of skin cost first (common practice, no
// source).
func BreathNext(r airway.Result) []string {
	out := []string{"Mask vent, oxygen, assembly: look, then listen along hose and elbow."}
	switch {
	case r.MouthTime > 0:
		return append(out,
			fmt.Sprintf("Ask for lips closed for three breaths: a fall by about %s would look like mouth leak.", Flow(r.Mouth)),
			"A blocked nose first: it makes people open the mouth, and a chin strap has no place there or with vomiting.",
			"A chin strap does not seal lips. In the published trial it cut mouth-leak time to about 0.55.")
	case r.JawBack > 0:
		return append(out,
			"Re-seat with the jaw as in sleep, lying down, at the highest pressure that will be met.",
			"Straps in pairs, small steps: tight lower straps push the jaw back.")
	}
	return append(out, "The ten-second tests: lips closed for three breaths, light finger pressure where air is felt, hose held up.")
}

// BreathAfterwards ends the answer with what to look at.
func BreathAfterwards(r airway.Result) string {
	if r.Mask == mask.Oronasal {
		return "Afterwards: look at the chin and under it, in the posture of sleep, and at the skin when the mask comes off and again after 30 minutes."
	}
	return "Afterwards: look at the leak over a whole night, and ask about a dry mouth; dry mouth alone does not show mouth leak (medicines, humidity)."
}
