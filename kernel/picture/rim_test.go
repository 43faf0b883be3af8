package picture

import (
	"math"
	"sort"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

func area(pts []vg.Point) float64 {
	sum := 0.0
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		sum += float64(p.X*q.Y - q.X*p.Y)
	}
	return math.Abs(sum) / 2
}

// TestArrowArea measures arrows by the shoelace formula.
func TestArrowArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.Float64Range(1, 1e5).Draw(t, "area")
		turn := rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn")
		direction := vg.Point{X: vg.Length(math.Cos(turn)), Y: vg.Length(math.Sin(turn))}
		if got := area(arrow(vg.Point{X: 3, Y: 4}, direction, want)); math.Abs(got/want-1) > 1e-9 {
			t.Fatalf("area %g, wanted %g", got, want)
		}
	})
}

func drawn(p fit.Point, o ...Option) *rim {
	r := &rim{Point: p, options: gather(o)}
	r.loops = loopsOf(p.Segments)
	r.frame = frameOf(r.loops)
	r.band, r.arrow = r.scales()
	r.cells = r.bands()
	return r
}

// TestArrowsFollowLeaks compares the two arrows of one picture, and where they
// stand: the wearer's left is on the left.
func TestArrowsFollowLeaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.Float64Range(1, 200).Draw(t, "left")
		// One that is far smaller cannot be seen beside the other.
		r := l * rapid.Float64Range(0.2, 5).Draw(t, "right over left")
		v := oronasal()
		v.leaking = map[face.Site]unit.Flow{face.CheekLeft: unit.Flow(l) * unit.LPerMin, face.CornerRight: unit.Flow(r) * unit.LPerMin}
		d := drawn(v.point())
		arrows := d.arrows()
		if len(arrows) != 2 {
			t.Fatalf("%d arrows for leaks of %g and %g", len(arrows), l, r)
		}
		if got := area(arrows[0]) / area(arrows[1]); math.Abs(got/(l/r)-1) > 1e-9 {
			t.Fatalf("areas as %g for leaks as %g", got, l/r)
		}
		if arrows[0][0].X > rimWidth/2 || arrows[1][0].X < rimWidth/2 {
			t.Fatal("left and right are exchanged")
		}
		for _, a := range arrows {
			if away(a[3]) < away(a[0]) {
				t.Fatal("an arrow points inwards")
			}
		}
	})
}

// away is the distance from the middle of an oronasal rim's sheet.
func away(p vg.Point) float64 {
	middle := frameOf(loopsOf(oronasal().point().Segments)).middle
	return math.Hypot(float64(p.X-rimWidth/2), float64(p.Y-middle))
}

// TestBandWidth: beyond the line that is always there, width is contact.
func TestBandWidth(t *testing.T) {
	for _, p := range []fit.Point{nasal().point(), oronasal().point(), pillows(30*unit.MmHg, 12*unit.MmHg, 0)} {
		d := drawn(p)
		for _, b := range d.cells {
			if got, want := float64(2*b.half-thinnest), b.Contact.MmHg()*d.band; math.Abs(got-want) > 1e-9 {
				t.Fatalf("%g px for %v", got, b.Contact)
			}
		}
	}
}

// TestSharedScales: with ScaledFor the same contact has the same width.
func TestSharedScales(t *testing.T) {
	tight := nasal()
	tight.contact = map[face.Site]unit.Pressure{face.Bridge: 300 * unit.MmHg}
	tight.leaking = map[face.Site]unit.Flow{face.CheekLeft: 300 * unit.LPerMin}
	a, b := nasal().point(), tight.point()
	alone, together, other := drawn(a), drawn(a, ScaledFor(b)), drawn(b)
	if together.band != other.band || together.arrow != other.arrow {
		t.Error("two pictures of one comparison have different scales")
	}
	if alone.band <= together.band || alone.arrow <= together.arrow {
		t.Error("the larger picture does not set the scale")
	}
}

