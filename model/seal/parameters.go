package seal

import "tautline/model/unit"

// The records of the gap law's constants.
var (
	GapScale = unit.Parameter{Name: "gap scale", Symbol: "u0", Unit: "um",
		Meaning: "height of the skin texture that the cushion must close", Value: 60, Low: 1, High: 1000, SD: 20,
		Origin: unit.Calibrated, Source: "of the order of skin lines, 20 to 200 um deep"}
	Closing = unit.Parameter{Name: "closing stress", Symbol: "p*", Unit: "Pa",
		Meaning: "net margin above which no gap remains", Value: 300, Low: 1, High: 1e5, SD: 40,
		Origin: unit.Calibrated,
		Source: "167 to 305 Pa meet G. P. P. Schettino et al., Intensive Care Med 2001;27:1887-91"}
	FlapLifting = unit.Parameter{Name: "flap lifting stiffness", Symbol: "kf", Unit: "kPa/mm",
		Meaning: "pressure per height as the flap is lifted off", Value: 0.3, Low: 0.001, High: 1000, Likely: [2]float64{0.15, 0.6},
		Origin: unit.Assumed, Source: "a thin silicone membrane; no published figure found"}
	LossFactor = unit.Parameter{Name: "slot loss factor", Symbol: "K",
		Meaning: "velocity heads lost entering and leaving a gap", Value: 1.5, Low: 0, High: 10, Likely: [2]float64{1, 2.7},
		Origin: unit.Memory, Source: "I. E. Idelchik, Handbook of Hydraulic Resistance, 1.5 to 2.7"}
)

// UsualConstants gives the defaults of the gap law.
func UsualConstants() Constants {
	return Constants{GapScale: GapScale.SI(), Closing: Closing.SI(),
		FlapLifting: FlapLifting.SI(), LossFactor: LossFactor.SI()}
}

// Parameters lists the records of the package.
func Parameters() []unit.Parameter {
	return []unit.Parameter{GapScale, Closing, FlapLifting, LossFactor}
}
