package picture

import (
	"fmt"
	"image/color"
	"math"
	"sort"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg/draw"

	"tautline/model/night"
	"tautline/model/unit"
)

// Styles of a night's lines: lines without shapes, as there are many points.
var (
	leakStyle   = style{styles[0].ink, nil, nil}
	middleStyle = style{styles[1].ink, nil, nil}
	outerStyle  = style{styles[1].ink, styles[1].dashes, nil}
	meanStyle   = style{styles[3].ink, nil, nil}
	swingStyle  = style{styles[3].ink, styles[1].dashes, nil}
	turnStyle   = style{styles[2].ink, nil, draw.PyramidGlyph{}}
)

// Night draws one of the simulated nights as a strip: how the person lies and
// sleeps, the leak, the leak over all nights, and the pressure in the mask.
func Night(a night.Answer, o ...Option) *Picture {
	q := a.Question
	c := &chart{title: titled(gather(o), "a simulated night"), panelHeight: 170,
		x: scale{title: "hours asleep", low: 0, high: q.Hours.Hours()}}
	c.facts = []fact{{text: fmt.Sprintf("Night %d of %d: its %s is the middle one. One of many, not a forecast. Dark strip: REM sleep.", a.ExampleAt, q.Nights, statisticLabel(q.Statistic))},
		{text: nightResult(a), bold: true}}
	limit := []rule{{q.Limit.LPerMin(), "your limit " + perMinute(q.Limit)}}
	c.cells = []cell{{bands: nightBands(a), panels: []panel{
		{title: "leak, L/min", least: 1, cut: true, rules: limit, series: leakLines(a)},
		{title: fmt.Sprintf("%d nights, L/min", q.Nights), least: 1, cut: true, rules: limit, series: fan(a)},
		{title: "in the mask, cmH2O", least: 2, series: pressureLines(a)},
	}}}
	c.alt = nightAlt(a)
	return c.picture()
}

// titled puts a case's name before what is drawn.
func titled(o options, what string) string {
	if o.name != "" {
		return o.name + ": " + what
	}
	return sentenceCase(what)
}

func statisticLabel(s night.Statistic) string {
	if s == night.P95 {
		return "95th percentile of the leak"
	}
	return string(s) + " leak"
}

// nightResult is the figure that the nights come to.
func nightResult(a night.Answer) string {
	q := a.Question
	return fmt.Sprintf("%s above %s in %d of %d nights; %s %% of all the time above it.",
		sentenceCase(statisticLabel(q.Statistic)), perMinute(q.Limit), a.Over, q.Nights, decimal(a.AboveMean.Percent(), 1))
}

// nightBands are the strips of positions and of stages.
func nightBands(a night.Answer) []bandRow {
	lying, asleep := bandRow{name: "lying"}, bandRow{name: "asleep"}
	for _, s := range a.Example {
		label := strings.TrimSuffix(strings.TrimPrefix(strings.TrimPrefix(s.Position, "on the "), "lying "), " side")
		lying.add(s, label, positionTint(s.Position))
		tint := tintLight
		if s.Stage == night.REM {
			tint = tintRose
		}
		asleep.add(s, s.Stage.String(), tint)
	}
	return []bandRow{lying, asleep}
}

func positionTint(position string) color.NRGBA {
	switch {
	case strings.Contains(position, "left"):
		return tintBlue
	case strings.Contains(position, "right"):
		return tintSand
	case strings.Contains(position, "back"):
		return tintGrey
	}
	return tintLight
}

// add lengthens the last piece, or begins another.
func (b *bandRow) add(s night.Spell, text string, tint color.NRGBA) {
	end := (s.From + s.Length).Hours()
	if n := len(b.pieces); n > 0 && b.pieces[n-1].text == text {
		b.pieces[n-1].to = end
		return
	}
	b.pieces = append(b.pieces, piece{s.From.Hours(), end, text, tint})
}

// follow makes a line in steps, one level for each spell; parted where the mask
// tips off.
func follow(name string, st style, a night.Answer, value func(night.Spell) float64) []series {
	var all []series
	running := false
	for _, s := range a.Example {
		if s.Tipped {
			running = false
			continue
		}
		if !running {
			all, running = append(all, series{style: st, joined: true}), true
		}
		n, y := len(all)-1, finite(value(s))
		all[n].points = append(all[n].points, plotter.XY{X: s.From.Hours(), Y: y}, plotter.XY{X: (s.From + s.Length).Hours(), Y: y})
	}
	if len(all) > 0 {
		all[len(all)-1].name = name
	}
	return all
}

