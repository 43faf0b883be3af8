package vent

import "tautline/model/unit"

// Breathing asleep, for the washout floor.
var (
	minuteVolume = unit.Parameter{
		Name: "minute volume", Symbol: "VE", Meaning: "gas breathed out per minute, asleep",
		Unit: "L/min", Value: 7.18, Low: 3, High: 20, Likely: [2]float64{5, 10}, Origin: unit.Read,
		Source: "Douglas et al., Thorax 1982;37:840-844, non-REM sleep"}
	inspiring = unit.Parameter{
		Name: "inspiring share", Symbol: "Ti/Ttot", Meaning: "share of the breathing cycle spent breathing in",
		Unit: "", Value: 0.4, Low: 0.25, High: 0.6, Likely: [2]float64{0.38, 0.45}, Origin: unit.Memory,
		Source: "0.38 to 0.45 in quiet sleep"}
	breathRate = unit.Parameter{
		Name: "breathing rate", Symbol: "f", Meaning: "breaths per minute, asleep",
		Unit: "", Value: 15, Low: 6, High: 40, Likely: [2]float64{12, 18}, Origin: unit.Memory,
		Source: "12 to 18 per minute in quiet sleep"}
	deadVolume = unit.Parameter{
		Name: "mask volume", Symbol: "Vm", Meaning: "gas between mask and face that is rebreathed",
		Unit: "mL", Value: 100, Low: 5, High: 500, Origin: unit.Assumed,
		Source: "a nasal mask; nasal pillows hold less, a full face mask twice as much"}
)

// Tolerance is how far the vent in hand may pass more or less than its curve.
var Tolerance = unit.Parameter{
	Name: "vent tolerance", Meaning: "flow of the vent in hand over that of its curve",
	Unit: "", Value: 1, Low: 0.5, High: 1.5, Likely: [2]float64{0.94, 1.06}, Origin: unit.Assumed,
	Source: "moulded holes and a curve read off a leaflet, about 3 % (one standard deviation); no published figure found"}

// What a curve or a hole may be, for range errors: wide enough for any mask
// vent, narrow enough to notice a wrong unit.
var (
	pressureRange = unit.Parameter{
		Name: "curve pressure", Symbol: "P", Meaning: "mask pressure of a published point",
		Unit: "cmH2O", Value: 10, Low: 0, High: 80, Origin: unit.Assumed,
		Source: "twice what any mask is worn at"}
	flowRange = unit.Parameter{
		Name: "curve flow", Symbol: "Q", Meaning: "vent flow of a published point",
		Unit: "L/min", Value: 35, Low: 0, High: 250, Origin: unit.Assumed,
		Source: "beyond what a machine delivers"}
	countRange = unit.Parameter{
		Name: "number of holes", Symbol: "N", Meaning: "holes of the vent",
		Unit: "", Value: 20, Low: 1, High: 2000, Origin: unit.Assumed,
		Source: "common practice, no source"}
	diameterRange = unit.Parameter{
		Name: "hole diameter", Symbol: "d", Meaning: "bore of one hole",
		Unit: "mm", Value: 1, Low: 0.1, High: 12, Origin: unit.Assumed,
		Source: "common practice, no source"}
	lengthRange = unit.Parameter{
		Name: "hole length", Symbol: "l", Meaning: "thickness of the wall that the hole goes through",
		Unit: "mm", Value: 2, Low: 0.05, High: 30, Origin: unit.Assumed,
		Source: "common practice, no source"}
)

// Parameters lists the adjustable numbers of this package.
func Parameters() []unit.Parameter {
	return []unit.Parameter{minuteVolume, inspiring, breathRate, deadVolume, Tolerance,
		pressureRange, flowRange, countRange, diameterRange, lengthRange}
}
