package report

import (
	"fmt"
	"strings"

	"tautline/model/fit"
	"tautline/model/uncertainty"
	"tautline/model/unit"
)

// SweepText is the whole answer of a sweep as text of at most 80 columns, the
// sentence that matters first.
func SweepText(a fit.Answer, ink Ink) string { return sweepText(a, "", Limits, ink) }

// SweepDrawnText is the same with what the draws tell.
func SweepDrawnText(a fit.Answer, r uncertainty.Result, ink Ink) string {
	return sweepText(a, DrawsText(r, FitDraws, ink), DrawnLimits, ink)
}

func sweepText(a fit.Answer, draws, limits string, ink Ink) string {
	var b strings.Builder
	para := func(s string) {
		if s != "" {
			b.WriteString(Wrap(s, "") + "\n")
		}
	}
	para(ink.Faint(ShortCaution))
	b.WriteString("\n")
	para(CaseSentence(a.Question))
	b.WriteString("\n")
	para(ink.Bold(VerdictSentence(a)))
	b.WriteString("\n")
	for _, s := range Why(a) {
		para(s)
	}
	if draws != "" {
		b.WriteString("\n" + draws)
	}
	b.WriteString("\n" + ink.Bold(OptionsHeading(a)) + "\n")
	for i, s := range Options(a) {
		b.WriteString(Wrap(fmt.Sprintf("%d. %s", i+1, s), "   ") + "\n")
	}
	para(Afterwards(a))
	b.WriteString("\n" + ink.Bold(fmt.Sprintf("By site at %s, %s of strap pull", Airway(a.Now.Set), Pull(a.Now.StrapSet))) + "\n")
	b.WriteString(Columns("  ", SiteRows(a.Now)))
	if rows := SweepRows(a); len(rows) > 0 {
		b.WriteString("\n" + ink.Bold("Sweep") + "\n" + Columns("  ", rows))
		if len(rows)-headRows < len(a.Rows) {
			para(fmt.Sprintf("  (%d of %d points; --csv or --json gives all)", len(rows)-headRows, len(a.Rows)))
		}
	}
	para(TippedSentence(a))
	if len(a.Windows) > 1 {
		b.WriteString("\n" + ink.Bold("Fit windows") + "\n" + Columns("  ", WindowRows(a)))
	}
	b.WriteString("\n")
	para(ink.Faint(limits + " " + Disclaimer))
	return b.String()
}

// Limits says what the numbers of a fit leave out.
const Limits = "One calculation with invented masks and faces; the spread of what was not measured is not in these numbers."

// DrawnLimits says what even the draws leave out.
const DrawnLimits = "Calculated with invented masks and faces; the draws hold what a number may be, not what the model leaves out."

// CaseSentence says what was asked.
func CaseSentence(q fit.Question) string {
	return wearing(q.Case, ", "+q.Case.Position.Name) + fmt.Sprintf(". Looked at: %s set, range %s to %s.",
		Airway(q.Pressure), bedside(q.Range[0].CmH2O()), Airway(q.Range[1]))
}

// wearing says what is worn on what, how, and with which straps; posture stands
// behind the face, with its comma.
func wearing(c fit.Case, posture string) string {
	s := fmt.Sprintf("%s mask, %s, on a face with %s%s. Straps %s in all (%.0f g on a scale)",
		capital(TypeWords(c.Mask.Type)), c.Mask.Size, faceWords(c.Face.Name), posture, Pull(c.Total()), c.Total().Grams())
	if len(c.Mask.Straps) > 2 {
		s += fmt.Sprintf(", %.0f %% of it in the upper pair", c.Straps.Upper.Percent())
	}
	if d := c.Cushion.Days; d > 0 {
		s += fmt.Sprintf("; cushion %s in use", d)
	}
	return s
}

// faceWords makes "narrow bridge" read in a sentence.
func faceWords(name string) string {
	switch name {
	case "average":
		return "average features"
	case "deep folds", "hollow cheeks":
		return name
	case "":
		return "stated features"
	}
	return "a " + name
}

// Why gives the sentences behind the verdict: when and where it opens, what of
// the mismatch is shape, the window, and what a guess leaves open.
func Why(a fit.Answer) []string {
	out := []string{OpeningSentence(a.Now), SplitSentence(a.Split, a.Now),
		WindowSentence(a.Question, a.Window), LoadSentence(a)}
	if s := DoubtSentence(a); s != "" {
		out = append(out, s)
	}
	for _, w := range a.Top.Warnings {
		out = append(out, WarningSentence(w))
	}
	return out
}

