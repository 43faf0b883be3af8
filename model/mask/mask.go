// Package mask describes masks: type and size, the rim's shape, the cushion and
// its flap, where the straps hold, the vent, and how a cushion ages. The
// catalogue's masks are invented for teaching.
package mask

import (
	"reflect"

	"tautline/model/face"
	"tautline/model/unit"
	"tautline/model/vent"
)

// A Type is a kind of mask, by the part of the face that it encloses.
type Type string

// The types in the catalogue. The structure holds others too (under-nose
// cradle, under-nose full face, total face): a type is its landmarks, its rims
// and its straps.
const (
	Oronasal Type = "oronasal" // full face: nose and mouth
	Nasal    Type = "nasal"
	Pillows  Type = "pillows" // nasal pillows, two small cushions at the nostrils
)

// A Mask is one type in one size, with everything that pressing it on a face
// needs.
type Mask struct {
	Name string
	Type Type
	Size string

	Rims    []Rim       // one closed curve, or two for pillows
	Width   unit.Length // of the contact band, centred on the rim
	Cushion Cushion
	Straps  []Strap
	Weight  unit.Force

	// Profile is the mismatch that the mask leaves on an average face at each
	// site: positive, the rim stands off; negative, the face stands proud.
	Profile [face.SiteCount]unit.Length
	// FitsLength, FitsWidth and FitsNose are the face that the size is drawn
	// for; PerLength, PerWidth and PerNose what a millimetre too large does at
	// each site.
	FitsLength, FitsWidth, FitsNose unit.Length
	PerLength, PerWidth, PerNose    [face.SiteCount]float64

	Vent      vent.Vent
	DeadSpace float64 // m3 of air between face and vent
}

// A Rim is one closed curve in the mask's plane with its landmarks.
type Rim struct {
	// An oval: Width across, Height up, narrower at the top by Taper (0 to 1),
	// its middle at CentreX, CentreY.
	Width, Height    unit.Length
	Taper            float64
	CentreX, CentreY unit.Length
	// Points, when given, replace the oval: the corners of a closed curve from
	// the bridge (top) round either way, joined smoothly.
	Points [][2]unit.Length

	Landmarks []Landmark
}

// A Landmark is the middle of a site, as an angle seen from the rim's middle:
// 0 at the top, 90 deg on the wearer's left, 180 deg at the bottom.
type Landmark struct {
	Site  face.Site
	Angle unit.Angle
}

// A Cushion is a soft wall with a membrane flap at its edge.
type Cushion struct {
	Stiffness  unit.Foundation // wall alone
	Bottoming  unit.Length     // how far the wall gives way before it stiffens
	Stiffening float64         // how many times stiffer it is then
	Crushing   float64         // depth at which it counts as crushed, over Bottoming
	FlapShare  unit.Fraction   // of the mask pressure that the flap adds to the contact
	FlapReach  unit.Length     // how far the flap follows a receding skin
}

// A Strap holds the frame at one point and pulls in one direction.
type Strap struct {
	Name        string
	Upper, Left bool
	X, Y        unit.Length // where it holds, in the rim's plane
	Height      unit.Length // above that plane, away from the face
	Angle       unit.Angle  // between the pull and the mask's normal
	Azimuth     unit.Angle  // of the rest of the pull: 0 to the wearer's left, 90 deg up
	Stiffness   unit.Stiffness
	Pull        unit.Force // when stated strap by strap; else 0 and the fit shares out the sum
}

// Sites lists the sites that the mask touches, in table order.
func (m *Mask) Sites() []face.Site {
	var on [face.SiteCount]bool
	for _, r := range m.Rims {
		for _, l := range r.Landmarks {
			on[l.Site] = true
		}
	}
	var sites []face.Site
	for s, there := range on {
		if there {
			sites = append(sites, face.Site(s))
		}
	}
	return sites
}

// Mismatch gives the mask's mismatch on a face at a site: what the profile
// leaves on an average face, the face's own departure, and what a size too
// large or too small does.
func (m *Mask) Mismatch(f *face.Face, s face.Site) unit.Length {
	return m.Profile[s] + f.Deviation[s] +
		unit.Length(m.PerLength[s])*(m.FitsLength-f.Length) +
		unit.Length(m.PerWidth[s])*(m.FitsWidth-f.Width) +
		unit.Length(m.PerNose[s])*(m.FitsNose-f.NoseWidth)
}

// Resized gives the mask in another size: the other's rim, frame and vent, but
// this one's own cushion, contact width, straps' stiffness and profile, which
// may have been stated.
func (m Mask) Resized(to Mask) Mask {
	to.Width, to.Cushion, to.Profile = m.Width, m.Cushion, m.Profile
	to.Vent, to.Weight = m.Vent, m.Weight
	for i := range to.Straps {
		if i < len(m.Straps) && len(m.Straps) == len(to.Straps) {
			to.Straps[i].Stiffness, to.Straps[i].Pull = m.Straps[i].Stiffness, m.Straps[i].Pull
			to.Straps[i].Angle, to.Straps[i].Azimuth, to.Straps[i].Height = m.Straps[i].Angle, m.Straps[i].Azimuth, m.Straps[i].Height
		}
	}
	return to
}

// OwnRim tells whether the rim was stated rather than taken from the
// catalogue, so that another size would not be another size of this mask.
func (m *Mask) OwnRim() bool {
	c, err := Find(m.Type, m.Size)
	return err != nil || !reflect.DeepEqual(c.Rims, m.Rims)
}
