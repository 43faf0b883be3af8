package words

import (
	"errors"
	"fmt"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/model/fit"
	"tautline/model/night"
	"tautline/model/seal"
	"tautline/model/skin"
	"tautline/model/unit"
)

// steps is how many values a sweep takes: enough for a smooth line.
const steps = 25

// A Sweep is a fitting asked at many pressures or strap forces. Rows holds the
// numbers, and Window the strap forces that were looked for where a limit and a
// line were stated; it is empty otherwise.
type Sweep struct {
	Rows   []fit.Row
	Window fit.Window
	show   sheet
	draw   func(...picture.Option) *picture.Picture
}

// sweep makes a sweep that shows itself as a sheet with its picture.
func sweep(rows []fit.Row, s sheet, draw func(...picture.Option) *picture.Picture) Sweep {
	return Sweep{Rows: rows, show: s, draw: draw}.with()
}

// with is the sweep with its picture drawn otherwise.
func (s Sweep) with(o ...picture.Option) Sweep {
	s.show.pictures = []*picture.Picture{s.draw(o...)}
	return s
}

// String is the sweep as text.
func (s Sweep) String() string { return s.show.text() }

// Mimebundle shows the sentence, the picture and the table.
func (s Sweep) Mimebundle() map[string]any { return s.show.bundle() }

// AcrossPressures asks from a lower to a higher set pressure: where it opens.
//
// Example: fit.AcrossPressures(4*CmH2O, 20*CmH2O)
func (f Fitting) AcrossPressures(low, high unit.Pressure) Sweep {
	if !(low < high) {
		panic(fmt.Errorf("AcrossPressures goes from a lower to a higher pressure, not from %s to %s", low, high))
	}
	rows := f.rows(low, high)
	last := rows[len(rows)-1]
	return sweep(rows, sheet{
		caution:   true,
		sentences: []string{report.OpeningSentence(last.Point), report.PointSentence(last.Point, f.on.Case.Position.Name)},
		tables:    []table{{caption: "Across set pressures", head: 2, rows: pressureRows(rows)}},
	}, func(o ...picture.Option) *picture.Picture {
		return picture.AcrossPressures(rows, append(o, picture.Named(f.name()))...)
	})
}

func (f Fitting) rows(low, high unit.Pressure) []fit.Row {
	c := f.model().Case
	set := fit.Settings{Straps: c.Total(), Balance: c.Straps.Upper, Size: c.Mask.Size,
		Cushion: c.Cushion.Days, Position: c.Position.Name}
	var rows []fit.Row
	for i := range steps {
		check(f.at.context().Err())
		set.Pressure = low + (high-low)*unit.Pressure(i)/(steps-1)
		p, err := f.on.At(set.Pressure)
		check(err)
		rows = append(rows, fit.Row{Settings: set, Point: p})
	}
	return rows
}

// pressureRows thins the sweep out to what is read at a glance.
func pressureRows(rows []fit.Row) [][]string {
	out := [][]string{{"set", "at mask", "vent", "leak", "contact", "at"}, {"cmH2O", "cmH2O", "L/min", "L/min", "mmHg", ""}}
	for i := 0; i < len(rows); i += (steps - 1) / 6 {
		out = append(out, append([]string{unit.Round(rows[i].Set.CmH2O())}, common(rows[i])...))
	}
	return out
}

func common(r fit.Row) []string {
	site, contact := report.Worst(r.Point)
	return []string{fmt.Sprintf("%.1f", r.Mask.CmH2O()), fmt.Sprintf("%.1f", r.Vent.LPerMin()),
		fmt.Sprintf("%.1f", r.Leak.LPerMin()), fmt.Sprintf("%.0f", contact.MmHg()), site.String()}
}

// A Statement is something that only the one who asks can decide: a limit for
// the leak, a reference line for the skin. Neither has a default.
type Statement struct {
	limit unit.Flow
	line  skin.Line
	night func(*night.Question) // of simulated nights
	lies  *night.Share
	draws int     // of the uncertain numbers
	seed  *uint64 // of draws, and of nights
}

// limit states how much may leak. It has no default: whoever asks states it.
//
// Unit: a flow, such as 24*LPerMin
// Example: fit.AcrossStraps(1*N, 8*N, 12*CmH2O, Limit(24*LPerMin), Line(70*MmHg))
func limit(q unit.Flow) Statement {
	if !(q > 0) {
		panic(errors.New("a limit of the leak is above zero, such as Limit(24*LPerMin)"))
	}
	return Statement{limit: q}
}

