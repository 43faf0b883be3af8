package picture

import (
	"fmt"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"tautline/model/mask"
	"tautline/model/plan"
)

// Plan draws what to try first and next after each outcome, and below it the
// chance that the problem is solved by each visit, under the plan and under
// plain trial and error.
func Plan(a plan.Answer, o ...Option) *Picture {
	d := &planDrawing{a: a, options: gather(o)}
	curve := d.chart()
	below := curve.picture()
	path := d.pathHeight()
	return &Picture{Title: plain(d.title()), Alt: plain(d.alt()), width: chartWidth, height: below.height + path,
		draw: func(on paper) {
			d.path(on)
			curve.draw(paper{draw.Canvas{Canvas: on.Canvas.Canvas,
				Rectangle: box(0, 0, chartWidth, on.Max.Y-path)}})
		}}
}

type planDrawing struct {
	a plan.Answer
	options
}

// Sizes of the path on the sheet.
const (
	pathHead vg.Length = 64
	boxHigh  vg.Length = 44
	boxStep  vg.Length = 56
	firstX   vg.Length = 24
	firstW   vg.Length = 250
	wordsX   vg.Length = 330 // where the outcomes stand
	nextX    vg.Length = 570
	nextW    vg.Length = 306
)

func (d *planDrawing) title() string {
	if d.name != "" {
		return d.name + ": what to try first, and next"
	}
	return "What to try first, and next"
}

func (d *planDrawing) branches() []plan.Branch {
	if d.a.Next == nil {
		return nil
	}
	return d.a.Next.After
}

func (d *planDrawing) pathHeight() vg.Length {
	return pathHead + boxStep*vg.Length(max(1, len(d.branches()))) + 14
}

// path draws the first mask at the left and, for each outcome, a line to what
// comes next. The line is as thick as the outcome is likely.
func (d *planDrawing) path(on paper) {
	top := on.Max.Y
	on.write(bold(large), ink, vg.Point{X: margin, Y: top - 36}, left, shorten(bold(large), d.title(), chartWidth-2*margin))
	if d.a.Next == nil {
		on.write(regular(normal), soft, vg.Point{X: margin, Y: top - pathHead - 20}, left, "Nothing is left to try from this stock.")
		return
	}
	all := d.branches()
	middle := top - pathHead - boxStep*vg.Length(max(1, len(all)))/2
	d.box(on, firstX, middle, firstW, stepLines(*d.a.Next), true)
	for i, b := range all {
		y := top - pathHead - boxStep*(vg.Length(i)+0.5)
		width := vg.Length(1 + 9*finite(b.Chance))
		on.line(faint, width, nil, vg.Point{X: firstX + firstW, Y: middle}, vg.Point{X: wordsX - 12, Y: y}, vg.Point{X: nextX, Y: y})
		on.writeOver(regular(normal), ink, vg.Point{X: wordsX, Y: y - 5}, left,
			fmt.Sprintf("%s, %s %%", outcomeLabel(b.Outcome), decimal(100*b.Chance, 0)))
		lines := []string{"not planned: too unlikely"}
		if b.Next != nil {
			lines = stepLines(*b.Next)
		}
		d.box(on, nextX, y, nextW, lines, b.Outcome == plan.Comfortable)
	}
}

// box outlines one step; what is heavy is outlined thicker.
func (d *planDrawing) box(on paper, x, middle, w vg.Length, lines []string, heavy bool) {
	width := vg.Length(1.2)
	if heavy {
		width = 2.4
	}
	frame := box(x, middle-boxHigh/2, x+w, middle+boxHigh/2)
	on.fill(mist, frame.Path())
	on.outline(ink, width, nil, frame.Min, vg.Point{X: frame.Max.X, Y: frame.Min.Y}, frame.Max, vg.Point{X: frame.Min.X, Y: frame.Max.Y})
	if len(lines) == 1 {
		on.write(bold(small), ink, vg.Point{X: x + 10, Y: middle - 5}, left, shorten(bold(small), lines[0], w-20))
		return
	}
	on.write(bold(small), ink, vg.Point{X: x + 10, Y: middle + 4}, left, shorten(bold(small), lines[0], w-20))
	on.write(regular(small), ink, vg.Point{X: x + 10, Y: middle - 14}, left, shorten(regular(small), lines[1], w-20))
}

