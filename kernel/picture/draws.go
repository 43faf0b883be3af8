package picture

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
)

// A DrawsSheet is what draws of the uncertain numbers tell, in the units and
// words in which it is shown.
type DrawsSheet struct {
	Sentence string // how many draws agree
	Bands    []DrawnBand
	Bars     []DrawnBar // what the answer hangs on, the most first
}

// A DrawnBand is where one figure lies: as asked, and at 10, 50 and 90 % of the
// draws. What does not exist is NaN.
type DrawnBand struct {
	Name, Unit                string
	Stated, Low, Middle, High float64
}

// A DrawnBar is one input's share of the variance, by itself and with what it
// does together with others; Low and High bound the latter. Without a total
// the share by itself is the bar.
type DrawnBar struct {
	Name                    string
	First, Total, Low, High float64
}

// Heights of one line of a draws sheet, and where its columns begin.
const (
	bandStep   vg.Length = 34
	drawnStep  vg.Length = 30
	bandLeft   vg.Length = 250
	bandRight  vg.Length = chartWidth - 200
	drawnLeft  vg.Length = 440
	drawnRight vg.Length = chartWidth - 90
)

// Draws shows the bands of the figures, each on a scale of its own, above a bar
// chart of the inputs that the answer hangs on.
func Draws(s DrawsSheet, o ...Option) *Picture {
	d := drawsDrawing{sheet: s, name: gather(o).name}
	for _, b := range s.Bands {
		if !math.IsNaN(b.Low + b.Middle + b.High) {
			d.bands = append(d.bands, b)
		}
	}
	head := "What the answer hangs on"
	if d.name != "" {
		head = d.name + ": what the answer hangs on"
	}
	d.title = wrap(bold(large), head, chartWidth-2*margin, 2)
	d.facts = wrap(regular(normal), s.Sentence, chartWidth-2*margin, 3)
	height := 60 + titleStep*vg.Length(len(d.title)) + factStep*vg.Length(len(d.facts)) +
		bandStep*vg.Length(len(d.bands)) + drawnStep*vg.Length(len(d.bars())) + 90
	return &Picture{Title: plain(head), Alt: plain(d.alt()), width: chartWidth, height: height, draw: d.draw}
}

type drawsDrawing struct {
	sheet        DrawsSheet
	name         string
	title, facts []string
	bands        []DrawnBand
}

// mostBars is how many inputs are shown: beyond them nothing is to be seen.
const mostBars = 6

func (d *drawsDrawing) bars() []DrawnBar { return d.sheet.Bars[:min(mostBars, len(d.sheet.Bars))] }

func (b DrawnBar) size() float64 {
	if math.IsNaN(b.Total) {
		return math.Max(0, b.First)
	}
	return math.Max(0, b.Total)
}

func (d *drawsDrawing) draw(on paper) {
	y := on.Max.Y - 36
	for _, l := range d.title {
		on.write(bold(large), ink, vg.Point{X: margin, Y: y}, left, l)
		y -= titleStep
	}
	for _, l := range d.facts {
		on.write(regular(normal), ink, vg.Point{X: margin, Y: y}, left, l)
		y -= factStep
	}
	y -= 10
	on.write(regular(small), soft, vg.Point{X: margin, Y: y}, left,
		"Bar: 8 of 10 draws. Stroke: the middle draw. Diamond: as asked. Each figure has its own scale from zero.")
	y -= bandStep
	for _, b := range d.bands {
		b.draw(on, y)
		y -= bandStep
	}
	if len(d.bars()) == 0 {
		return
	}
	y -= 4
	on.write(bold(normal), ink, vg.Point{X: margin, Y: y}, left, "Share of the spread that goes with each input, %")
	y -= drawnStep
	for _, b := range d.bars() {
		b.draw(on, y)
		y -= drawnStep
	}
	on.write(regular(small), soft, vg.Point{X: margin, Y: y}, left,
		"Full: by itself. Outlined: together with other inputs, so these overlap. Whisker: 95 %.")
}

