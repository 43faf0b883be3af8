package picture

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/png"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
)

// The size of a plot that somebody made.
const plotWidth, plotHeight vg.Length = 640, 420

// Plot draws a plot that somebody made with gonum/plot.
func Plot(p *plot.Plot) *Picture {
	title := p.Title.Text
	if title == "" {
		title = "A plot"
	}
	return &Picture{Title: title, Alt: plotAlt(p), width: plotWidth, height: plotHeight,
		draw: func(on paper) { p.Draw(on.Canvas) }}
}

// plotAlt says what can be known of a plot without looking into it.
func plotAlt(p *plot.Plot) string {
	return "A plot" + axisAlt(", across", p.X) + axisAlt("; up", p.Y) + "."
}

func axisAlt(way string, a plot.Axis) string {
	if math.IsInf(a.Min, 0) || math.IsInf(a.Max, 0) || math.IsNaN(a.Min+a.Max) {
		return ""
	}
	label := a.Label.Text
	if label == "" {
		label = "a number without a name"
	}
	return fmt.Sprintf("%s %s from %.4g to %.4g", way, label, a.Min, a.Max)
}

// DrawImage puts pixels in as they are; of the pictures here only a plot that
// somebody made can hold any.
func (c *svgCanvas) DrawImage(r vg.Rectangle, img image.Image) {
	var b bytes.Buffer
	if png.Encode(&b, img) != nil {
		return
	}
	x0, y0 := c.m.apply(r.Min)
	x1, y1 := c.m.apply(r.Max)
	fmt.Fprintf(&c.body, `<image x="%s" y="%s" width="%s" height="%s" preserveAspectRatio="none" href="data:image/png;base64,%s"/>`+"\n",
		num(math.Min(x0, x1)), num(math.Min(y0, y1)), num(math.Abs(x1-x0)), num(math.Abs(y1-y0)),
		base64.StdEncoding.EncodeToString(b.Bytes()))
}
