package face

import (
	"math"

	"tautline/model/unit"
)

// A Face is what the model knows of a person: where the face departs from an
// average one and what lies under the skin. The zero value is no face; take
// Average and change it.
type Face struct {
	Name  string
	About string // one sentence

	// Deviation is how far each site lies behind an average face; negative
	// where it stands proud.
	Deviation [SiteCount]unit.Length
	Tissue    [SiteCount]Tissue
	Beard     [SiteCount]unit.Length // length of the hair
	Features  []Feature

	// Length (chin to the root of the nose), Width (over the cheekbones) and
	// NoseWidth (across the nostrils) choose the size.
	Length    unit.Length
	Width     unit.Length
	NoseWidth unit.Length
}

// A Feature is something local on the skin that a smooth curve through the
// sites misses: a fold, a scar, a tube under the cushion.
type Feature struct {
	Site   Site
	Offset unit.Length // along the rim from the site's middle, towards the wearer's left from the bridge
	Width  unit.Length // half width at 60 % of the depth
	Depth  unit.Length // positive: a groove; negative: a ridge
}

// At gives the feature's share of the mismatch at a distance along the rim
// from its own middle: a bell curve, smooth as skin is.
func (f Feature) At(distance unit.Length) unit.Length {
	t := float64(distance / f.Width)
	return f.Depth * unit.Length(math.Exp(-t*t/2))
}

// HairGapRecord is the thickness of one beard hair.
var HairGapRecord = unit.Parameter{Name: "hair thickness", Symbol: "h", Meaning: "thickness of one beard hair",
	Unit: "um", Value: 76, Low: 20, High: 200, SD: 7, Origin: unit.Read,
	Source: "E. L. Floyd et al., J Occup Environ Hyg 2018;15:334-40"}

// HairGap gives the smallest gap that hair of a given length keeps under a
// cushion. It describes what was measured on respirators and explains nothing:
// hardly any leak up to 1.6 mm, steep beyond 3.2 mm (Floyd et al. 2018). The
// shape between is assumed.
func HairGap(length, hair unit.Length) unit.Length {
	const flat, steep = 1.6 * unit.Mm, 3.2 * unit.Mm
	switch {
	case length <= 0:
		return 0
	case length <= flat:
		return hair * 0.2 * length / flat
	case length <= steep:
		return hair * (0.2 + 0.3*(length-flat)/(steep-flat))
	}
	return hair * (0.5 + (length-steep)/steep)
}
