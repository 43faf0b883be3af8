// Package fit puts mask, face, straps, vent and circuit together and answers
// the three questions of a fitting: what happens at one pressure, what changes
// across a sweep, and which strap forces hold a whole therapy range.
package fit

import (
	"tautline/model/face"
	"tautline/model/unit"
)

// A Point is one balance: what the mask does at one set pressure.
type Point struct {
	Set  unit.Pressure // at the machine
	Mask unit.Pressure // what arrives at the mask

	StrapSet        unit.Force // sum of the strap pulls as set on the face at zero pressure
	StrapAtPressure unit.Force // sum of the strap pulls now, the straps stretched by the pressure
	Push            unit.Force // push of the cushion on the face, all sites together

	Vent unit.Flow // through the mask vent, intended
	Leak unit.Flow // past the cushion, unintentional

	LiftOff    unit.Pressure // mask pressure at which the first net margin reaches zero
	HasLiftOff bool          // false: it holds up to the highest pressure looked at
	Onset      unit.Pressure // mask pressure at which the leak passes 0.1 L/min
	HasOnset   bool
	OpensFirst face.Site // the site where that first margin is, or will be, reached

	Pose     Pose
	Sites    []SiteState    // in the order of face.Site
	Segments []SegmentState // round the rim, from the bridge towards the wearer's left

	Warnings []Warning
}

// A Pose is where the frame sits against the face, counted from the rim just
// touching a face that matches it.
type Pose struct {
	Distance unit.Length // towards the face
	Pitch    unit.Angle  // about the left-right axis; positive brings the top nearer
	Yaw      unit.Angle  // about the long axis; positive brings the wearer's left nearer
}

// A SiteState sums up the segments of one site.
type SiteState struct {
	Site        face.Site
	Contact     unit.Pressure // largest on the site
	ContactMean unit.Pressure // mean along the site
	Margin      unit.Pressure // smallest net margin: contact minus mask pressure
	Gap         unit.Length   // largest
	Leak        unit.Flow
	Crushed     bool // the cushion is crushed somewhere on the site
}

// A SegmentState is one short piece of the rim.
type SegmentState struct {
	Site     face.Site
	X, Y     unit.Length // in the rim's plane: X to the wearer's left, Y up
	Length   unit.Length // along the rim
	Width    unit.Length // of the contact
	Mismatch unit.Length // rim to face, undeformed; negative: the face stands proud
	Contact  unit.Pressure
	Margin   unit.Pressure
	Gap      unit.Length
	Leak     unit.Flow
	Crushed  bool
}

// A Warning names something outside what the numbers can be trusted for.
type Warning int

// The warnings, each with the sentence that package report gives it.
const (
	Crushed          Warning = iota // most of the cushion is crushed: a fold may bring leak back
	StrapSlack                      // at least one strap hangs loose
	VentExtrapolated                // the vent curve was left
	SourceLimit                     // the machine cannot hold the set pressure at this flow
	BelowWashout                    // vent flow under the washout floor
)

// A Variable is one thing that a sweep can vary.
type Variable string

// What can be swept.
const (
	ByStraps   Variable = "straps"
	ByBalance  Variable = "balance"
	BySize     Variable = "size"
	ByCushion  Variable = "cushion_days"
	ByPosition Variable = "position"
	ByPressure Variable = "pressure"
)

// A Row is one point of a sweep together with the settings that it holds for.
type Row struct {
	Settings
	Point
}

// Settings are the things that a person can change without changing the case.
type Settings struct {
	Straps   unit.Force    // sum of the pulls at zero pressure
	Balance  unit.Fraction // share of the pulls in the upper pair
	Size     string
	Cushion  unit.Time // days in use
	Position string    // "on the back"
	Pressure unit.Pressure
}
