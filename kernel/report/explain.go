package report

import (
	"fmt"
	"strconv"
	"strings"

	"tautline/model/explain"
)

// ExplainText is the whole answer as text of at most 80 columns: the vent first
// where it must be, then the causes, the one test, and what to try.
func ExplainText(a explain.Answer, notes []string, ink Ink) string {
	var b strings.Builder
	para := func(all ...string) {
		for _, s := range all {
			if s != "" {
				b.WriteString(Wrap(s, "") + "\n")
			}
		}
	}
	head := func(s string) { b.WriteString("\n" + ink.Bold(s) + "\n") }
	para(ink.Faint(ShortCaution))
	b.WriteString("\n")
	if vent := VentFirst(a); vent != "" {
		para(ink.Warn(vent))
		b.WriteString("\n")
	}
	para(ExplainCase(a))
	para(notes...)
	para(ExplainFlags(a)...)
	para(ExplainStated(a)...)
	b.WriteString("\n")
	para(ink.Bold(ExplainSentence(a)))
	para(TieSentences(a)...)
	if next := NextSentence(a); next != "" {
		head("Ten seconds at the bedside that tell most")
		para(next)
	}
	head("What the readings would look like under each")
	for _, s := range LookLines(a) {
		b.WriteString(Wrap("- "+s, "  ") + "\n")
	}
	head("What to try, in this order, one at a time")
	for i, s := range ActionLines(a) {
		b.WriteString(Wrap(number(i+1)+s, "   ") + "\n")
	}
	head("All causes (off by: how far the readings lie from the nearest such leak)")
	b.WriteString(Columns("  ", CauseRows(a)))
	head("The readings, taken apart")
	b.WriteString(Columns("  ", ReadingRows(a)))
	b.WriteString("\n")
	para(ExplainAfterwards(a))
	b.WriteString("\n")
	para(ink.Faint(ExplainLimits + " " + Disclaimer))
	return b.String()
}

// number begins a point of a numbered list.
func number(i int) string { return strconv.Itoa(i) + ". " }

// NoExplanation says that the model could not answer, and what may help.
func NoExplanation(name string, err error) error {
	return fmt.Errorf("%s cannot be explained: %w; look at the readings and the mask there", name, err)
}
