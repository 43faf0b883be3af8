// Command draw makes the kernel's logos: a mask's outline between two taut
// straps. Run it by go generate in the folder above.
package main

import (
	"bytes"
	"fmt"
	"image/color"
	"io"
	"log"
	"math"
	"os"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// The colours are chosen to stand out on white and on black.
var (
	ground = color.RGBA{0x1d, 0x3b, 0x4f, 0xff}
	strap  = color.RGBA{0xf0, 0xa0, 0x30, 0xff}
	mask   = color.RGBA{0xff, 0xff, 0xff, 0xff}
)

func main() {
	for _, size := range []int{32, 64} {
		// At 72 dots per inch a point is a pixel.
		c := vgimg.NewWith(vgimg.UseWH(vg.Length(size), vg.Length(size)), vgimg.UseDPI(72), vgimg.UseBackgroundColor(color.Transparent))
		draw(c, float64(size))
		save(fmt.Sprintf("logos/logo-%dx%d.png", size, size), vgimg.PngCanvas{Canvas: c})
	}
	c := vgsvg.New(64, 64)
	draw(c, 64)
	save("logos/logo-svg.svg", c)
}

func save(name string, w io.WriterTo) {
	var b bytes.Buffer
	if _, err := w.WriteTo(&b); err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
		log.Fatal(err)
	}
}

// draw works in a square of size 1 with its origin at the bottom left.
func draw(c vg.Canvas, size float64) {
	at := func(x, y float64) vg.Point { return vg.Point{X: vg.Length(x * size), Y: vg.Length(y * size)} }
	long := func(x float64) vg.Length { return vg.Length(x * size) }

	c.SetColor(ground)
	c.Fill(rounded(at, long, 0.02, 0.98, 0.2))

	c.SetColor(strap)
	c.SetLineWidth(long(0.07))
	for _, s := range [][4]float64{{0.02, 0.70, 0.43, 0.62}, {0.98, 0.70, 0.57, 0.62}, {0.02, 0.24, 0.32, 0.32}, {0.98, 0.24, 0.68, 0.32}} {
		var p vg.Path
		p.Move(at(s[0], s[1]))
		p.Line(at(s[2], s[3]))
		c.Stroke(p)
	}

	c.SetColor(mask)
	c.SetLineWidth(long(0.09))
	c.Stroke(rim(at))
}

// rim is a mask's rim as seen from the front: narrow at the nose's bridge, wide
// at the lip.
func rim(at func(x, y float64) vg.Point) vg.Path {
	var p vg.Path
	p.Move(at(0.5, 0.82))
	p.CubeTo(at(0.60, 0.82), at(0.60, 0.68), at(0.66, 0.52))
	p.CubeTo(at(0.72, 0.38), at(0.78, 0.20), at(0.60, 0.19))
	p.CubeTo(at(0.54, 0.185), at(0.46, 0.185), at(0.40, 0.19))
	p.CubeTo(at(0.22, 0.20), at(0.28, 0.38), at(0.34, 0.52))
	p.CubeTo(at(0.40, 0.68), at(0.40, 0.82), at(0.5, 0.82))
	p.Close()
	return p
}

// rounded is a square with round corners.
func rounded(at func(x, y float64) vg.Point, long func(float64) vg.Length, lo, hi, r float64) vg.Path {
	var p vg.Path
	p.Move(at(lo+r, lo))
	corners := []struct{ x, y, start float64 }{{hi - r, lo + r, -math.Pi / 2}, {hi - r, hi - r, 0}, {lo + r, hi - r, math.Pi / 2}, {lo + r, lo + r, math.Pi}}
	for _, k := range corners {
		p.Arc(at(k.x, k.y), long(r), k.start, math.Pi/2)
	}
	p.Close()
	return p
}
