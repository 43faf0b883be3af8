// Package minute answers the first minute: from taps and two sliders to one
// kind of answer and the forces behind it. Not knowing is always an answer, no
// name is asked for, and what must not wait is answered before any force is.
package minute

import (
	"tautline/kernel/scenario"
	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/unit"
)

// A Form is what a person taps in the first minute. Empty texts mean "don't
// know".
type Form struct {
	Danger   scenario.Answer // any sign of the list "stop and call someone"
	Type     mask.Type
	Size     string
	Face     string // of the catalogue
	Vented   scenario.Answer
	Magnets  scenario.Answer // in mask or headgear
	Implants scenario.Answer // in head, eye or chest, of the patient or whoever shares the bed
	Position string
	Highest  unit.Pressure // that will be met: the upper level of two, not the ramp
	Leak     unit.Flow     // read off the machine now, at that pressure
	LeakIs   Figure
	Oxygen   scenario.Answer
	Straps   string // "loose", "snug" or "tight"
	Air      Place
	Skin     Skin
	Mouth    scenario.Answer // open, asleep or now

	Limit unit.Flow     // of the unintentional leak; the user's own
	Line  unit.Pressure // reference line for the skin; the user's own
}

// A Figure is what a machine's number means.
type Figure int

// The figures. Machines differ, so the number alone says nothing.
const (
	FigureUnknown Figure = iota
	Unintentional        // what is left after the machine took its mask vent off
	Total                // mask vent and leak together
)

// A Place is where air is felt.
type Place int

// The places.
const (
	PlaceUnknown Place = iota
	AtBridge
	AtNoseSide
	AtCheek
	AtLip
	AtChin
	AtMouth
	AtAssembly // elbow, port cap, hose, humidifier lid
	Nowhere
)

// Sites gives the sites of the rim that a place stands for.
func (p Place) Sites() []face.Site {
	return map[Place][]face.Site{
		AtBridge:   {face.Bridge},
		AtNoseSide: {face.NoseSideLeft, face.NoseSideRight},
		AtCheek:    {face.CheekLeft, face.CheekRight, face.CornerLeft, face.CornerRight},
		AtLip:      {face.Lip, face.NostrilLeft, face.NostrilRight},
		AtChin:     {face.Chin},
	}[p]
}

// A Skin is what one sees under the mask.
type Skin int

// What is seen. On dark skin redness may not show.
const (
	SkinUnknown Skin = iota
	NoMark
	Fades  // a mark that fades when pressed
	Stays  // still there after 30 minutes
	Broken // does not fade when pressed, or is broken
)
