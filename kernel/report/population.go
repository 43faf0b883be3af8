package report

import (
	"fmt"
	"math"
	"strings"

	"tautline/model/mask"
	"tautline/model/population"
)

// PopulationText is the whole answer of a population as text of at most 80
// columns.
func PopulationText(a population.Answer, ink Ink) string {
	var b strings.Builder
	para := func(s string) { b.WriteString(Wrap(s, "") + "\n") }
	table := func(heading string, rows [][]string) {
		b.WriteString("\n" + ink.Bold(heading) + "\n" + Columns("  ", rows))
	}
	para(ink.Faint(ShortCaution))
	b.WriteString("\n")
	para(PopulationSentence(a))
	b.WriteString("\n")
	para(ink.Bold(ServedSentence(a)))
	b.WriteString("\n")
	for _, s := range PopulationWhy(a) {
		para(s)
	}
	para(PopulationAfterwards(a))
	table("By type and size, in % of faces", PopulationRows(a))
	table("Size tables, on the half of the faces that none was searched on", TableRows(a))
	b.WriteString("\n")
	para(ReadingWords + " " + FoundWords)
	b.WriteString("\n")
	para(ink.Faint(PopulationLimits + " " + Disclaimer))
	return b.String()
}

// ReadingWords say what the cuts of a table mean.
const ReadingWords = "Cuts are the readings from which on medium / large is taken: face length (1) and face width (2) " +
	"for an oronasal mask, the larger of what both ask for; nose breadth (1) for masks on the nose alone."

// FoundWords say how a table was found.
const FoundWords = "" +
	"The searched table is the one that serves most of the other half, out of all tables with cuts at whole millimetres. " +
	"It is a question, not an order: a small rim gives the pressure less area to push off, so the model likes small " +
	"sizes, and it does not see whether nose and mouth have room inside."

// PopulationLimits say what the faces are, and are not.
const PopulationLimits = "The faces are drawn from statistics of soldiers, not of sleep patients, who are older, " +
	"heavier and sometimes toothless. How deep a face lies along the rim, and what a wrong size does there, is assumed. " +
	"No beards, folds or scars; masks are invented."

// PopulationSentence says what was asked.
func PopulationSentence(a population.Answer) string {
	q := a.Question
	return fmt.Sprintf("%d faces drawn from statistics of soldiers, not of sleep patients: %d women, %d men (seed %d). %s, %s to %s; leak under %s, contact under %s.",
		a.Some.Faces, a.Sexes[population.Women], a.Sexes[population.Men], q.Seed, capital(q.Case.Position.Name),
		bedside(q.Range[0].CmH2O()), Airway(q.Range[1]), Flow(q.Limit), lineWords(q.Question))
}

// OfHundred says a share as faces of a hundred; what is nearly none or all, but
// not quite, keeps a decimal.
func OfHundred(s population.Share) string {
	if s.Faces == 0 {
		return "none drawn"
	}
	return perHundred(s.Fits, s.Faces) + " of 100"
}

func perHundred(part, whole int) string {
	if whole == 0 {
		return ""
	}
	x := 100 * float64(part) / float64(whole)
	if part > 0 && x < 1.5 || part < whole && x > 98.5 {
		return fmt.Sprintf("%.1f", x)
	}
	return fmt.Sprintf("%.0f", x)
}

// ServedSentence is the one sentence of the answer.
func ServedSentence(a population.Answer) string {
	var parts []string
	for _, t := range a.Types {
		parts = append(parts, fmt.Sprintf("%s on %s", typeNoun(t.Type), OfHundred(t.Chosen)))
	}
	return "In the size chosen for the face, some strap force holds this range under limit and line with " +
		listed(parts) + " faces."
}

func typeNoun(t mask.Type) string {
	if t == mask.Pillows {
		return "nasal pillows"
	}
	return "the " + TypeWords(t) + " mask"
}

func listed(parts []string) string {
	if len(parts) < 2 {
		return strings.Join(parts, "")
	}
	return strings.Join(parts[:len(parts)-1], ", ") + " and " + parts[len(parts)-1]
}

