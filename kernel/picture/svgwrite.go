package picture

import (
	"fmt"
	"image/color"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"
)

// data writes a path. Arcs become short straight pieces: they are small here,
// and a polygon needs no special case for a full circle.
func (c *svgCanvas) data(path vg.Path) string {
	var b strings.Builder
	to := func(letter string, pts ...vg.Point) {
		b.WriteString(letter)
		for i, p := range pts {
			x, y := c.m.apply(p)
			if i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(num(x) + " " + num(y))
		}
	}
	for _, comp := range path {
		switch comp.Type {
		case vg.MoveComp:
			to("M", comp.Pos)
		case vg.LineComp:
			to("L", comp.Pos)
		case vg.ArcComp:
			to("L", arcPoints(comp)...)
		case vg.CurveComp:
			letter := map[int]string{1: "Q", 2: "C"}[len(comp.Control)]
			to(letter, append(append([]vg.Point{}, comp.Control...), comp.Pos)...)
		case vg.CloseComp:
			b.WriteByte('Z')
		}
	}
	return b.String()
}

// arcPoints follows an arc with a point at least every 10 degrees.
func arcPoints(a vg.PathComp) []vg.Point {
	n := int(math.Ceil(math.Abs(a.Angle)/(math.Pi/18))) + 1
	pts := make([]vg.Point, n)
	for i := range pts {
		sin, cos := math.Sincos(a.Start + a.Angle*float64(i)/float64(n-1))
		pts[i] = vg.Point{X: a.Pos.X + a.Radius*vg.Length(cos), Y: a.Pos.Y + a.Radius*vg.Length(sin)}
	}
	return pts
}

// num writes a coordinate with two decimals and no trailing zeros. What is not
// a number has no place on a sheet; it lands in the corner instead of spoiling
// the file.
func num(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		x = 0
	}
	s := strconv.FormatFloat(x, 'f', 2, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func hexColor(k color.Color) string {
	c := color.NRGBAModel.Convert(orBlack(k)).(color.NRGBA)
	return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
}

func opacity(what string, k color.Color) string {
	c := color.NRGBAModel.Convert(orBlack(k)).(color.NRGBA)
	if c.A == 255 {
		return ""
	}
	return fmt.Sprintf(` %s-opacity="%s"`, what, num(float64(c.A)/255))
}

func orBlack(k color.Color) color.Color {
	if k == nil {
		return color.Black
	}
	return k
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;")

// escape makes any string fit for XML. Control characters are not allowed there
// at all, so they become spaces.
func escape(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < 0x20 || r == 0xFFFE || r == 0xFFFF {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
	return escaper.Replace(s)
}
