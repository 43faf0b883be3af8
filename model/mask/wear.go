package mask

import (
	"math"

	"tautline/model/unit"
)

// Wear is how long a cushion has been in use and how it was cared for. The
// zero value is a new cushion.
type Wear struct {
	Days unit.Time
	Care Care
}

// Care is how often skin oil is washed off the cushion.
type Care int

// The habits of care.
const (
	CareWeekly Care = iota // washed weekly; the zero value, as the middle one
	CareDaily              // wiped daily, washed weekly
	CareRarely
)

const assumedWear = "assumed: no published law; no evidence for supply or refusal"

// The records of wear.
var (
	WearTime = unit.Parameter{Name: "cushion wear time", Symbol: "tau", Unit: "days",
		Meaning: "time in which most of the wear happens, washed weekly", Value: 90, Low: 10, High: 1000, Likely: [2]float64{40, 200},
		Origin: unit.Assumed, Source: assumedWear}
	WearSoftening = unit.Parameter{Name: "cushion softening", Symbol: "",
		Meaning: "share of its stiffness that a worn wall has lost in the end", Value: 0.15, Low: 0, High: 0.8, Likely: [2]float64{0.03, 0.35},
		Origin: unit.Assumed, Source: assumedWear}
	WearShare = unit.Parameter{Name: "flap going limp", Symbol: "",
		Meaning: "share of its own push that a worn flap has lost in the end", Value: 0.25, Low: 0, High: 0.8, Likely: [2]float64{0.05, 0.5},
		Origin: unit.Assumed, Source: assumedWear}
	WearReach = unit.Parameter{Name: "flap stiffening", Symbol: "",
		Meaning: "share of its reach that a worn flap has lost in the end", Value: 0.5, Low: 0, High: 0.9, Likely: [2]float64{0.2, 0.75},
		Origin: unit.Assumed, Source: assumedWear}
	WearLimit = unit.Parameter{Name: "cushion age", Symbol: "", Unit: "days",
		Meaning: "days in use", Value: 0, Low: 0, High: 3650, Fixed: "asked for or known from the day of supply",
		Origin: unit.Assumed, Source: "ten years"}
)

// pace is how fast wear runs against weekly washing; assumed.
func (c Care) pace() float64 {
	switch c {
	case CareDaily:
		return 0.7
	case CareRarely:
		return 1.8
	}
	return 1
}

// Apply gives the cushion after that use: a softer wall, and a limp flap that
// presses less of its own and follows the skin less far, all approaching their
// end exponentially. The soft wall alone would seal better; it is the flap that
// brings the leak of a worn cushion.
func (w Wear) Apply(c Cushion) Cushion {
	done := 1 - math.Exp(-w.Care.pace()*float64(w.Days)/WearTime.SI())
	c.Stiffness *= unit.Foundation(1 - WearSoftening.SI()*done)
	c.FlapShare *= unit.Fraction(1 - WearShare.SI()*done)
	c.FlapReach *= unit.Length(1 - WearReach.SI()*done)
	return c
}