// PopulationWhy gives the sentences behind it: what remains, and why.
func PopulationWhy(a population.Answer) []string {
	var out []string
	for _, t := range a.Types {
		if s := remainsSentence(t); s != "" {
			out = append(out, s)
		}
	}
	out = append(out, noneSentence(a))
	for _, t := range a.Types {
		if s := tableSentence(t); s != "" {
			out = append(out, s)
		}
	}
	return append(out, fmt.Sprintf("So many faces count a share to within %s points or better (95 %% of draws); what is assumed weighs more.", bedside(100*widest(a))))
}

func widest(a population.Answer) float64 {
	most := 0.0
	for _, t := range a.Types {
		most = max(most, t.Chosen.Margin())
	}
	return most
}

// remainsSentence says what the faces without a window lack.
func remainsSentence(t population.TypeAnswer) string {
	left := t.Chosen.Faces - t.Chosen.Fits
	if left == 0 {
		return ""
	}
	s := fmt.Sprintf("%s leaves %s without a window: ", capital(typeNoun(t.Type)), facesWords(left))
	if t.Type == mask.Pillows {
		s = fmt.Sprintf("Nasal pillows leave %s without a window: ", facesWords(left))
	}
	const line, shape = "sealing goes past the line", "no strap force looked at seals (shape)"
	switch {
	case t.Chosen.ByShape == 0:
		s += line + "."
	case t.Chosen.ByLine == 0:
		s += shape + "."
	default:
		s += fmt.Sprintf("on %d %s, on %d %s.", t.Chosen.ByLine, line, t.Chosen.ByShape, shape)
	}
	if more := t.Whichever.Fits - t.Chosen.Fits; more > 0 {
		s += fmt.Sprintf(" Another size of it would do for %d of them.", more)
	}
	return s
}

func facesWords(n int) string {
	if n == 1 {
		return "1 face"
	}
	return fmt.Sprintf("%d faces", n)
}

func noneSentence(a population.Answer) string {
	left := a.Some.Faces - a.Some.Fits
	if len(a.Types) < 2 {
		return ""
	}
	if left == 0 {
		return "Every face has a window in at least one of these types."
	}
	return fmt.Sprintf("None of these types has a window on %s: %d of women, %d of men.", facesWords(left),
		a.None[population.Women], a.None[population.Men])
}

// tableSentence says whether another size table would serve more, and only
// where that is more than drawing other faces would do.
func tableSentence(t population.TypeAnswer) string {
	own, found := t.Tables[0], t.Tables[len(t.Tables)-1]
	gain := found.Share.Part() - own.Share.Part()
	if own.Share.Faces == 0 || math.IsNaN(gain) {
		return ""
	}
	noise := math.Hypot(own.Share.Margin(), found.Share.Margin()) / math.Sqrt2
	switch {
	case gain > noise:
		return fmt.Sprintf("For %s the searched size table would serve %s instead of %s faces: %s.", typeNoun(t.Type),
			perHundred(found.Share.Fits, found.Share.Faces), OfHundred(own.Share), cutsWords(t, found.Table))
	case own.Share.Fits < own.Share.Faces:
		return fmt.Sprintf("For %s no size table was found that would clearly serve more than its own.", typeNoun(t.Type))
	}
	return ""
}

var dimensionWords = [population.DimensionCount]string{"face length", "face width", "nose breadth",
	"nose protrusion", "root breadth", "lip length"}

// cutsWords says a table: "medium from 114 mm, large from 122 mm of face length".
func cutsWords(t population.TypeAnswer, table population.Table) string {
	cuts := [2]population.Cuts{table.First, table.Second}
	var parts []string
	for i, d := range t.By {
		var from []string
		if c := cuts[i]; c.Medium < c.Large && c.Medium > 0 && c.Medium < population.Never {
			from = append(from, fmt.Sprintf("medium from %d mm", c.Medium))
		}
		if c := cuts[i]; c.Large < population.Never {
			from = append(from, fmt.Sprintf("large from %d mm", c.Large))
		}
		if len(from) > 0 {
			parts = append(parts, strings.Join(from, ", ")+" of "+dimensionWords[d])
		}
	}
	if len(parts) == 0 {
		return "one size for all"
	}
	return strings.Join(parts, "; ")
}

// PopulationAfterwards ends the answer with what to look at.
func PopulationAfterwards(a population.Answer) string {
	return fmt.Sprintf("Afterwards: a table only says which size to try first. On each person listen at %s in the posture of sleep, and look at the skin when the mask comes off and again after 30 minutes.",
		Airway(a.Question.Range[1]))
}
