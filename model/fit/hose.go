package fit

import (
	"math"

	"tautline/model/seal"
	"tautline/model/unit"
)

// A Hose is what hangs on the mask's elbow. With no pull it is supported. The
// face's own friction carries the pull sideways; what the seal feels is the
// tilt, because the elbow stands off the rim.
type Hose struct {
	Pull   unit.Force  // along the face
	Toward unit.Angle  // 0 to the wearer's left, 90 degrees up
	Height unit.Length // of the elbow above the rim's plane
}

const assumedHose = "assumed; no published figure found"

// The records of the hose.
var (
	HosePull = unit.Parameter{Name: "hose pull", Unit: "N", Value: 0, Low: 0, High: 10,
		Meaning: "pull of the hose on the elbow, along the face; none when it is supported",
		Origin:  unit.Assumed, Source: "a supported hose; common practice, no source"}
	HoseToward = unit.Parameter{Name: "hose direction", Unit: "deg", Value: -90, Low: -360, High: 360,
		Meaning: "direction of its pull: 0 to the wearer's left, 90 up, -90 towards the feet",
		Origin:  unit.Assumed, Source: assumedHose}
	HoseHeight = unit.Parameter{Name: "elbow height", Unit: "mm", Value: 40, Low: 0, High: 120,
		Meaning: "how far the elbow stands off the rim's plane", Origin: unit.Assumed, Source: assumedHose}
)

// HoseParameters lists the records of the hose.
func HoseParameters() []unit.Parameter { return []unit.Parameter{HosePull, HoseToward, HoseHeight} }

// supportedHose hangs on nothing.
func supportedHose() Hose {
	return Hose{Toward: unit.Angle(HoseToward.SI()), Height: unit.Length(HoseHeight.SI())}
}

// load gives the tilt that the hose causes: pull times the elbow's height. A
// pull towards the feet lifts the bridge and presses the lower rim.
//
//	pitch = h F sin(direction), yaw = h F cos(direction)
//
// inputs: pull [N], height [m], direction; result: moments [N m]; valid while
// the mask does not slide. Source: statics. Example: 1 N down on 40 mm: pitch
// -0.04 N m, as much as 1.4 N taken off the bridge of a nasal mask.
func (h Hose) load() seal.Load {
	sin, cos := math.Sincos(float64(h.Toward))
	m := float64(h.Height) * float64(h.Pull)
	return seal.Load{Pitch: m * sin, Yaw: m * cos}
}
