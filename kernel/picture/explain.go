package picture

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"tautline/model/explain"
)

// Explain draws the readings against what each leading cause would show: small
// multiples on common axes, the most probable first.
func Explain(a explain.Answer, o ...Option) *Picture {
	d := explainDrawing{a: a, options: gather(o)}
	return d.chart().picture()
}

type explainDrawing struct {
	a explain.Answer
	options
}

// mostCauses is how many are drawn: beyond them none is probable.
const mostCauses = 6

// causeLabels are the causes where room is short.
var causeLabels = [explain.CauseCount]string{"constant gap", "opening elsewhere", "a site that opens", "through the mouth", "worn cushion",
	"vent curve or setting", "vent passes too little", "comes on the side", "nothing unusual"}

// The middle line takes the blue of the house; the band is its pale edge, so
// that readings in black stand out in front.
var (
	bandEdge  = style{color.NRGBA{0x00, 0x62, 0x9b, 255}, []vg.Length{5, 4}, nil}
	bandLine  = style{color.NRGBA{0x00, 0x62, 0x9b, 255}, nil, nil}
	readStyle = style{ink, nil, draw.CircleGlyph{}}
)

func (d *explainDrawing) chart() *chart {
	c := &chart{title: d.title(), panelHeight: 200, x: d.pressures()}
	c.facts = []fact{{text: "Dots: what was read. Line: what the cause would show in the middle; dashed: 8 of 10 readings lie between. Shares compare stories; they prove none."}}
	c.key = []series{{name: "read", style: readStyle, dotted: true}, {name: "middle", style: bandLine, joined: true}, {name: "8 of 10 between", style: bandEdge, joined: true}}
	read := d.readings()
	for _, r := range d.shown() {
		p := panel{title: "unintentional leak, L/min", least: 5, series: append(d.band(r), read)}
		if limit := d.a.Question.Limit; limit > 0 {
			p.rules = []rule{{limit.LPerMin(), "your limit " + perMinute(limit)}}
		}
		c.cells = append(c.cells, cell{name: causeLabels[r.Cause], note: "share " + share(float64(r.Probability)), panels: []panel{p}})
	}
	c.alt = d.alt()
	return c
}

func (d *explainDrawing) title() string {
	if d.name != "" {
		return d.name + ": readings against causes"
	}
	return "Readings against what each cause would show"
}

// shown are the causes worth a drawing: those in question, and three at least.
func (d *explainDrawing) shown() (out []explain.Result) {
	for i, r := range d.a.Causes {
		if len(r.Band) > 0 && (i < 3 || r.Probability >= 0.03) && len(out) < mostCauses {
			out = append(out, r)
		}
	}
	return out
}

// pressures is the axis that all causes share.
func (d *explainDrawing) pressures() scale {
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range d.a.Causes {
		for _, b := range r.Band {
			low, high = math.Min(low, b.Pressure.CmH2O()), math.Max(high, b.Pressure.CmH2O())
		}
	}
	for _, v := range d.a.Views {
		low, high = math.Min(low, v.Pressure.CmH2O()), math.Max(high, v.Pressure.CmH2O())
	}
	if !(low <= high) {
		low, high = 0, 20
	}
	return scale{title: "pressure at the mask, cmH2O", low: math.Max(0, low-1), high: high + 1}
}

func (d *explainDrawing) readings() series {
	s := series{style: readStyle, dotted: true}
	for _, v := range d.a.Views {
		s.points = append(s.points, plotter.XY{X: v.Pressure.CmH2O(), Y: v.Leak.LPerMin()})
	}
	return s
}

func (d *explainDrawing) band(r explain.Result) []series {
	low, middle, high := series{style: bandEdge, joined: true}, series{style: bandLine, joined: true}, series{style: bandEdge, joined: true}
	for _, b := range r.Band {
		x := b.Pressure.CmH2O()
		low.points = append(low.points, plotter.XY{X: x, Y: b.Low.LPerMin()})
		middle.points = append(middle.points, plotter.XY{X: x, Y: b.Middle.LPerMin()})
		high.points = append(high.points, plotter.XY{X: x, Y: b.High.LPerMin()})
	}
	return []series{low, middle, high}
}

// share words a probability as a whole percentage, and never as none or all.
func share(p float64) string {
	switch {
	case p < 0.01:
		return "under 1 %"
	case p > 0.99:
		return "over 99 %"
	}
	return decimal(100*p, 0) + " %"
}

func (d *explainDrawing) alt() string {
	text := []string{fmt.Sprintf("%d readings against what each cause would show.", len(d.a.Views))}
	for _, v := range d.a.Views[:min(len(d.a.Views), fewPoints)] {
		text = append(text, fmt.Sprintf("At %s: %s.", cmH2O(v.Pressure), perMinute(v.Leak)))
	}
	if limit := d.a.Question.Limit; limit > 0 {
		text = append(text, "Your limit: "+perMinute(limit)+".")
	}
	for _, r := range d.shown() {
		top := r.Band[len(r.Band)-1]
		text = append(text, fmt.Sprintf("Under %s, %s: %s to %s at %s.", causeLabels[r.Cause], share(float64(r.Probability)),
			perMinute(top.Low), perMinute(top.High), cmH2O(top.Pressure)))
	}
	return strings.Join(text, " ")
}
