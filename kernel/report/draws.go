package report

import (
	"fmt"
	"math"
	"strings"

	"tautline/kernel/picture"
	"tautline/model/fit"
	"tautline/model/uncertainty"
	"tautline/model/unit"
)

// DrawsWords are what one kind of answer is told with when its numbers were
// drawn.
type DrawsWords struct {
	Verdict    func(int) string // a clause: "it lies in the window"
	ID         func(int) string // what programs read
	Quantities map[uncertainty.Quantity]QuantityWords
	Matter     string // what the inputs that matter most are named for
}

// QuantityWords are those of one figure. Figures of a score that nobody reads
// off have no unit.
type QuantityWords struct {
	Name string // "leak at the highest pressure"
	Unit string // "L/min"
	Per  float64
}

// FitDraws are the words of a fitting's draws.
var FitDraws = DrawsWords{
	Verdict: func(v int) string { return drawnVerdict[fit.Verdict(v)] },
	ID:      func(v int) string { return verdictIDs[fit.Verdict(v)] },
	Quantities: map[uncertainty.Quantity]QuantityWords{
		uncertainty.Leak:      {"leak at the highest pressure", "L/min", float64(unit.LPerMin)},
		uncertainty.Contact:   {"largest contact there", "mmHg", float64(unit.MmHg)},
		uncertainty.LiftOff:   {"lift-off, at the mask", "cmH2O", float64(unit.CmH2O)},
		uncertainty.Loosest:   {"fit window from", "N", 1},
		uncertainty.Tightest:  {"fit window to", "N", 1},
		uncertainty.Closeness: {"closeness to limit and line", "", 1},
	},
	Matter: "Whether leak and contact stay under your limit and line hangs mostly on",
}

var drawnVerdict = map[fit.Verdict]string{fit.Holds: "the straps lie in the window", fit.Opens: "it leaks past your limit, and more pull would hold it",
	fit.TooTight: "it holds, but passes your line", fit.EmptyByShape: "no strap force keeps the leak under your limit",
	fit.EmptyByLine: "sealing it passes your line"}

// DrawsHeading stands over what draws tell.
const DrawsHeading = "How far this can be relied on"

// DrawsText is what the draws tell, after the answer itself.
func DrawsText(r uncertainty.Result, w DrawsWords, ink Ink) string {
	var b strings.Builder
	b.WriteString(ink.Bold(DrawsHeading) + "\n")
	for _, s := range DrawsSentences(r, w) {
		b.WriteString(Wrap(s, "") + "\n")
	}
	if rows := DrawsRows(r, w); len(rows) > headRows {
		b.WriteString(Columns("  ", rows))
	}
	return b.String()
}

// WithDraws puts what draws tell into an answer's text, before what to look at
// afterwards, which comes last, or else before its last paragraph.
func WithDraws(whole, draws string) string {
	whole, draws = strings.TrimRight(whole, "\n"), strings.TrimSpace(draws)
	at := strings.LastIndex(whole, "\nAfterwards:")
	if at < 0 {
		at = max(0, strings.LastIndex(whole, "\n\n"))
	}
	return strings.TrimRight(whole[:at], "\n") + "\n\n" + draws + "\n\n" + strings.TrimLeft(whole[at:], "\n") + "\n"
}

// DrawsSentences say how many draws agree, what the answer hangs on, and what
// was drawn.
func DrawsSentences(r uncertainty.Result, w DrawsWords) []string {
	out := []string{AgreeSentence(r, w)}
	if s := otherwise(r, w); s != "" {
		out = append(out, s)
	}
	if s := MatterSentence(r, w); s != "" {
		out = append(out, s)
	}
	return append(out, drawnSentence(r))
}

// AgreeSentence says in how many draws the answer is the same: "In 72 of 100
// draws it is the same: the straps lie in the window."
func AgreeSentence(r uncertainty.Result, w DrawsWords) string {
	s := fmt.Sprintf("In %d of %s it is the same: %s.", r.Agree, drawsWords(r.Draws), w.Verdict(r.Stated.Verdict))
	if 2*r.Agree < r.Draws {
		s += " That is fewer than half: take it as one possibility among several."
	}
	return s
}