// TestMirror: a mirrored wearer gives the mirrored drawing, bands and arrows.
func TestMirror(t *testing.T) {
	v := oronasal()
	v.leaking = map[face.Site]unit.Flow{face.CheekLeft: 5 * unit.LPerMin, face.Chin: 9 * unit.LPerMin}
	p := v.point()
	a, b := drawn(p), drawn(mirrored(p))
	want, got := corners(a, true), corners(b, false)
	if len(want) != len(got) {
		t.Fatalf("%d corners against %d", len(want), len(got))
	}
	for i := range want {
		if math.Abs(want[i][0]-got[i][0])+math.Abs(want[i][1]-got[i][1]) > 1e-6 {
			t.Fatalf("corner %d at %v, its mirror at %v", i, want[i], got[i])
		}
	}
}

// mirrored exchanges left and right: the list runs round the other way.
func mirrored(p fit.Point) fit.Point {
	n := len(p.Segments)
	out := p
	out.Segments = make([]fit.SegmentState, n)
	for i, s := range p.Segments {
		s.X, s.Site = -s.X, s.Site.Mirror()
		out.Segments[n-1-i] = s
	}
	return out
}

// corners lists all corners of bands, arrows and marks, sorted.
func corners(r *rim, flip bool) [][2]float64 {
	var all [][2]float64
	add := func(p vg.Point) {
		x := float64(p.X)
		if flip {
			x = float64(rimWidth) - x
		}
		all = append(all, [2]float64{math.Round(x*1e7) / 1e7, math.Round(float64(p.Y)*1e7) / 1e7})
	}
	for _, b := range r.cells {
		for _, p := range b.shape() {
			add(p)
		}
	}
	for _, a := range r.arrows() {
		for _, p := range a {
			add(p)
		}
	}
	for _, s := range r.firstSpots() {
		add(s.at)
	}
	sort.Slice(all, func(i, j int) bool {
		if all[i][1] != all[j][1] {
			return all[i][1] < all[j][1]
		}
		return all[i][0] < all[j][0]
	})
	return all
}

// TestNumbersFollow changes one input after the other and wants to read it.
func TestNumbersFollow(t *testing.T) {
	base := nasal()
	texts := func(p fit.Point) string { return string(Rim(p).SVG()) }
	for want, change := range map[string]func(*fit.Point){
		"Set 17.3 cmH2O":                         func(p *fit.Point) { p.Set = 17.3 * unit.CmH2O },
		"9.1 at the mask":                        func(p *fit.Point) { p.Mask = 9.1 * unit.CmH2O },
		"straps 5.7 N":                           func(p *fit.Point) { p.StrapSet = 5.7 },
		"6.6 N at pressure":                      func(p *fit.Point) { p.StrapAtPressure = 6.6 },
		"leak 8.8 L/min":                         func(p *fit.Point) { p.Leak = 8.8 * unit.LPerMin },
		"mask vent 44 L/min":                     func(p *fit.Point) { p.Vent = 44 * unit.LPerMin },
		"at 19.9 cmH2O":                          func(p *fit.Point) { p.LiftOff = 19.9 * unit.CmH2O },
		"would open first":                       func(p *fit.Point) { p.HasLiftOff = false },
		"77 mmHg":                                func(p *fit.Point) { p.Sites[0].Contact = 77 * unit.MmHg },
		"margin −3.4 cmH2O":                      func(p *fit.Point) { p.Sites[1].Margin = -3.4 * unit.CmH2O },
		"leak 2.2 L/min":                         func(p *fit.Point) { p.Sites[2].Leak = 2.2 * unit.LPerMin },
		"crushed cushion":                        func(p *fit.Point) { p.Sites[0].Crushed = true },
		"Crushed: " + face.Bridge.String() + ".": func(p *fit.Point) { p.Sites[0].Crushed = true },
	} {
		p := base.point()
		if strings.Contains(texts(p), want) {
			t.Fatalf("%q is there before", want)
		}
		change(&p)
		if !strings.Contains(texts(p), want) {
			t.Errorf("%q is missing", want)
		}
	}
}