// stepLines are a step in two short lines.
func stepLines(s plan.Step) []string {
	switch s.Move {
	case plan.Keep:
		return []string{"keep it"}
	case plan.Stop:
		return []string{"nothing left in stock: pass on"}
	}
	set := s.Setting
	return []string{moveLabel(s.Move) + ": " + maskLabel(set.Type, set.Size),
		fmt.Sprintf("straps about %s N, solves %s %%", decimal(set.Pull.N(), 1), decimal(100*s.Solves, 0))}
}

func moveLabel(m plan.Move) string {
	return [...]string{"first", "re-seat", "loosen", "small steps in", "other size", "other type", "keep", "stop"}[m]
}

func outcomeLabel(o plan.Outcome) string {
	return [...]string{"comfortable", "leaks at bridge or nose", "leaks elsewhere", "sore", "looks like the mouth", "will not wear it"}[o]
}

func maskLabel(t mask.Type, size string) string {
	if t == mask.Oronasal {
		return "full face, " + size
	}
	return string(t) + ", " + size
}

// chart sets the plan beside trial and error, visit by visit.
func (d *planDrawing) chart() *chart {
	c := &chart{title: "Chance that it is solved", panelHeight: 260,
		x: scale{title: "visits from now", low: -0.5, high: plan.Cap - 0.5}}
	for i := range plan.Cap {
		c.x.names = append(c.x.names, fmt.Sprint(i+1))
	}
	for _, f := range []struct {
		name  string
		style style
		of    plan.Forecast
	}{{"by this plan", styles[1], d.a.Planned}, {"by trial and error", styles[2], d.a.Trial}} {
		s := series{name: f.name, style: f.style, joined: true, dotted: true}
		for i, share := range f.of.ByVisit {
			s.points = append(s.points, plotter.XY{X: float64(i), Y: 100 * share})
		}
		if len(s.points) > 0 {
			c.cells = appendSeries(c.cells, s)
		}
	}
	c.facts = []fact{{text: fmt.Sprintf("Unsolved after %d visits: %s %% by this plan, %s %% by trial and error. Simulated persons, not patients.",
		plan.Cap, decimal(100*d.a.Planned.Unsolved.Value, 0), decimal(100*d.a.Trial.Unsolved.Value, 0))}}
	return c
}

func appendSeries(cells []cell, s series) []cell {
	if len(cells) == 0 {
		return []cell{{panels: []panel{{title: "solved, %", top: 104, series: []series{s}}}}}
	}
	cells[0].panels[0].series = append(cells[0].panels[0].series, s)
	return cells
}

func (d *planDrawing) alt() string {
	if d.a.Next == nil {
		return "A plan with nothing left to try."
	}
	text := []string{"A decision path and a curve. First: " + strings.Join(stepLines(*d.a.Next), ", ") + "."}
	for _, b := range d.branches() {
		next := "not planned"
		if b.Next != nil {
			next = strings.Join(stepLines(*b.Next), ", ")
		}
		text = append(text, fmt.Sprintf("If %s (%s %%): %s.", outcomeLabel(b.Outcome), decimal(100*b.Chance, 0), next))
	}
	if p, t := d.a.Planned.ByVisit, d.a.Trial.ByVisit; len(p) > 3 && len(t) > 3 {
		text = append(text, fmt.Sprintf("Solved by the first visit: %s %% against %s %% by trial and error; by the fourth: %s %% against %s %%.",
			decimal(100*p[0], 0), decimal(100*t[0], 0), decimal(100*p[3], 0), decimal(100*t[3], 0)))
	}
	return strings.Join(text, " ")
}
