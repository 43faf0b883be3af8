package picture

import (
	"math"
	"slices"
	"strings"

	"tautline/model/fit"
	"tautline/model/unit"
)

// A Line is a reference line for skin that the user chose, with its name.
type Line struct {
	Name     string
	Pressure unit.Pressure
}

const (
	leakTitle    = "leak, L/min"
	contactTitle = "skin contact, mmHg"
)

// TradeOff puts leak and skin contact against strap force on one sheet, with
// the limit and the line that were chosen. The fit window is outlined; where
// there is none the picture says so in words. Rows at several pressures make
// one leak line each; whatever else varies makes small multiples.
func TradeOff(rows []fit.Row, windows []fit.Window, limit unit.Flow, line Line, o ...Option) *Picture {
	rows = finiteRows(rows, fit.ByStraps)
	t := tradeOff{rows: rows, windows: windows, limit: limit, line: line, options: gather(o)}
	return t.chart().picture()
}

type tradeOff struct {
	rows    []fit.Row
	windows []fit.Window
	limit   unit.Flow
	line    Line
	options
}

func (t *tradeOff) chart() *chart {
	parts := facets(t.rows, fit.ByStraps, fit.ByPressure)
	straps := find(fit.ByStraps)
	x, at := straps.axis(append(slices.Clip(t.rows), t.start.rows...), len(parts))
	c := &chart{title: "Leak and skin contact against strap force", x: x}
	if t.name != "" {
		c.title = t.name + ": leak and skin contact against strap force"
	}
	for _, f := range parts {
		c.cells = append(c.cells, t.cell(f, at))
	}
	c.facts = append(c.facts, fact{text: t.terms()})
	if len(c.cells) == 1 {
		// One cell has the whole width: its sentence belongs under the title.
		if w, ok := t.window(parts[0]); ok {
			c.facts = append(c.facts, fact{t.sentence(w), true})
		}
		c.cells[0].note = ""
	}
	var old []cell
	for _, f := range facets(t.start.rows, fit.ByStraps, fit.ByPressure) {
		old = append(old, t.cell(f, at))
	}
	t.start.under(c, old)
	c.alt = t.start.inWords(t.alt(parts))
	return c
}

// terms says what limit and line were stated.
func (t *tradeOff) terms() string {
	var terms []string
	if t.limit > 0 {
		terms = append(terms, "leak limit "+perMinute(t.limit))
	}
	if t.line.Pressure > 0 {
		s := "reference line " + mmHg(t.line.Pressure)
		if t.line.Name != "" {
			s += " (" + t.line.Name + ")"
		}
		terms = append(terms, s)
	}
	if len(terms) == 0 {
		return "No leak limit and no reference line stated"
	}
	return sentenceCase(strings.Join(terms, "; "))
}

func (t *tradeOff) cell(f facet, at func(fit.Row) float64) cell {
	// The leak's axis always reaches the limit, however far below it all is.
	leak := panel{title: leakTitle, cut: true, least: math.Max(1, finite(t.limit.LPerMin())), series: t.leaks(f.rows, at)}
	skin := panel{title: contactTitle, least: 10, series: present(contactSeries(f.rows, at), true)}
	if t.limit > 0 {
		leak.rules = []rule{{t.limit.LPerMin(), "limit " + perMinute(t.limit)}}
	}
	if t.line.Pressure > 0 {
		skin.rules = []rule{{t.line.Pressure.MmHg(), t.lineName()}}
	}
	l := cell{name: f.name}
	if w, ok := t.window(f); ok {
		l.span, l.note = t.spanOf(w), brief(w)
		if !w.Exists {
			leak.marks, skin.marks = t.bounds(w)
		}
	}
	l.panels = []panel{leak, skin}
	return l
}

func (t *tradeOff) lineName() string {
	if t.line.Name == "" {
		return "reference line " + mmHg(t.line.Pressure)
	}
	return t.line.Name + " " + mmHg(t.line.Pressure)
}

// leaks are one line per pressure, named after it where there are several.
func (t *tradeOff) leaks(rows []fit.Row, at func(fit.Row) float64) []series {
	byPressure := facets(rows, fit.ByStraps, fit.ByBalance, fit.BySize, fit.ByCushion, fit.ByPosition)
	var all []series
	for i, f := range byPressure {
		name := strings.TrimPrefix(f.name, "at ")
		if name == "" && len(f.rows) > 0 {
			name = "at " + cmH2O(f.rows[0].Settings.Pressure)
		}
		all = append(all, leakSeries(name, styles[i%len(styles)], f.rows, at))
	}
	return present(all, true)
}

// window finds the one that holds for a facet: same settings apart from straps
// and pressure. A single window without any holds for a single facet.
func (t *tradeOff) window(f facet) (fit.Window, bool) {
	if len(f.rows) == 0 {
		return fit.Window{}, false
	}
	want := f.rows[0].Settings
	want.Straps, want.Pressure = 0, 0
	for _, w := range t.windows {
		holds := w.Holds
		holds.Straps, holds.Pressure = 0, 0
		if holds == want {
			return w, true
		}
	}
	if len(t.windows) == 1 && f.name == "" {
		return t.windows[0], true
	}
	return fit.Window{}, false
}

func (t *tradeOff) spanOf(w fit.Window) *span {
	if !w.Exists {
		return nil
	}
	return &span{low: w.Low.N(), high: w.High.N(), openBelow: w.OpenBelow, openUp: w.OpenAbove,
		text: "fit window " + t.rangeOf(w)}
}

func (t *tradeOff) rangeOf(w fit.Window) string {
	switch {
	case w.OpenBelow && w.OpenAbove:
		return decimal(w.Low.N(), 1) + " to " + newton(w.High) + " and beyond"
	case w.OpenAbove:
		return "from " + newton(w.Low) + " up"
	case w.OpenBelow:
		return "up to " + newton(w.High)
	}
	return decimal(w.Low.N(), 1) + " to " + newton(w.High)
}

// bounds mark, in each panel, the one of the two conditions that can be met.
func (t *tradeOff) bounds(w fit.Window) (leak, skin []post) {
	if w.Seals {
		leak = []post{{w.SealsFrom.N(), "under the limit from " + newton(w.SealsFrom)}}
	}
	if w.UnderLine {
		skin = []post{{w.LineUntil.N(), "under the line up to " + newton(w.LineUntil)}}
	}
	return leak, skin
}

// finiteRows leaves out rows that have no place on a numbered axis.
func finiteRows(rows []fit.Row, by fit.Variable) []fit.Row {
	v := find(by)
	var kept []fit.Row
	for _, r := range rows {
		if v.value == nil {
			kept = append(kept, r)
			continue
		}
		if x := v.value(r.Settings); !math.IsNaN(x) && !math.IsInf(x, 0) {
			kept = append(kept, r)
		}
	}
	return kept
}
