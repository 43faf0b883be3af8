package picture

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"tautline/model/airway"
	"tautline/model/unit"
)

// mouthInk shades the times in which air leaves the mouth.
var mouthInk = color.NRGBA{0xfb, 0xe3, 0xd2, 255}

// Breath draws flows and pressures over whole breaths on one sheet, the times
// in which air leaves the mouth shaded, and below them what each named estimator
// would read beside the true leak.
func Breath(r airway.Result, o ...Option) *Picture {
	d := breathDrawing{r, gather(o)}
	c := d.chart()
	p := c.picture()
	sheet, bars := p.draw, d.bars()
	p.height += estimateHead + estimateStep*vg.Length(len(bars))
	p.draw = func(on paper) { sheet(on); drawBars(on, bars) }
	return p
}

type breathDrawing struct {
	r airway.Result
	options
}

func (d *breathDrawing) chart() *chart {
	samples := d.r.Samples
	last := samples[len(samples)-1].Time
	c := &chart{title: "Flow and pressure over breaths", panelHeight: 240,
		x: scale{title: "time, s", low: 0, high: float64(last)}}
	if d.name != "" {
		c.title = d.name + ": flow and pressure over breaths"
	}
	c.facts = []fact{{text: d.means()}}
	c.facts = append(c.facts, fact{text: strings.TrimPrefix(d.shaded()+d.swing(), "; ")})
	c.cells = []cell{{panels: []panel{
		{title: "flow, L/min", least: 10, series: append(d.spans(), d.flows()...)},
		{title: "pressure, cmH2O", least: 2, series: append(d.spans(), d.pressures()...)},
	}}}
	c.alt = d.alt()
	return c
}

func (d *breathDrawing) spans() []series {
	var all []series
	for _, s := range d.r.MouthLeak {
		all = append(all, series{band: true, style: style{mouthInk, nil, nil},
			points: plotter.XYs{{X: float64(s.From)}, {X: float64(s.To)}}})
	}
	return all
}

func (d *breathDrawing) flows() []series {
	flow := func(name string, k int, of func(*airway.Sample) unit.Flow) series {
		return d.trace(name, k, func(s *airway.Sample) float64 { return of(s).LPerMin() })
	}
	all := []series{
		flow("hose", 0, func(s *airway.Sample) unit.Flow { return s.Total }),
		flow("mask vent", 1, func(s *airway.Sample) unit.Flow { return s.Vent }),
		flow("lung", 3, func(s *airway.Sample) unit.Flow { return s.Lung }),
	}
	if d.r.Leak > onTheSheet {
		all = append(all, flow("seal leak", 4, func(s *airway.Sample) unit.Flow { return s.Leak }))
	}
	if d.r.Mouth > onTheSheet {
		all = append(all, flow("mouth leak", 2, func(s *airway.Sample) unit.Flow { return s.Mouth }))
	}
	return all
}

// onTheSheet is the mean flow from which a leak gets a line of its own.
const onTheSheet = 0.05 * unit.LPerMin

func (d *breathDrawing) pressures() []series {
	of := func(name string, k int, of func(*airway.Sample) unit.Pressure) series {
		return d.trace(name, k, func(s *airway.Sample) float64 { return of(s).CmH2O() })
	}
	return []series{
		of("set at the machine", 1, func(s *airway.Sample) unit.Pressure { return s.Set }),
		of("in the mask", 0, func(s *airway.Sample) unit.Pressure { return s.Mask }),
		of("behind the nose", 3, func(s *airway.Sample) unit.Pressure { return s.Pharynx }),
	}
}

