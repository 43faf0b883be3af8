package picture

import (
	"fmt"
	"strings"

	"tautline/model/fit"
)

// sentence says whether there is a window, and what stands against one.
func (t *tradeOff) sentence(w fit.Window) string {
	limit, line := perMinute(t.limit), mmHg(t.line.Pressure)
	switch {
	case w.Exists:
		return "Fit window " + t.rangeOf(w) + ": leak under " + limit + " at every pressure of the range, no site past " + line + "."
	case !w.Seals && !w.UnderLine:
		return "No window: no strap force keeps the leak under " + limit + ", and none keeps every site under " + line + "."
	case !w.Seals:
		return fmt.Sprintf("No window: no strap force keeps the leak under %s; it leaks most at the %s.", limit, siteName(w.LeakSite))
	case !w.UnderLine:
		return fmt.Sprintf("No window: every strap force puts a site past %s, most the %s.", line, siteName(w.TopSite))
	}
	return fmt.Sprintf("No window: the leak stays under %s only from %s up, and every site under %s only up to %s; the %s goes past first.",
		limit, newton(w.SealsFrom), line, newton(w.LineUntil), siteName(w.TopSite))
}

// brief is what fits over one of several cells; a window that exists is named
// where it is outlined.
func brief(w fit.Window) string {
	switch {
	case w.Exists:
		return ""
	case !w.Seals && !w.UnderLine:
		return "No window: past the limit and past the line at every strap force."
	case !w.Seals:
		return "No window: past the leak limit at every strap force."
	case !w.UnderLine:
		return "No window: past the line at every strap force."
	}
	return "No window: under the limit from " + newton(w.SealsFrom) + ", under the line up to " + newton(w.LineUntil) + "."
}

// alt tells ends and windows in words.
func (t *tradeOff) alt(parts []facet) string {
	text := []string{"Two panels over strap force: leak above, largest skin contact by site below. " + t.terms() + "."}
	for _, f := range parts {
		lead := ""
		if f.name != "" {
			lead = sentenceCase(f.name) + ". "
		}
		text = append(text, lead+fromTo(f.rows, fit.ByStraps))
		if w, ok := t.window(f); ok {
			text = append(text, t.sentence(w))
		}
	}
	return strings.Join(text, " ")
}

// fromTo says what leak and contact do from the first to the last row along a
// variable.
func fromTo(rows []fit.Row, by fit.Variable) string {
	if len(rows) == 0 {
		return "There are no points."
	}
	v := find(by)
	first, last := rows[0], rows[0]
	for _, r := range rows {
		if v.value != nil && v.value(r.Settings) < v.value(first.Settings) {
			first = r
		}
		if v.value == nil || v.value(r.Settings) >= v.value(last.Settings) {
			last = r
		}
	}
	if v.label(first.Settings) == v.label(last.Settings) {
		return sentenceCase(stateOf(first, v)) + "."
	}
	return sentenceCase(stateOf(first, v)) + "; " + stateOf(last, v) + "."
}

// stateOf tells one row: "straps 3 N: leak 4 L/min, largest contact ...".
func stateOf(r fit.Row, v varied) string {
	s := fmt.Sprintf("%s: leak %s", v.label(r.Settings), perMinute(r.Leak))
	if top, site := topContact(r.Point); site >= 0 {
		s += fmt.Sprintf(", largest contact %s at the %s", mmHg(top), siteName(site))
	}
	return s
}

func sentenceCase(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}