// line states the contact pressure to compare the skin's load with. It has
// no default: whoever asks states it.
//
// Unit: a pressure, such as 70*MmHg
// Example: fit.AcrossStraps(1*N, 8*N, 12*CmH2O, Limit(24*LPerMin), Line(70*MmHg))
func line(p unit.Pressure) Statement {
	l, err := skin.Chosen(p)
	check(err)
	return Statement{line: l}
}

// AcrossStraps asks from a lower to a higher strap force at a set pressure:
// leak against skin. With a limit and a line stated it looks for the window.
//
// Equation: the fit window holds the strap forces at which the leak stays under the limit and no contact passes the line
// Example: fit.AcrossStraps(1*N, 8*N, 12*CmH2O)
func (f Fitting) AcrossStraps(low, high unit.Force, at unit.Pressure, stated ...Statement) Sweep {
	if !(low < high) {
		panic(fmt.Errorf("AcrossStraps goes from a lower to a higher force, not from %s to %s", low, high))
	}
	var s Statement
	for _, one := range stated {
		s.limit, s.line = one.or(s.limit, s.line)
	}
	rows := f.pulls(low, high, at)
	show := sheet{caution: true, tables: strapTable(rows, at)}
	if s.limit > 0 && s.line.IsSet() {
		q, w := f.window(low, high, at, s)
		show.sentences = []string{report.WindowSentence(q, w)}
		out := sweep(rows, show, func(o ...picture.Option) *picture.Picture {
			return picture.TradeOff(rows, []fit.Window{w}, s.limit,
				picture.Line{Name: s.line.Name, Pressure: s.line.Level(0)}, append(o, picture.Named(f.name()))...)
		})
		out.Window = w
		return out
	}
	show.sentences = []string{strapSentence(rows)}
	return sweep(rows, show, func(o ...picture.Option) *picture.Picture {
		return picture.Sweep(rows, []fit.Variable{fit.ByStraps}, append(o, picture.Named(f.name()))...)
	})
}

// pulls goes through the strap forces alone. Those at which the mask tips off
// are left out.
func (f Fitting) pulls(low, high unit.Force, at unit.Pressure) []fit.Row {
	c := f.model().Case
	set := fit.Settings{Balance: c.Straps.Upper, Size: c.Mask.Size, Cushion: c.Cushion.Days,
		Position: c.Position.Name, Pressure: at}
	var rows []fit.Row
	for i := range steps {
		check(f.at.context().Err())
		c.Straps.Pull = low + (high-low)*unit.Force(i)/(steps-1)
		set.Straps = c.Straps.Pull
		on, err := f.on.WithStraps(c.Straps)
		var p fit.Point
		if err == nil {
			p, err = on.At(at)
		}
		if errors.Is(err, seal.ErrTips) {
			continue
		}
		check(err)
		rows = append(rows, fit.Row{Settings: set, Point: p})
	}
	if len(rows) == 0 {
		panic(fmt.Errorf("the mask tips off at every strap force from %s to %s; look at higher ones", low, high))
	}
	return rows
}

// window looks for the strap forces between what was stated.
func (f Fitting) window(low, high unit.Force, at unit.Pressure, s Statement) (fit.Question, fit.Window) {
	q := fit.Question{Case: f.model().Case, Pressure: at, Range: [2]unit.Pressure{at, at},
		Limit: s.limit, Line: s.line, Between: [2]unit.Force{low, high}}
	w, err := fit.FindWindow(f.at.context(), q)
	check(err)
	return q, w
}

// strapSentence sets both ends of the sweep against each other.
func strapSentence(rows []fit.Row) string {
	a, b := rows[0], rows[len(rows)-1]
	_, low := report.Worst(a.Point)
	site, high := report.Worst(b.Point)
	return fmt.Sprintf("From %s to %s of strap pull the leak goes from %s to %s, and the largest contact from %s to %s, at %s.",
		report.Pull(a.Straps), report.Pull(b.Straps), report.Some(a.Leak), report.Some(b.Leak),
		report.Contact(low), report.Contact(high), report.The(site))
}

func strapTable(rows []fit.Row, at unit.Pressure) []table {
	return []table{{caption: "Across strap forces at " + report.Airway(at) + " set", head: 2, rows: strapRows(rows)}}
}

func strapRows(rows []fit.Row) [][]string {
	out := [][]string{{"straps", "at mask", "vent", "leak", "contact", "at"}, {"N", "cmH2O", "L/min", "L/min", "mmHg", ""}}
	for i := 0; i < len(rows); i += (steps - 1) / 6 {
		out = append(out, append([]string{unit.Round(rows[i].Straps.N())}, common(rows[i])...))
	}
	return out
}