// TippedSentence says which points of a sweep have no numbers; empty for none.
func TippedSentence(a fit.Answer) string {
	if len(a.Tipped) == 0 {
		return ""
	}
	var at []string
	for _, set := range a.Tipped {
		var cells []string
		for _, x := range a.Question.Axes {
			_, symbol := AxisWords(x.Variable)
			cells = append(cells, strings.TrimSpace(settingWords(set, x.Variable)+" "+symbol))
		}
		at = append(at, strings.Join(cells, ", "))
	}
	return "Left out, because there the mask tips off the face: " + strings.Join(at, "; ") + "."
}

// headRows is how many rows of a table are its heading.
const headRows = 2

// mostRows is how many points of a sweep text shows.
const mostRows = 13

// SweepRows is the table of a sweep, heading first, thinned out to what can be
// read at a glance.
func SweepRows(a fit.Answer) [][]string {
	if len(a.Rows) == 0 {
		return nil
	}
	head, units := []string{}, []string{}
	for _, x := range a.Question.Axes {
		name, symbol := AxisWords(x.Variable)
		head, units = append(head, name), append(units, symbol)
	}
	rows := [][]string{append(head, "at mask", "vent", "leak", "contact", "lift-off", "opens first"),
		append(units, "cmH2O", "L/min", "L/min", "mmHg", "cmH2O", "")}
	for _, i := range thin(len(a.Rows)) {
		r := a.Rows[i]
		var cells []string
		for _, x := range a.Question.Axes {
			cells = append(cells, settingWords(r.Settings, x.Variable))
		}
		_, contact := Worst(r.Point)
		rows = append(rows, append(cells, bedside(r.Mask.CmH2O()), bedside(r.Vent.LPerMin()), bedside(r.Leak.LPerMin()),
			fmt.Sprintf("%.0f", contact.MmHg()), liftOff(r.Point), short(r.OpensFirst.ID())))
	}
	return rows
}

// thin picks evenly among n points, the ends included.
func thin(n int) []int {
	var out []int
	if n <= mostRows {
		for i := range n {
			out = append(out, i)
		}
		return out
	}
	step := (n - 2 + mostRows - 1) / (mostRows - 1)
	for i := 0; i < n-1; i += step {
		out = append(out, i)
	}
	return append(out, n-1)
}

func liftOff(p fit.Point) string {
	if !p.HasLiftOff {
		return "over 60"
	}
	return bedside(p.LiftOff.CmH2O())
}

// short fits a site into a column.
func short(id string) string {
	return strings.NewReplacer("_left", " L", "_right", " R", "_", " ").Replace(id)
}

// AxisWords names what is swept, and its unit.
func AxisWords(v fit.Variable) (name, symbol string) {
	switch v {
	case fit.ByStraps:
		return "straps", "N"
	case fit.ByBalance:
		return "upper pair", "%"
	case fit.BySize:
		return "size", ""
	case fit.ByCushion:
		return "cushion", "days"
	case fit.ByPosition:
		return "position", ""
	}
	return "set", "cmH2O"
}

func settingWords(s fit.Settings, v fit.Variable) string {
	switch v {
	case fit.ByStraps:
		return unit.Round(s.Straps.N())
	case fit.ByBalance:
		return unit.Round(s.Balance.Percent())
	case fit.BySize:
		return s.Size
	case fit.ByCushion:
		return unit.Round(s.Cushion.Days())
	case fit.ByPosition:
		return s.Position
	}
	return unit.Round(s.Pressure.CmH2O())
}

// WindowRows is the table of fit windows, heading first.
func WindowRows(a fit.Answer) [][]string {
	var vary []fit.Variable
	for _, x := range a.Question.Axes {
		if x.Variable != fit.ByStraps && x.Variable != fit.ByPressure {
			vary = append(vary, x.Variable)
		}
	}
	head, units := []string{}, []string{}
	for _, v := range vary {
		name, symbol := AxisWords(v)
		head, units = append(head, name), append(units, symbol)
	}
	rows := [][]string{append(head, "from", "to", "why none"), append(units, "N", "N", "")}
	for _, w := range a.Windows {
		var cells []string
		for _, v := range vary {
			cells = append(cells, settingWords(w.Holds, v))
		}
		low, high, why := "none", "none", ""
		switch {
		case w.Exists:
			low, high = bedside(w.Low.N()), bedside(w.High.N())
		case w.Seals:
			why = "past the line when sealed"
		default:
			why = "does not seal: shape"
		}
		rows = append(rows, append(cells, low, high, why))
	}
	return rows
}