// tellingDraws is from how many draws on their own tell what matters: a rank
// correlation of 0.33 then stands out among fifty inputs.
const tellingDraws = 100

func drawsWords(n int) string {
	if n == 1 {
		return "1 draw"
	}
	return fmt.Sprintf("%d draws", n)
}

// otherwise says what the other draws come to.
func otherwise(r uncertainty.Result, w DrawsWords) string {
	var parts []string
	for _, v := range r.Verdicts {
		if v.Verdict != r.Stated.Verdict {
			parts = append(parts, fmt.Sprintf("in %d %s", v.Draws, w.Verdict(v.Verdict)))
		}
	}
	if r.Tipped > 0 {
		parts = append(parts, fmt.Sprintf("in %d the mask tips off the face", r.Tipped))
	}
	if r.Failed > 0 {
		parts = append(parts, fmt.Sprintf("%d have no answer (%v)", r.Failed, r.Why))
	}
	if len(parts) == 0 {
		return ""
	}
	return "Of the others: " + strings.Join(parts, "; ") + "."
}

// MatterSentence names the inputs that matter most, in words; empty where none
// stands out.
func MatterSentence(r uncertainty.Result, w DrawsWords) string {
	var names []string
	scale := false
	for _, e := range r.Leading {
		name := r.Inputs[e.Input].Parameter.Name
		names = append(names, InputWords(name))
		scale = scale || name == fit.StrapRange.Name
	}
	if len(names) == 0 {
		if len(r.Effects) > 0 && r.Effects[0].Ranked && r.Draws < tellingDraws {
			return "These are too few draws to tell what it hangs on."
		}
		return ""
	}
	s := w.Matter + " " + names[0]
	for _, n := range names[1:] {
		s += ", then " + n
	}
	s += "."
	if scale {
		s += " A small hanging scale would tell the strap force."
	}
	return s
}

func drawnSentence(r uncertainty.Result) string {
	return fmt.Sprintf("%s numbers were drawn, each from where it may well lie (seed %d); what was stated was taken as it stands.",
		capital(count(len(r.Inputs))), r.Seed)
}

func count(n int) string {
	if n == 0 {
		return "no"
	}
	return fmt.Sprint(n)
}

// DrawsRows is the table of bands, heading first.
func DrawsRows(r uncertainty.Result, w DrawsWords) [][]string {
	rows := [][]string{{"", "unit", "as asked", "8 of 10 draws", "middle", "draws"}, {"", "", "", "", "", "without"}}
	for _, b := range r.Bands {
		q := w.Words(b.Quantity)
		if math.IsNaN(b.Middle) {
			continue
		}
		missing := ""
		if b.Missing > 0 {
			missing = fmt.Sprint(b.Missing)
		}
		rows = append(rows, []string{q.Name, q.Unit, q.say(b.Stated), q.say(b.Low) + " to " + q.say(b.High), q.say(b.Middle), missing})
	}
	return rows
}

// Words of a figure; one without any shows its key and its SI value.
func (w DrawsWords) Words(k uncertainty.Quantity) QuantityWords {
	if q, ok := w.Quantities[k]; ok {
		return q
	}
	return QuantityWords{Name: strings.ReplaceAll(string(k), "_", " "), Per: 1}
}

func (q QuantityWords) say(si float64) string {
	if math.IsNaN(si) {
		return "none"
	}
	return bedside(si / q.Per)
}

// DrawsSheet puts a result into the words that its picture needs.
func DrawsSheet(r uncertainty.Result, w DrawsWords) picture.DrawsSheet {
	s := picture.DrawsSheet{Sentence: AgreeSentence(r, w)}
	for _, b := range r.Bands {
		q := w.Words(b.Quantity)
		s.Bands = append(s.Bands, picture.DrawnBand{Name: q.Name, Unit: q.Unit,
			Stated: b.Stated / q.Per, Low: b.Low / q.Per, Middle: b.Middle / q.Per, High: b.High / q.Per})
	}
	for _, e := range r.Decisive() {
		if e.Input != uncertainty.Rest {
			s.Bars = append(s.Bars, picture.DrawnBar{Name: InputWords(r.Inputs[e.Input].Parameter.Name),
				First: e.First.Value, Total: e.Total.Value, Low: e.Total.Low, High: e.Total.High})
		}
	}
	return s
}
