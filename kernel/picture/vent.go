package picture

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg/draw"

	"tautline/model/unit"
	"tautline/model/vent"
)

// Vent draws the curve of a mask vent: the published points, the power law
// fitted through them, what lies beyond them, and the pressures asked for, each
// told apart by its shape as well as its colour.
func Vent(v vent.Vent, asked []unit.Pressure, o ...Option) *Picture {
	d := ventDrawing{v: v, asked: asked, options: gather(o)}
	return d.chart().picture()
}

type ventDrawing struct {
	v     vent.Vent
	asked []unit.Pressure
	options
}

var (
	publishedStyle = style{ink, nil, draw.CircleGlyph{}}
	lawStyle       = style{styles[1].ink, nil, nil}
	beyondStyle    = style{styles[1].ink, styles[1].dashes, nil}
	insideStyle    = style{styles[2].ink, nil, diamond{}}
	outsideStyle   = style{styles[2].ink, nil, hollow{}}
)

func (d *ventDrawing) chart() *chart {
	top := d.top()
	lines := d.lines(top)
	points := series{style: publishedStyle, dotted: true}
	for _, p := range d.v.Points() {
		points.points = append(points.points, plotter.XY{X: p.Pressure.CmH2O(), Y: p.Flow.LPerMin()})
	}
	c := &chart{title: "Mask vent flow", panelHeight: 400,
		x: scale{title: "pressure at the mask, cmH2O", low: 0, high: top.CmH2O()}}
	if d.name != "" {
		c.title = d.name + ": mask vent flow"
	}
	c.facts = []fact{{text: d.law()}}
	c.key = d.samples(len(points.points) > 0)
	main := panel{title: "flow, L/min", least: 1, series: append(lines, points)}
	main.series = append(main.series, d.answers()...)
	if d.floor > 0 {
		main.rules = []rule{{d.floor.LPerMin(), "washout floor " + perMinute(d.floor)}}
	}
	c.cells = []cell{{panels: []panel{main}}}
	c.alt = d.alt()
	return c
}

// top is the end of the axis: a little beyond whatever was measured or asked.
func (d *ventDrawing) top() unit.Pressure {
	top := unit.Pressure(0)
	for _, p := range d.v.Points() {
		top = max(top, p.Pressure)
	}
	for _, p := range d.asked {
		top = max(top, unit.Pressure(finite(float64(p))))
	}
	if top <= 0 {
		top = 20 * unit.CmH2O
	}
	return top * 1.08
}

// lines follow the vent from zero to the top, parted where measurement ends:
// the fitted law inside, the vent's own answer outside.
func (d *ventDrawing) lines(top unit.Pressure) []series {
	const steps = 240
	var all []series
	points := d.v.Points()
	for i := range steps + 1 {
		// Finer towards zero, where the curve bends most.
		s := float64(i) / steps
		p := top * unit.Pressure(s*s)
		q, beyond := d.v.Flow(p)
		if !beyond && len(points) > 0 && p > 0 {
			q = d.v.Fit().Flow(p)
		}
		style := lawStyle
		if beyond {
			style = beyondStyle
		}
		at := plotter.XY{X: p.CmH2O(), Y: q.LPerMin()}
		n := len(all)
		if n == 0 || (all[n-1].style.dashes != nil) != beyond {
			if n > 0 {
				all[n-1].points = append(all[n-1].points, at)
			}
			all = append(all, series{style: style, joined: true})
			n++
		}
		all[n-1].points = append(all[n-1].points, at)
	}
	return all
}

// answers are the asked pressures, each with its label; hollow where the curve
// was left.
func (d *ventDrawing) answers() []series {
	var all []series
	for _, p := range d.asked {
		q, beyond := d.v.Flow(p)
		s := series{name: cmH2O(p) + ": " + flow(q), style: insideStyle, dotted: true, level: true}
		if beyond {
			s.style, s.name = outsideStyle, s.name+", extrapolated"
		}
		s.points = plotter.XYs{{X: finite(p.CmH2O()), Y: finite(q.LPerMin())}}
		all = append(all, s)
	}
	return all
}

// samples are the marks that occur, for the key.
func (d *ventDrawing) samples(published bool) []series {
	law := "hole law"
	var all []series
	if published {
		all = append(all, series{name: "point of its curve", style: publishedStyle, dotted: true})
		law = "fitted power law"
	}
	all = append(all, series{name: law, style: lawStyle, joined: true},
		series{name: "extrapolated", style: beyondStyle, joined: true})
	if len(d.asked) > 0 {
		all = append(all, series{name: "asked (hollow: extrapolated)", style: insideStyle, dotted: true})
	}
	return all
}

// law puts the fit in one line.
func (d *ventDrawing) law() string {
	f := d.v.Fit()
	if f.K == 0 {
		return "This vent passes nothing."
	}
	s := fmt.Sprintf("Flow = %s × (pressure / 1 cmH2O) to the power %s", flow(f.K), decimal(f.Exponent, 3))
	if f.ExponentSE > 0 && !math.IsInf(f.ExponentSE, 0) {
		s += " ± " + decimal(f.ExponentSE, 3)
	}
	return s + " (0.5 an orifice, 1 a slot)"
}

// flow keeps the decimal that vent curves are published with.
func flow(q unit.Flow) string { return decimal(q.LPerMin(), 1) + " L/min" }

func (d *ventDrawing) alt() string {
	var text []string
	if points := d.v.Points(); len(points) > 0 {
		a, b := points[0], points[len(points)-1]
		text = append(text, fmt.Sprintf("The curve of a mask vent: %d points of it from %s at %s to %s at %s.",
			len(points), flow(a.Flow), cmH2O(a.Pressure), flow(b.Flow), cmH2O(b.Pressure)))
	} else {
		text = append(text, "The curve of a mask vent, computed from its holes.")
	}
	text = append(text, strings.TrimSuffix(d.law(), ".")+".")
	for _, s := range d.answers() {
		text = append(text, "At "+s.name+".")
	}
	if d.floor > 0 {
		text = append(text, "Washout floor "+perMinute(d.floor)+".")
	}
	return strings.ReplaceAll(strings.Join(text, " "), "×", "times")
}
