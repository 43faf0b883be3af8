package picture

import (
	"fmt"
	"math"

	"gonum.org/v1/plot/vg"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

// The rim's sheet, in pixels: a column of labels on either side, the rim with
// room for arrows between them, the key below.
const (
	rimWidth vg.Length = 900

	rimBoxWidth, rimBoxHeight vg.Length = 400, 370 // the rim itself fits in here
	leastRim                  vg.Length = 210      // room that labels need beside a small one
	aboveRim                  vg.Length = 195      // title, headings and an arrow
	belowRim                  vg.Length = 107      // an arrow
	columnWidth               vg.Length = 178
	margin                    vg.Length = 18
	keyTop                    vg.Length = 112
	arrowRoom                 vg.Length = 86   // longest arrow
	bandRoom                  vg.Length = 46   // widest band
	mostPerMM                 vg.Length = 7.5  // pixels per millimetre, so that small things look small
	bandPerMmHg                         = 0.45 // pixels of band width, where it fits
	arrowPerLPM                         = 150  // square pixels of arrow, where it fits
	shortest                  vg.Length = 9    // an arrow below this would be a speck
)

// rim is a point made ready for drawing.
type rim struct {
	fit.Point
	options

	loops []loop
	frame rimFrame
	band  float64 // pixels of band per mmHg
	arrow float64 // square pixels of arrow per L/min
	cells []band
	old   *rim // the starting state on the same scales, if one was given
}

// Rim draws one balance as the wearer would see it from inside the mask, the
// wearer's left on the left: the contact as the band's width, the net margin as
// its colour, leaks as arrows whose area is the flow.
func Rim(p fit.Point, o ...Option) *Picture {
	r := newRim(p, o...)
	return &Picture{Title: plain(r.title()), Alt: plain(r.start.inWords(r.alt())),
		width: rimWidth, height: r.frame.height, draw: r.draw}
}

// newRim lays everything out.
func newRim(p fit.Point, o ...Option) *rim {
	r := &rim{Point: p, options: gather(o)}
	r.loops = loopsOf(p.Segments)
	r.frame = frameOf(append(r.start.loops(), r.loops...))
	r.band, r.arrow = r.scales()
	r.cells = r.bands()
	if r.old = r.start.beneath(r); r.old != nil {
		r.frame.height += greyRoom
	}
	return r
}

// scales picks the pixels per mmHg and per L/min: always the same ones where
// they fit, so that pictures can be compared, else halved until they do.
func (r *rim) scales() (band, arrow float64) {
	band, arrow = bandPerMmHg, arrowPerLPM
	room := float64(bandRoom)
	for _, l := range r.loops {
		room = math.Min(room, 0.7*l.smallestHalf()*float64(r.frame.perMetre))
	}
	for _, p := range append([]fit.Point{r.Point}, r.others...) {
		for _, s := range p.Segments {
			for band > 1e-12 && band*finite(s.Contact.MmHg()) > room {
				band /= 2
			}
		}
		for _, l := range allLeaks(loopsOf(p.Segments)) {
			for arrow > 1e-12 && arrowLength(arrow*l.flow.LPerMin()) > arrowRoom {
				arrow /= 2
			}
		}
	}
	return band, arrow
}

// draw puts everything on the sheet, from the ground up.
func (r *rim) draw(on paper) {
	r.heading(on)
	for _, l := range r.loops {
		on.fill(mist, polygon(r.frame.all(l)))
	}
	r.labels(on)
	r.drawBands(on)
	if r.old != nil {
		r.old.trace(on)
	}
	r.drawArrows(on)
	r.markFirst(on)
	r.key(on)
}

func (r *rim) title() string {
	if r.name == "" {
		return "The rim, seen from inside the mask, at " + cmH2O(r.Set)
	}
	return r.name
}

// facts is the line below the title.
func (r *rim) facts() string {
	return fmt.Sprintf("Set %s, %s at the mask · straps %s, %s at pressure · leak %s, mask vent %s",
		cmH2O(r.Set), decimal(r.Mask.CmH2O(), 1), newton(r.StrapSet), newton(r.StrapAtPressure),
		perMinute(r.Leak), perMinute(r.Vent))
}

func (r *rim) heading(on paper) {
	y := r.frame.height - 36
	lines := wrap(bold(large), r.title(), rimWidth-2*margin, 2)
	for _, l := range lines {
		on.write(bold(large), ink, vg.Point{X: margin, Y: y}, left, l)
		y -= 26
	}
	facts := shorten(regular(normal), r.facts(), rimWidth-2*margin)
	on.write(regular(normal), ink, vg.Point{X: margin, Y: y + 1}, left, facts)
	if r.old != nil {
		y -= greyRoom
		r.greyKey(on, y)
	}
	y -= 32
	on.write(bold(small), soft, vg.Point{X: margin, Y: y}, left, "← WEARER’S LEFT")
	on.write(regular(small), soft, vg.Point{X: rimWidth / 2, Y: y}, centre, "seen from inside the mask")
	on.write(bold(small), soft, vg.Point{X: rimWidth - margin, Y: y}, right, "WEARER’S RIGHT →")
	if len(r.loops) == 0 {
		on.write(regular(normal), soft, vg.Point{X: rimWidth / 2, Y: r.frame.middle}, centre,
			"There is no rim to draw.")
	}
}

// alt tells the picture in words, sites in the order of the tables.
func (r *rim) alt() string {
	var sites, leaks []string
	for _, s := range r.Sites {
		sites = append(sites, fmt.Sprintf("%s %s (%s)", siteName(s.Site), mmHg(s.Contact), signed(s.Margin)))
		if s.Leak.LPerMin() >= 0.05 {
			leaks = append(leaks, siteName(s.Site)+" "+perMinute(s.Leak))
		}
	}
	text := fmt.Sprintf("The rim, seen from inside the mask: set %s, %s at the mask, straps %s.",
		cmH2O(r.Set), cmH2O(r.Mask), newton(r.StrapSet))
	if r.name != "" {
		text = r.name + ". " + text
	}
	if len(sites) > 0 {
		text += " Largest contact, with the smallest net margin in brackets: " + join(sites) + "."
	}
	text += " Leak " + perMinute(r.Leak)
	if len(leaks) > 0 {
		text += ": " + join(leaks)
	}
	text += "."
	if first := r.firstWords(); first != "" {
		text += " The " + siteName(r.OpensFirst) + " " + first + "."
	}
	if crushed := r.crushed(); len(crushed) > 0 {
		text += " Crushed: " + join(crushed) + "."
	}
	return text
}

// firstWords says when the first site opens; nothing when the rim lacks it.
func (r *rim) firstWords() string {
	if _, ok := r.site(r.OpensFirst); !ok {
		return ""
	}
	if r.HasLiftOff {
		return "opens first, " + atLift(r.Point)
	}
	return "would open first"
}

func (r *rim) site(want face.Site) (fit.SiteState, bool) {
	for _, s := range r.Sites {
		if s.Site == want {
			return s, true
		}
	}
	return fit.SiteState{}, false
}

func (r *rim) crushed() []string {
	var names []string
	for _, s := range r.Sites {
		if s.Crushed {
			names = append(names, siteName(s.Site))
		}
	}
	return names
}

func siteName(s face.Site) string {
	if s < 0 || s >= face.SiteCount {
		return "unknown site"
	}
	return s.String()
}

// marginScale is the margin at which the colours stop changing: the scale is
// the same in every picture, and what matters happens around zero.
const marginScale = 20 * unit.CmH2O
