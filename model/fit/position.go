package fit

import (
	"slices"

	"tautline/model/face"
	"tautline/model/unit"
)

// A Position is how the person lies or sits, as far as the mask feels it. With
// every number zero the mask feels nothing but straps and pressure.
type Position struct {
	Name string
	// Pressing is the share of the mask's weight that presses it onto the face
	// along its normal; Hanging the share that hangs on the slope of the nose
	// and presses on the bridge.
	Pressing, Hanging unit.Fraction
	// Slackening is the share of their pull that the straps lose against the
	// pull set when sitting: the head's soft parts shift on the pillow.
	Slackening unit.Fraction
	// JawBack is how far the chin falls back.
	JawBack unit.Length
	// Shove is the bed pillow's push on the mask's side, and ShoveSite where.
	Shove     unit.Force
	ShoveSite face.Site
}

func position(name, symbol, units string, value, low, high float64, likely [2]float64, meaning, source string) unit.Parameter {
	return unit.Parameter{Name: name, Symbol: symbol, Unit: units, Value: value, Low: low, High: high,
		Likely:  [2]float64{value * likely[0], value * likely[1]}, // as shares of the value; assumed
		Meaning: meaning, Origin: unit.Calibrated, Source: source}
}

const brill = "together they give supine over seated bridge pressure 0.894 (A.-K. Brill et al., ERJ Open Res 2018;4:00168-2017)"

// The records of the positions' numbers.
var (
	SittingHang = position("weight hanging on the bridge, sitting", "", "", 0.2, 0, 1, [2]float64{0.3, 2},
		"share of the mask's weight that presses on the bridge", brill)
	LyingPress = position("weight pressing, lying", "", "", 0.3, 0, 1, [2]float64{0.3, 2},
		"share of the mask's weight along its normal on the back", brill)
	LyingSlack = position("strap slackening, lying", "", "", 0.07, 0, 0.6, [2]float64{0.2, 2.2},
		"share of the pull lost on lying down", brill)
	JawBack = position("jaw falling back, lying", "", "mm", 2, 0, 12, [2]float64{0, 2.5},
		"how far the chin recedes on the back", "assumed; common practice says the chin seal opens")
	PillowShove = position("bed pillow's push, on the side", "", "N", 0.6, 0, 20, [2]float64{0.2, 3},
		"push of the pillow on the cheek of the mask", "assumed; no published figure found")
)

// Positions lists the positions that have a name.
func Positions() []Position {
	lying := Position{Pressing: unit.Fraction(LyingPress.SI()), Slackening: unit.Fraction(LyingSlack.SI()),
		JawBack: unit.Length(JawBack.SI())}
	back, onLeft, onRight := lying, lying, lying
	back.Name, onLeft.Name, onRight.Name = "on the back", "on the left side", "on the right side"
	for _, side := range []*Position{&onLeft, &onRight} {
		// On the side the weight lies in the rim's plane and the jaw to the side.
		side.Pressing, side.JawBack = 0, lying.JawBack/2
		side.Shove = unit.Force(PillowShove.SI())
	}
	onLeft.ShoveSite, onRight.ShoveSite = face.CheekLeft, face.CheekRight
	return []Position{
		{Name: "sitting", Hanging: unit.Fraction(SittingHang.SI())}, back, onLeft, onRight,
	}
}

// FindPosition gives a position by name.
func FindPosition(name string) (Position, bool) {
	all := Positions()
	i := slices.IndexFunc(all, func(p Position) bool { return p.Name == name })
	if i < 0 {
		return Position{}, false
	}
	return all[i], true
}