// trace is one line over time, of no more points than a screen shows.
func (d *breathDrawing) trace(name string, k int, of func(*airway.Sample) float64) series {
	s := series{name: name, style: styles[k], joined: true}
	s.style.glyph = nil
	finest := float64(d.r.Samples[len(d.r.Samples)-1].Time) / 500
	before := math.Inf(-1)
	for i := range d.r.Samples {
		at := &d.r.Samples[i]
		jump := i > 0 && at.Inspiring != d.r.Samples[i-1].Inspiring
		if t := float64(at.Time); t-before >= finest || jump || i == len(d.r.Samples)-1 {
			s.points = append(s.points, plotter.XY{X: t, Y: of(at)})
			before = t
		}
	}
	return s
}

func (d *breathDrawing) means() string {
	return fmt.Sprintf("Means: hose %s, mask vent %s, seal leak %s, mouth leak %s", perMinute(d.r.Total),
		perMinute(d.r.Vent), perMinute(d.r.Leak), perMinute(d.r.Mouth))
}

func (d *breathDrawing) swing() string {
	return fmt.Sprintf("; mask pressure %s to %s", cmH2O(d.r.MaskLow), cmH2O(d.r.MaskHigh))
}

func (d *breathDrawing) shaded() string {
	if d.r.MouthTime == 0 {
		return ""
	}
	return fmt.Sprintf("Shaded: air leaves the mouth, %.0f %% of the time", d.r.MouthTime.Percent())
}

// A bar is one estimator's figure.
type bar struct {
	name   string
	flow   unit.Flow
	filled bool // the true one
}

func (d *breathDrawing) bars() []bar {
	all := []bar{{"true mean leak", d.r.Unintentional, true}}
	for _, e := range d.r.Estimates {
		all = append(all, bar{string(e.By), e.Leak, false})
	}
	return all
}

// The block of bars at the foot of the sheet.
const (
	estimateStep vg.Length = 24
	estimateHead vg.Length = 46
)

// drawBars draws each figure as a bar from zero with its number behind it.
func drawBars(on paper, bars []bar) {
	y := on.Min.Y + estimateStep*vg.Length(len(bars)) + 8
	on.write(bold(normal), ink, vg.Point{X: margin, Y: y + 8}, left,
		"Unintentional leak as each estimator would read it, L/min")
	low, high := 0.0, 5.0 // a litre more or less is not blown up to the sheet's width
	for _, b := range bars {
		v := finite(b.flow.LPerMin())
		low, high = math.Min(low, v), math.Max(high, v)
	}
	const from, to = margin + 210, chartWidth - margin - 70
	x := func(v float64) vg.Length { return from + (to-from)*vg.Length((finite(v)-low)/(high-low)) }
	for _, b := range bars {
		y -= estimateStep
		v := b.flow.LPerMin()
		on.write(regular(small), ink, vg.Point{X: margin, Y: y + 5}, left, b.name)
		k := styles[1].ink
		if b.filled {
			k = ink
		}
		on.fill(k, box(min(x(0), x(v)), y+2, max(x(0), x(v), min(x(0), x(v))+1), y+16).Path())
		on.write(regular(small), ink, vg.Point{X: max(x(0), x(v)) + 8, Y: y + 5}, left, decimal(v, 1))
	}
	foot := on.Min.Y + 8
	on.line(soft, 1, nil, vg.Point{X: x(0), Y: foot}, vg.Point{X: x(0), Y: foot + estimateStep*vg.Length(len(bars))})
}

func (d *breathDrawing) alt() string {
	text := []string{fmt.Sprintf("Flows and pressures over %d breaths.", d.r.Setup.Breaths), d.means() + d.swing() + "."}
	if s := d.shaded(); s != "" {
		text = append(text, strings.Replace(s, "Shaded: air", "Air", 1)+".")
	}
	var reads []string
	for _, e := range d.r.Estimates {
		reads = append(reads, fmt.Sprintf("%s %s L/min", e.By, decimal(e.Leak.LPerMin(), 1)))
	}
	return strings.Join(append(text, "True mean leak "+perMinute(d.r.Unintentional)+"; "+strings.Join(reads, ", ")+"."), " ")
}
