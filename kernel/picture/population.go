package picture

import (
	"fmt"
	"image/color"
	"strings"

	"gonum.org/v1/plot/vg"

	"tautline/model/mask"
	"tautline/model/population"
)

// The sheet of a population, in pixels: panels side by side, a square for each
// bin.
const (
	binWide, binHigh vg.Length = 37, 37
	panelLeft        vg.Length = 62 // for the numbers of face length
	panelGap         vg.Length = 26
	mapHead, mapFoot vg.Length = 118, 150
	mapMargin        vg.Length = 24
	leastColumns     int       = 9
)

// Population maps the share of faces with a fit window over face length and
// width, one panel for each type of mask in the size chosen for the face. Each
// bin holds its share in per cent and, below, how many faces were drawn there;
// bins without any face are crossed out.
func Population(a population.Answer) *Picture {
	m := newFaceMap(a)
	return &Picture{Title: "Faces with a fit window, by face length and width", Alt: m.alt(),
		width: m.width(), height: mapHead + vg.Length(m.rows())*binHigh + mapFoot, draw: m.draw}
}

// A faceMap is the answer with the range of bins that occur.
type faceMap struct {
	population.Answer
	low, high [2]population.Millimetres // lower edges, of length and width
}

func newFaceMap(a population.Answer) *faceMap {
	m := &faceMap{Answer: a}
	first := true
	for _, t := range a.Types {
		for _, b := range t.Bins {
			for d, x := range [2]population.Millimetres{b.Length, b.Width} {
				if first {
					m.low[d], m.high[d] = x, x
				}
				m.low[d], m.high[d] = min(m.low[d], x), max(m.high[d], x)
			}
			first = false
		}
	}
	return m
}

func (m *faceMap) rows() int { return int((m.high[0]-m.low[0])/population.BinWidth) + 1 }
func (m *faceMap) columns() int {
	return max(leastColumns, int((m.high[1]-m.low[1])/population.BinWidth)+1)
}

func (m *faceMap) panelWidth() vg.Length { return panelLeft + vg.Length(m.columns())*binWide }

func (m *faceMap) width() vg.Length {
	n := vg.Length(max(1, len(m.Types)))
	return max(900, 2*mapMargin+n*m.panelWidth()+(n-1)*panelGap)
}

func (m *faceMap) draw(on paper) {
	top := mapFoot + vg.Length(m.rows())*binHigh + mapHead
	on.write(bold(large), ink, vg.Point{X: mapMargin, Y: top - 34}, left, "Share of faces with a fit window, in the size chosen for the face")
	q := m.Question
	facts := fmt.Sprintf("%d drawn faces, %s, %s to %s, leak under %s, contact under %s", m.Some.Faces, q.Case.Position.Name,
		decimal(q.Range[0].CmH2O(), 1), cmH2O(q.Range[1]), perMinute(q.Limit), mmHg(q.Line.Level(q.Worn)))
	on.write(regular(normal), soft, vg.Point{X: mapMargin, Y: top - 60}, left, facts)
	for i := range m.Types {
		m.panel(on, &m.Types[i], mapMargin+vg.Length(i)*(m.panelWidth()+panelGap))
	}
	m.key(on)
}

// panel draws one type with its axes.
func (m *faceMap) panel(on paper, t *population.TypeAnswer, x vg.Length) {
	x0, y0 := x+panelLeft, mapFoot
	y1 := y0 + vg.Length(m.rows())*binHigh
	title := fmt.Sprintf("%s: %s %%", typeTitle(t.Type), decimal(100*t.Chosen.Part(), 1))
	on.write(bold(normal), ink, vg.Point{X: x0, Y: y1 + 16}, left, title)
	for row := range m.rows() {
		for column := range m.columns() {
			m.crossed(on, x0+vg.Length(column)*binWide, y0+vg.Length(row)*binHigh)
		}
	}
	for i := range t.Bins {
		m.bin(on, &t.Bins[i], x0, y0)
	}
	m.axes(on, x, x0, y0, y1)
}

func typeTitle(t mask.Type) string {
	switch t {
	case mask.Oronasal:
		return "Oronasal (full face)"
	case mask.Pillows:
		return "Nasal pillows"
	}
	return strings.ToUpper(string(t[:1])) + string(t[1:])
}

// crossed is a bin in which no face was drawn.
func (m *faceMap) crossed(on paper, x, y vg.Length) {
	on.fill(mist, box(x, y, x+binWide-1, y+binHigh-1).Path())
	const arm = 4
	cx, cy := x+binWide/2, y+binHigh/2
	on.line(faint, 1, nil, vg.Point{X: cx - arm, Y: cy - arm}, vg.Point{X: cx + arm, Y: cy + arm})
	on.line(faint, 1, nil, vg.Point{X: cx - arm, Y: cy + arm}, vg.Point{X: cx + arm, Y: cy - arm})
}

