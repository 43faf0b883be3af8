package picture

import (
	"fmt"

	"gonum.org/v1/plot/vg"

	"tautline/model/unit"
)

// key explains colour, width, arrows and size along the foot of the sheet.
func (r *rim) key(on paper) {
	on.line(faint, 1, nil, vg.Point{X: margin, Y: keyTop + 12}, vg.Point{X: rimWidth - margin, Y: keyTop + 12})
	r.colorKey(on, margin, 300)
	r.bandKey(on, 372)
	r.arrowKey(on, 572)
	r.scaleBar(on, 728)
}

func (r *rim) keyTitle(on paper, x vg.Length, s string) {
	on.write(bold(small), ink, vg.Point{X: x, Y: keyTop - 10}, left, s)
}

// colorKey is the scale of net margins with its two meanings written under it.
func (r *rim) colorKey(on paper, x, width vg.Length) {
	r.keyTitle(on, x, "Colour: net margin, cmH2O")
	const steps = 60
	y0, y1 := keyTop-44, keyTop-24
	for i := range steps {
		a, b := x+width*vg.Length(i)/steps, x+width*vg.Length(i+1)/steps
		v := -1 + 2*(float64(i)+0.5)/steps
		on.fill(marginColor(unit.Pressure(v)*marginScale), box(a, y0, b+0.3, y1).Path())
	}
	on.outline(soft, 0.8, nil, box(x, y0, x+width, y1).Path()[0].Pos, vg.Point{X: x + width, Y: y0},
		vg.Point{X: x + width, Y: y1}, vg.Point{X: x, Y: y1})
	most := marginScale.CmH2O()
	labels := []string{"≤ −" + decimal(most, 0), "−" + decimal(most/2, 0), "0",
		"+" + decimal(most/2, 0), "≥ +" + decimal(most, 0)}
	for i, s := range labels {
		share := vg.Length(i) / vg.Length(len(labels)-1)
		on.line(ink, 1, nil, vg.Point{X: x + share*width, Y: y0}, vg.Point{X: x + share*width, Y: y0 - 5})
		on.write(regular(small), ink, vg.Point{X: x + share*width, Y: y0 - 19}, align(share), s)
	}
	on.write(regular(small), soft, vg.Point{X: x, Y: y0 - 38}, left, "lifted")
	on.write(regular(small), soft, vg.Point{X: x + width, Y: y0 - 38}, right, "holds")
}

// bandKey shows three widths; the numbers follow the scale in use.
func (r *rim) bandKey(on paper, x vg.Length) {
	r.keyTitle(on, x, "Width: contact, mmHg")
	reference := 40 * bandPerMmHg / r.band
	y := keyTop - 40
	for i, v := range []float64{0, reference / 4, reference} {
		w := thinnest + vg.Length(v*r.band)
		x0 := x + vg.Length(i)*56
		on.fill(faint, box(x0, y-w/2, x0+44, y+w/2).Path())
		on.write(regular(small), ink, vg.Point{X: x0 + 22, Y: keyTop - 70}, centre, decimal(v, 0))
	}
	if len(r.crushed()) > 0 {
		r.hatchKey(on, x, keyTop-101)
	}
}

func (r *rim) hatchKey(on paper, x, y vg.Length) {
	x1 := x + 40
	on.line(ink, 2.4, nil, vg.Point{X: x, Y: y}, vg.Point{X: x1, Y: y})
	on.line(ink, 2.4, nil, vg.Point{X: x, Y: y + 14}, vg.Point{X: x1, Y: y + 14})
	for h := x; h+8 <= x1; h += 8 {
		on.line(ink, 1.3, nil, vg.Point{X: h, Y: y}, vg.Point{X: h + 8, Y: y + 14})
	}
	on.write(regular(small), ink, vg.Point{X: x1 + 8, Y: y + 2}, left, "crushed cushion")
}

// arrowKey shows one arrow of a stated flow.
func (r *rim) arrowKey(on paper, x vg.Length) {
	r.keyTitle(on, x, "Arrow area: leak")
	reference := 5 * arrowPerLPM / r.arrow
	y := keyTop - 46
	drawArrow(on, arrow(vg.Point{X: x, Y: y}, vg.Point{X: 1}, r.arrow*reference))
	at := x + arrowLength(r.arrow*reference) + 8
	on.write(regular(small), ink, vg.Point{X: at, Y: y - 5}, left, decimal(reference, 0)+" L/min")
	on.write(regular(small), soft, vg.Point{X: x, Y: keyTop - 89}, left,
		fmt.Sprintf("total %s", perMinute(r.Leak)))
}

// scaleBar is two centimetres of the rim.
func (r *rim) scaleBar(on paper, x vg.Length) {
	r.keyTitle(on, x, "Rim to scale")
	w := r.frame.perMetre * 0.02
	y := keyTop - 48
	on.line(ink, 2, nil, vg.Point{X: x, Y: y}, vg.Point{X: x + w, Y: y})
	for _, end := range []vg.Length{x, x + w} {
		on.line(ink, 2, nil, vg.Point{X: end, Y: y - 6}, vg.Point{X: end, Y: y + 6})
	}
	on.write(regular(small), ink, vg.Point{X: x + w/2, Y: y - 21}, centre, "2 cm")
	on.write(regular(small), soft, vg.Point{X: x, Y: keyTop - 89}, left, "(band width is not)")
}