// TestSegmentsFollow: a change of one segment alone moves the drawing.
func TestSegmentsFollow(t *testing.T) {
	for name, change := range map[string]func(*fit.SegmentState){
		"contact": func(s *fit.SegmentState) { s.Contact += 9 * unit.MmHg },
		"margin":  func(s *fit.SegmentState) { s.Margin = -5 * unit.CmH2O },
		"leak":    func(s *fit.SegmentState) { s.Leak = 3 * unit.LPerMin },
		"place":   func(s *fit.SegmentState) { s.X += unit.Mm },
		"crushed": func(s *fit.SegmentState) { s.Crushed = true },
	} {
		p := nasal().point()
		before := string(Rim(p).SVG())
		change(&p.Segments[17])
		if string(Rim(p).SVG()) == before {
			t.Errorf("the picture does not show the %s of a segment", name)
		}
	}
}

// TestBadNumbers draws points with anything in them.
func TestBadNumbers(t *testing.T) {
	odd := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e300, 0, -1}
	rapid.Check(t, func(t *rapid.T) {
		p := oronasal().point()
		pick := func() float64 { return rapid.SampledFrom(odd).Draw(t, "odd") }
		i := rapid.IntRange(0, len(p.Segments)-1).Draw(t, "segment")
		s := &p.Segments[i]
		switch rapid.IntRange(0, 4).Draw(t, "field") {
		case 0:
			s.X, s.Y = unit.Length(pick()), unit.Length(pick())
		case 1:
			s.Contact, s.Margin = unit.Pressure(pick()), unit.Pressure(pick())
		case 2:
			s.Leak, s.Length = unit.Flow(pick()), unit.Length(pick())
		case 3:
			p.Set, p.Mask, p.LiftOff = unit.Pressure(pick()), unit.Pressure(pick()), unit.Pressure(pick())
		case 4:
			p.OpensFirst, p.Sites[0].Site = face.Site(rapid.IntRange(-3, 40).Draw(t, "site")), face.Site(99)
			p.Sites[1].Contact, p.Sites[1].Leak = unit.Pressure(pick()), unit.Flow(pick())
		}
		svg := Rim(p).SVG()
		if _, err := elements(svg); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(svg), "NaN") {
			t.Fatal("NaN in the file")
		}
	})
}

// TestMarginColor: pale at zero, orange below, blue above, further out the
// stronger, and never further than the ends of the scale.
func TestMarginColor(t *testing.T) {
	channel := func(p unit.Pressure) (r, b float64) {
		cr, _, cb, _ := marginColor(p).RGBA()
		return float64(cr), float64(cb)
	}
	rapid.Check(t, func(t *rapid.T) {
		p := unit.Pressure(rapid.Float64Range(1, 20).Draw(t, "p")) * unit.CmH2O
		r, b := channel(p)
		if b <= r {
			t.Fatalf("a margin of %v is not blue", p)
		}
		if r, b = channel(-p); r <= b {
			t.Fatalf("a margin of -%v is not orange", p)
		}
	})
	if hexColor(marginColor(1e9)) != hexColor(marginColor(marginScale)) {
		t.Error("the scale does not end")
	}
	if hexColor(marginColor(unit.Pressure(math.NaN()))) != hexColor(marginColor(0)) {
		t.Error("no colour for an unknown margin")
	}
}

// TestLoops: pillows are two, a mask is one, an opened list is none.
func TestLoops(t *testing.T) {
	for want, p := range map[int]fit.Point{1: nasal().point(), 2: pillows(1, 1, 0), 0: {}} {
		if got := len(loopsOf(p.Segments)); got != want {
			t.Errorf("%d loops, wanted %d", got, want)
		}
	}
}

// TestSeam: a leak across the start of the list is one arrow, in the middle.
func TestSeam(t *testing.T) {
	v := oronasal()
	v.leaking = map[face.Site]unit.Flow{face.Bridge: 5 * unit.LPerMin}
	arrows := drawn(v.point()).arrows()
	if len(arrows) != 1 {
		t.Fatalf("%d arrows for one leak", len(arrows))
	}
	if tip := arrows[0][3]; math.Abs(float64(tip.X-rimWidth/2)) > 1e-6 {
		t.Errorf("the arrow of a symmetric leak ends at %v", tip)
	}
}
