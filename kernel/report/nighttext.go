package report

import (
	"fmt"
	"strings"

	"tautline/model/night"
)

// NightText is the whole answer of simulated nights as text of at most 80
// columns, the sentence that matters first.
func NightText(a night.Answer, ink Ink) string {
	l := letter{ink: ink}
	l.para(ink.Faint(ShortCaution))
	l.gap(NightSentence(a.Question))
	l.gap(ink.Bold(NightVerdict(a)))
	l.gap(NightWhy(a)...)
	l.table("Leak over all the time of all nights", PercentRows(a))
	l.table("By position and by stage of sleep", PartRows(a))
	l.table("Skin contact by site, against "+lineWords(slept(a.Question)), LoadRows(a))
	if rows := OpeningRows(a); len(rows) > 0 {
		l.table("Turns that opened the seal", rows)
	}
	l.gap(NightAfterwards(a))
	l.gap(ink.Faint(NightLimits + " " + Disclaimer))
	return l.String()
}

// A letter is text in paragraphs and tables.
type letter struct {
	strings.Builder
	ink Ink
}

func (l *letter) para(s string) { l.WriteString(Wrap(s, "") + "\n") }

// gap writes paragraphs after an empty line.
func (l *letter) gap(all ...string) {
	l.WriteString("\n")
	for _, s := range all {
		l.para(s)
	}
}

func (l *letter) table(heading string, rows [][]string) {
	l.WriteString("\n")
	l.para(l.ink.Bold(heading))
	l.WriteString(Columns("  ", rows))
}

// PercentRows is the table of leak percentiles, heading first.
func PercentRows(a night.Answer) [][]string {
	rows := [][]string{{"share of the time under"}, {"leak, L/min"}}
	for i, p := range night.Percents() {
		rows[0] = append(rows[0], fmt.Sprintf("%.0f %%", p))
		rows[1] = append(rows[1], bedside(a.Leak[i].LPerMin()))
	}
	return rows
}

// PartRows is the table by position and by stage, heading first.
func PartRows(a night.Answer) [][]string {
	rows := [][]string{{"", "time", "median leak", "95th percentile", "above limit"}, {"", "%", "L/min", "L/min", "% of it"}}
	for _, parts := range [][]night.Part{a.Positions, a.Stages} {
		for _, p := range parts {
			rows = append(rows, []string{p.Name, fmt.Sprintf("%.0f", p.Share.Percent()), bedside(p.Leak.LPerMin()),
				bedside(p.P95.LPerMin()), fmt.Sprintf("%.0f", p.Above.Percent())})
		}
	}
	return rows
}

// LoadRows is the table of what the skin met, heading first.
func LoadRows(a night.Answer) [][]string {
	rows := [][]string{{"site", "mean", "largest", "of line", "above line"}, {"", "mmHg", "mmHg", "times", "% of time"}}
	for _, s := range a.Sites {
		rows = append(rows, []string{s.Site.String(), fmt.Sprintf("%.0f", s.Mean.MmHg()), fmt.Sprintf("%.0f", s.Largest.MmHg()),
			bedside(s.Load), fmt.Sprintf("%.0f", s.Over.Percent())})
	}
	return rows
}

// OpeningRows is the table of turns that opened the seal, heading first; empty
// for none.
func OpeningRows(a night.Answer) [][]string {
	if len(a.Openings) == 0 {
		return nil
	}
	rows := [][]string{{"at", "turning to lie", "a night"}}
	for i, o := range a.Openings {
		if i == mostOpenings {
			break
		}
		rows = append(rows, []string{o.Site.String(), o.To, fmt.Sprintf("%.2f", o.Each)})
	}
	return rows
}

// mostOpenings is how many ways to open a seal are shown.
const mostOpenings = 6