func leakLines(a night.Answer) []series {
	all := follow("this night", leakStyle, a, func(s night.Spell) float64 { return s.Total().LPerMin() })
	opened := series{name: "a turn that opened it", style: turnStyle, dotted: true}
	for i, s := range a.Example {
		if s.Turned && !s.Tipped && !a.Example[i-1].Tipped && s.Leak-a.Example[i-1].Leak >= unit.Flow(night.Opening.SI()) {
			opened.points = append(opened.points, plotter.XY{X: s.From.Hours(), Y: s.Total().LPerMin()})
		}
	}
	if len(opened.points) > 0 {
		all = append(all, opened)
	}
	return all
}

// fan are the lines that a tenth, half and nine tenths of the nights lie under.
func fan(a night.Answer) []series {
	lines := []series{{name: "a tenth above", style: outerStyle}, {name: "half above", style: middleStyle}, {name: "nine tenths above", style: outerStyle}}
	for _, h := range a.Hours {
		for i, y := range []float64{h.Leak.High, h.Leak.Middle, h.Leak.Low} {
			lines[i].joined = true
			if !math.IsInf(y, 0) {
				lines[i].points = append(lines[i].points, plotter.XY{X: h.At.Hours(), Y: y})
			}
		}
	}
	return lines
}

func pressureLines(a night.Answer) []series {
	all := follow("breathing out", swingStyle, a, func(s night.Spell) float64 { return s.High.CmH2O() })
	all = append(all, follow("mean", meanStyle, a, func(s night.Spell) float64 { return s.Mask.CmH2O() })...)
	return append(all, follow("breathing in", swingStyle, a, func(s night.Spell) float64 { return s.Low.CmH2O() })...)
}

func nightAlt(a night.Answer) string {
	q := a.Question
	var parts []string
	for _, p := range a.Positions {
		parts = append(parts, fmt.Sprintf("%s %s %% of the time, median leak %s", p.Name, decimal(p.Share.Percent(), 0), perMinute(p.Leak)))
	}
	return fmt.Sprintf("Three panels over %s hours: leak of one night, leak over %d nights, mask pressure; above them strips of position and stage of sleep. %s Over all nights: %s. Half of the time the leak is under %s, 95 %% of it under %s.",
		decimal(q.Hours.Hours(), 1), q.Nights, nightResult(a), join(parts), perMinute(a.Leak[2]), perMinute(a.Leak[4]))
}

// Nights draws how the stated figure is spread over the nights: the share of
// nights with no more than each leak.
func Nights(a night.Answer, o ...Option) *Picture {
	q := a.Question
	values := make([]float64, 0, len(a.Values))
	for _, v := range a.Values {
		if !math.IsInf(float64(v), 0) {
			values = append(values, v.LPerMin())
		}
	}
	sort.Float64s(values)
	line := series{style: leakStyle, joined: true}
	for i, v := range values {
		line.points = append(line.points, plotter.XY{X: v, Y: 100 * float64(i) / float64(len(a.Values))},
			plotter.XY{X: v, Y: 100 * float64(i+1) / float64(len(a.Values))})
	}
	x := fromZero(statisticLabel(q.Statistic)+" of a night, L/min", append(values, 1.15*q.Limit.LPerMin())...)
	c := &chart{title: titled(gather(o), fmt.Sprintf("%d simulated nights", q.Nights)), panelHeight: 380, x: x,
		facts: []fact{{text: nightResult(a), bold: true}}}
	c.cells = []cell{{posts: []post{{q.Limit.LPerMin(), "your limit " + perMinute(q.Limit)}},
		panels: []panel{{title: "nights with no more, %", top: 100, series: []series{line}}}}}
	b := a.PerNight[q.Statistic]
	c.alt = fmt.Sprintf("Share of nights against the %s of a night. %s A tenth of the nights lie under %s, half under %s, nine tenths under %s L/min.",
		statisticLabel(q.Statistic), nightResult(a), decimal(b.Low, 1), decimal(b.Middle, 1), decimal(b.High, 1))
	return c.picture()
}
