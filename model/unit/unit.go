// Package unit gives every number of the model its unit: one defined type per
// quantity, always SI inside, with the units of the trade (cmH2O, L/min, mmHg,
// N, mm) at the surface for reading and printing.
//
// The zero value of each type is the number zero, not "not set"; where a value
// may be missing, the owner says so.
package unit

import (
	"math"
	"strconv"
)

// The quantities in use, each a float64 in the SI unit that its comment names.
type (
	Pressure    float64 // Pa
	Flow        float64 // m3/s, at the gas state that the owner names
	Force       float64 // N
	Length      float64 // m
	Area        float64 // m2
	Volume      float64 // m3
	Time        float64 // s
	Stiffness   float64 // N/m, a strap's pull per stretch
	Foundation  float64 // Pa/m, a contact pressure per depth pressed in
	Temperature float64 // K
	Angle       float64 // rad
	Density     float64 // kg/m3
	Viscosity   float64 // Pa s, dynamic
	Fraction    float64 // 1; 0.8 prints as 80 %
	Resistance  float64 // Pa s/m3, a pressure per flow
	Compliance  float64 // m3/Pa, a volume per pressure
)

// The units of the trade. 1 cmH2O = 98.0665 Pa and 1 mmHg = 133.322 Pa are the
// conventional values (ISO 80000-4:2019 for the pascal; NIST SP 811, 2008,
// appendix B for the factors).
const (
	Pa    Pressure = 1
	HPa   Pressure = 100
	KPa   Pressure = 1000
	CmH2O Pressure = 98.0665
	MmHg  Pressure = 133.322

	LPerMin Flow = 1e-3 / 60
	LPerSec Flow = 1e-3

	N Force = 1
	// GramForce is what a hanging scale calls a gram: standard gravity
	// 9.80665 m/s2 (3rd CGPM, 1901) on one gram.
	GramForce Force = 9.80665e-3

	M  Length = 1
	Cm Length = 1e-2
	Mm Length = 1e-3
	Um Length = 1e-6

	Mm2 Area = 1e-6
	Cm2 Area = 1e-4

	L  Volume = 1e-3
	ML Volume = 1e-6

	Second Time = 1
	Minute Time = 60
	Hour   Time = 3600
	Day    Time = 86400

	// CmH2OPerLPerSec is what the trade measures an airway's resistance in.
	CmH2OPerLPerSec Resistance = Resistance(CmH2O) / Resistance(LPerSec)
	// LPerCmH2O is what the trade measures a lung's compliance in.
	LPerCmH2O Compliance = Compliance(L) / Compliance(CmH2O)

	Percent Fraction = 0.01
	Degree  Angle    = math.Pi / 180

	zeroCelsius = 273.15
)

// Celsius gives the temperature that a thermometer in degrees Celsius shows.
func Celsius(t float64) Temperature { return Temperature(t + zeroCelsius) }

func (p Pressure) Pa() float64    { return float64(p) }
func (p Pressure) HPa() float64   { return float64(p / HPa) }
func (p Pressure) KPa() float64   { return float64(p / KPa) }
func (p Pressure) CmH2O() float64 { return float64(p / CmH2O) }
func (p Pressure) MmHg() float64  { return float64(p / MmHg) }

func (q Flow) LPerMin() float64 { return float64(q / LPerMin) }
func (q Flow) LPerSec() float64 { return float64(q / LPerSec) }

func (f Force) N() float64     { return float64(f) }
func (f Force) Grams() float64 { return float64(f / GramForce) }

func (l Length) M() float64  { return float64(l) }
func (l Length) Mm() float64 { return float64(l / Mm) }
func (l Length) Um() float64 { return float64(l / Um) }

func (a Area) Mm2() float64 { return float64(a / Mm2) }
func (a Area) Cm2() float64 { return float64(a / Cm2) }

func (v Volume) ML() float64 { return float64(v / ML) }

func (r Resistance) CmH2OPerLPerSec() float64 { return float64(r / CmH2OPerLPerSec) }
func (c Compliance) LPerCmH2O() float64       { return float64(c / LPerCmH2O) }

func (t Time) Minutes() float64 { return float64(t / Minute) }
func (t Time) Hours() float64   { return float64(t / Hour) }
func (t Time) Days() float64    { return float64(t / Day) }

func (t Temperature) Celsius() float64 { return float64(t) - zeroCelsius }
func (a Angle) Degrees() float64       { return float64(a / Degree) }
func (f Fraction) Percent() float64    { return float64(f / Percent) }

func (p Pressure) String() string    { return Round(p.CmH2O()) + " cmH2O" }
func (q Flow) String() string        { return Round(q.LPerMin()) + " L/min" }
func (f Force) String() string       { return Round(f.N()) + " N" }
func (l Length) String() string      { return Round(l.Mm()) + " mm" }
func (a Area) String() string        { return Round(a.Cm2()) + " cm2" }
func (v Volume) String() string      { return Round(v.ML()) + " mL" }
func (k Stiffness) String() string   { return Round(float64(k)) + " N/m" }
func (k Foundation) String() string  { return Round(float64(k)/1e6) + " kPa/mm" }
func (t Temperature) String() string { return Round(t.Celsius()) + " C" }
func (a Angle) String() string       { return Round(a.Degrees()) + " deg" }
func (d Density) String() string     { return Round(float64(d)) + " kg/m3" }
func (v Viscosity) String() string   { return Round(float64(v)*1e6) + " uPa s" }
func (r Resistance) String() string  { return Round(r.CmH2OPerLPerSec()) + " cmH2O s/L" }
func (c Compliance) String() string  { return Round(c.LPerCmH2O()) + " L/cmH2O" }
func (f Fraction) String() string    { return Round(f.Percent()) + " %" }

// String prints a time in the unit that a person would choose for it.
func (t Time) String() string {
	switch a := math.Abs(float64(t)); {
	case a < 60:
		return Round(float64(t)) + " s"
	case a < 3600:
		return Round(t.Minutes()) + " min"
	case a < 86400:
		return Round(t.Hours()) + " h"
	}
	return Round(t.Days()) + " days"
}

// Round prints a number with three significant digits, without an exponent
// where people would not write one, and never as "-0".
func Round(x float64) string {
	if x == 0 {
		return "0"
	}
	r, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	if a := math.Abs(r); a >= 1e7 || a < 1e-4 {
		return strconv.FormatFloat(r, 'g', -1, 64)
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}