func (m *faceMap) bin(on paper, b *population.Bin, x0, y0 vg.Length) {
	x := x0 + vg.Length((b.Width-m.low[1])/population.BinWidth)*binWide
	y := y0 + vg.Length((b.Length-m.low[0])/population.BinWidth)*binHigh
	share := b.Share.Part()
	ground := shareColor(share)
	on.fill(ground, box(x, y, x+binWide-1, y+binHigh-1).Path())
	letters := ink
	if share < 0.55 {
		letters = white
	}
	on.write(bold(small), letters, vg.Point{X: x + binWide/2, Y: y + 20}, centre, wholePercent(share))
	on.write(regular(small-2), letters, vg.Point{X: x + binWide/2, Y: y + 5}, centre, fmt.Sprint(b.Share.Faces))
}

// wholePercent never says 0 or 100 of what is only nearly so.
func wholePercent(share float64) string {
	p := int(100*share + 0.5)
	switch {
	case share > 0 && p == 0:
		p = 1
	case share < 1 && p == 100:
		p = 99
	}
	return fmt.Sprint(p)
}

func (m *faceMap) axes(on paper, x, x0, y0, y1 vg.Length) {
	for row := 0; row <= m.rows(); row += 2 {
		edge := int(m.low[0]) + row*int(population.BinWidth)
		on.write(regular(small), ink, vg.Point{X: x0 - 8, Y: y0 + vg.Length(row)*binHigh - 5}, right, fmt.Sprint(edge))
	}
	for column := 0; column <= m.columns(); column += 2 {
		edge := int(m.low[1]) + column*int(population.BinWidth)
		on.write(regular(small), ink, vg.Point{X: x0 + vg.Length(column)*binWide, Y: y0 - 20}, centre, fmt.Sprint(edge))
	}
	on.write(regular(normal), ink, vg.Point{X: x0 + vg.Length(m.columns())*binWide/2, Y: y0 - 42}, centre, "face width, mm")
	on.Push()
	on.Translate(vg.Point{X: x + 16, Y: (y0 + y1) / 2})
	on.Rotate(halfTurn / 2)
	on.write(regular(normal), ink, vg.Point{}, centre, "face length, mm")
	on.Pop()
}

const halfTurn = 3.141592653589793

// key explains colour, numbers and crosses along the foot.
func (m *faceMap) key(on paper) {
	const steps, wide = 50, vg.Length(220)
	x, y := mapMargin+panelLeft, vg.Length(44)
	on.write(bold(small), ink, vg.Point{X: x, Y: y + 26}, left, "Colour: faces with a fit window, %")
	for i := range steps {
		a, b := x+wide*vg.Length(i)/steps, x+wide*vg.Length(i+1)/steps
		on.fill(shareColor((float64(i)+0.5)/steps), box(a, y, b+0.3, y+18).Path())
	}
	for i, s := range []string{"0", "50", "100"} {
		share := vg.Length(i) / 2
		on.write(regular(small), ink, vg.Point{X: x + share*wide, Y: y - 18}, align(share), s)
	}
	x += wide + 60
	on.write(regular(small), ink, vg.Point{X: x, Y: y + 26}, left, "In a bin: per cent, and below it the faces drawn. A cross: no face drawn there.")
	on.write(regular(small), soft, vg.Point{X: x, Y: y + 6}, left, "Faces follow statistics of soldiers, not of sleep patients; masks are invented.")
	on.write(regular(small), soft, vg.Point{X: x, Y: y - 14}, left, "A fit window: some strap force keeps leak and contact under what was stated.")
}

// shareStops are five places of a scale from dark blue to yellow that people
// with any usual colour vision can order: cividis (J. R. Nuñez et al., PLoS ONE
// 2018;13:e0199239), rounded.
var shareStops = []color.NRGBA{{0, 34, 78, 255}, {65, 77, 107, 255}, {124, 123, 120, 255}, {188, 175, 111, 255}, {254, 232, 56, 255}}

func shareColor(share float64) color.NRGBA {
	at := min(max(share, 0), 1) * float64(len(shareStops)-1)
	i := min(int(at), len(shareStops)-2)
	a, b, t := shareStops[i], shareStops[i+1], at-float64(i)
	mix := func(p, q uint8) uint8 { return uint8(float64(p) + t*(float64(q)-float64(p)) + 0.5) }
	return color.NRGBA{mix(a.R, b.R), mix(a.G, b.G), mix(a.B, b.B), 255}
}

// alt says what the map shows, type by type, with its lightest and darkest
// bins of at least ten faces.
func (m *faceMap) alt() string {
	s := []string{fmt.Sprintf("Maps of face length against face width, in bins of %d mm, with the share of %d drawn faces that have a fit window in the size chosen for them.",
		population.BinWidth, m.Some.Faces)}
	for _, t := range m.Types {
		line := fmt.Sprintf("%s: %s %% of all", typeTitle(t.Type), decimal(100*t.Chosen.Part(), 1))
		var least, most *population.Bin
		for i := range t.Bins {
			b := &t.Bins[i]
			if b.Share.Faces < 10 {
				continue
			}
			if least == nil || b.Share.Part() < least.Share.Part() {
				least = b
			}
			if most == nil || b.Share.Part() > most.Share.Part() {
				most = b
			}
		}
		if least != nil {
			line += fmt.Sprintf("; from %s %% where faces are %d mm long and %d mm wide to %s %% at %d and %d mm",
				wholePercent(least.Share.Part()), least.Length, least.Width, wholePercent(most.Share.Part()), most.Length, most.Width)
		}
		s = append(s, line+".")
	}
	return strings.Join(s, " ")
}
