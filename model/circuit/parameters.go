package circuit

import "tautline/model/unit"

// An ordinary circuit.
var (
	hoseLength = unit.Parameter{
		Name: "hose length", Symbol: "L", Meaning: "from machine to mask",
		Unit: "m", Value: 1.83, Low: 0.1, High: 5, Likely: [2]float64{1.7, 2}, Origin: unit.Assumed,
		Source: "six feet; common practice, no source"}
	hoseDiameter = unit.Parameter{
		Name: "hose diameter", Symbol: "d", Meaning: "bore of the hose",
		Unit: "mm", Value: 22, Low: 8, High: 30, Fixed: "seen at a glance: 22 or 15 mm", Origin: unit.Assumed,
		Source: "22 mm, slim hoses 15 mm; common practice, no source"}
	corrugation = unit.Parameter{
		Name: "corrugation", Symbol: "C", Meaning: "friction of the hose over that of a smooth one",
		Unit: "", Value: 3, Low: 1, High: 6, Likely: [2]float64{2, 4}, Origin: unit.Assumed,
		Source: "corrugated hoses take two to four times as much"}
	fittings = unit.Parameter{
		Name: "fittings", Symbol: "K", Meaning: "loss of elbow and swivel, in speed heads of the hose",
		Unit: "", Value: 1.5, Low: 0, High: 20, Likely: [2]float64{0.5, 3}, Origin: unit.Assumed,
		Source: "one elbow and one exit"}
	maxFlow = unit.Parameter{
		Name: "machine's largest flow", Symbol: "Qmax", Meaning: "flow up to which the set pressure is held",
		Unit: "L/min", Value: 150, Low: 20, High: 400, Likely: [2]float64{110, 190}, Origin: unit.Assumed,
		Source: "a bedside machine"}
	droop = unit.Parameter{
		Name: "machine's droop", Symbol: "dP/dQ", Meaning: "pressure lost for every L/min beyond the largest flow",
		Unit: "cmH2O", Value: 0.5, Low: 0, High: 20, Likely: [2]float64{0.2, 1}, Origin: unit.Assumed,
		Source: "steep: a blower at its limit"}
	// Chosen so that Blasius holds again where the published hose losses lie,
	// at Re 3840 (checks circuit-hose-22, circuit-hose-ratio, circuit-switch).
	switchStart = unit.Parameter{
		Name: "end of laminar flow", Symbol: "Re1", Meaning: "Reynolds number at which the switch to turbulence begins",
		Unit: "", Value: 2000, Low: 1500, High: 2500, Fixed: "bound by the published hose losses; moves a pressure by under 0.05 cmH2O", Origin: unit.Calibrated,
		Source: "chosen to meet the checks circuit-hose-22 and circuit-hose-ratio"}
	switchEnd = unit.Parameter{
		Name: "start of turbulence", Symbol: "Re2", Meaning: "Reynolds number at which the switch to turbulence ends",
		Unit: "", Value: 3000, Low: 2600, High: 3700, Fixed: "bound by the published hose losses; moves a pressure by under 0.05 cmH2O", Origin: unit.Calibrated,
		Source: "chosen to meet the checks circuit-hose-22, circuit-hose-ratio and circuit-switch"}
)

// Parameters lists the adjustable numbers of this package.
func Parameters() []unit.Parameter {
	return []unit.Parameter{hoseLength, hoseDiameter, corrugation, fittings, maxFlow, droop, switchStart, switchEnd}
}