// draw puts one figure on its line. Its scale runs from zero, marked by a
// stroke, or from the least of its values, to the largest.
func (b DrawnBand) draw(on paper, y vg.Length) {
	low, high := math.Min(0, b.Low), b.High
	if !math.IsNaN(b.Stated) {
		low, high = math.Min(low, b.Stated), math.Max(high, b.Stated)
	}
	if high <= low {
		high = low + 1
	}
	x := func(v float64) vg.Length { return bandLeft + (bandRight-bandLeft)*vg.Length((v-low)/(high-low)) }
	on.write(regular(normal), ink, vg.Point{X: bandLeft - 14, Y: y - 5}, right, shorten(regular(normal), b.Name, bandLeft-margin-14))
	on.line(faint, 1, nil, vg.Point{X: bandLeft, Y: y}, vg.Point{X: bandRight, Y: y})
	on.fill(styles[1].ink, box(x(b.Low), y-6, max(x(b.High), x(b.Low)+2), y+6).Path())
	on.line(white, 2.5, nil, vg.Point{X: x(b.Middle), Y: y - 6}, vg.Point{X: x(b.Middle), Y: y + 6})
	if !math.IsNaN(b.Stated) {
		at := vg.Point{X: x(b.Stated), Y: y}
		on.fill(white, diamondPath(9, at))
		on.fill(ink, diamondPath(6.5, at))
	}
	text := fmt.Sprintf("%s to %s %s", decimal(b.Low, 1), decimal(b.High, 1), b.Unit)
	on.write(regular(small), ink, vg.Point{X: bandRight + 14, Y: y - 5}, left, text)
	on.line(ink, 1.2, nil, vg.Point{X: x(0), Y: y - 9}, vg.Point{X: x(0), Y: y + 9})
}

// draw puts one input on its line.
func (b DrawnBar) draw(on paper, y vg.Length) {
	x := func(v float64) vg.Length {
		return drawnLeft + (drawnRight-drawnLeft)*vg.Length(math.Min(1, math.Max(0, v)))
	}
	f := regular(small)
	on.write(f, ink, vg.Point{X: drawnLeft - 12, Y: y - 5}, right, shorten(f, b.Name, drawnLeft-margin-12))
	on.fill(styles[1].ink, box(drawnLeft, y-7, max(x(math.Min(b.First, b.size())), drawnLeft+1), y+7).Path())
	if !math.IsNaN(b.Total) {
		r := box(drawnLeft, y-7, max(x(b.Total), drawnLeft+1), y+7)
		on.outline(ink, 1.4, nil, r.Min, vg.Point{X: r.Max.X, Y: r.Min.Y}, r.Max, vg.Point{X: r.Min.X, Y: r.Max.Y})
		on.line(ink, 1.2, nil, vg.Point{X: x(b.Low), Y: y}, vg.Point{X: x(b.High), Y: y})
	}
	at := math.Max(b.size(), 0)
	if !math.IsNaN(b.High) {
		at = math.Max(at, b.High)
	}
	on.write(f, ink, vg.Point{X: x(at) + 8, Y: y - 5}, left, decimal(100*b.size(), 0)+" %")
}

func (d *drawsDrawing) alt() string {
	text := []string{d.sheet.Sentence}
	for _, b := range d.bands {
		s := fmt.Sprintf("%s: %s to %s %s in 8 of 10 draws", sentenceCase(b.Name), decimal(b.Low, 1), decimal(b.High, 1), b.Unit)
		if !math.IsNaN(b.Stated) {
			s += ", " + decimal(b.Stated, 1) + " as asked"
		}
		text = append(text, strings.ReplaceAll(s, "  ", " ")+".")
	}
	for _, b := range d.bars() {
		text = append(text, fmt.Sprintf("%s: %s %% of the spread.", sentenceCase(b.Name), decimal(100*b.size(), 0)))
	}
	return strings.Join(text, " ")
}
