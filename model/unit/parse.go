package unit

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// A Kind is one physical quantity as people write it: the units understood and
// an example that an error can show.
type Kind struct {
	Name    string // "force"
	Article string // "a"
	Example string // "3.4 N or 350 g"
	units   []named
}

// A named unit turns a written number into SI: value*factor + offset.
type named struct {
	names  []string
	factor float64
	offset float64
}

// The kinds that can be read. The first name of a unit is the one printed.
var (
	PressureKind = &Kind{"pressure", "a", "12 cmH2O", []named{
		{[]string{"cmH2O", "cmH₂O"}, float64(CmH2O), 0},
		{[]string{"hPa", "mbar"}, float64(HPa), 0},
		{[]string{"kPa"}, float64(KPa), 0},
		{[]string{"mmHg"}, float64(MmHg), 0},
		{[]string{"MPa"}, 1e6, 0},
		{[]string{"Pa"}, 1, 0}}}
	FlowKind = &Kind{"flow", "a", "35 L/min", []named{
		{[]string{"L/min", "lpm", "LPM"}, float64(LPerMin), 0},
		{[]string{"L/s"}, float64(LPerSec), 0},
		{[]string{"mL/s"}, 1e-6, 0},
		{[]string{"mL/min"}, 1e-6 / 60, 0},
		{[]string{"m3/h", "m³/h"}, 1.0 / 3600, 0},
		{[]string{"m3/s", "m³/s"}, 1, 0}}}
	ForceKind = &Kind{"force", "a", "3.4 N or 350 g", []named{
		{[]string{"N"}, 1, 0},
		{[]string{"mN"}, 1e-3, 0},
		{[]string{"g", "gf"}, float64(GramForce), 0},
		{[]string{"kg", "kgf"}, 1e3 * float64(GramForce), 0}}}
	LengthKind = &Kind{"length", "a", "5 mm", []named{
		{[]string{"mm"}, 1e-3, 0},
		{[]string{"cm"}, 1e-2, 0},
		{[]string{"um", "µm", "μm"}, 1e-6, 0},
		{[]string{"m"}, 1, 0}}}
	AreaKind = &Kind{"area", "an", "61 cm2", []named{
		{[]string{"cm2", "cm²"}, 1e-4, 0},
		{[]string{"mm2", "mm²"}, 1e-6, 0},
		{[]string{"m2", "m²"}, 1, 0}}}
	VolumeKind = &Kind{"volume", "a", "100 mL", []named{
		{[]string{"mL", "ml"}, 1e-6, 0},
		{[]string{"L"}, 1e-3, 0}}}
	TimeKind = &Kind{"time", "a", "90 days", []named{
		{[]string{"s"}, 1, 0},
		{[]string{"min"}, 60, 0},
		{[]string{"h", "hours", "hour"}, 3600, 0},
		{[]string{"days", "day", "d"}, 86400, 0},
		{[]string{"weeks", "week"}, 7 * 86400, 0},
		// A month is 30 days here, as in a replacement calendar.
		{[]string{"months", "month"}, 30 * 86400, 0}}}
	StiffnessKind = &Kind{"strap stiffness", "a", "700 N/m", []named{
		{[]string{"N/m"}, 1, 0},
		{[]string{"N/mm"}, 1e3, 0},
		{[]string{"N/cm"}, 1e2, 0}}}
	FoundationKind = &Kind{"foundation stiffness", "a", "0.4 kPa/mm", []named{
		{[]string{"kPa/mm"}, 1e6, 0},
		{[]string{"Pa/m"}, 1, 0},
		{[]string{"kPa/m"}, 1e3, 0},
		{[]string{"Pa/mm"}, 1e3, 0},
		{[]string{"MPa/m"}, 1e6, 0}}}
	TemperatureKind = &Kind{"temperature", "a", "30 C", []named{
		{[]string{"C", "°C", "degC"}, 1, zeroCelsius},
		{[]string{"K"}, 1, 0}}}
	AngleKind = &Kind{"angle", "an", "20 deg", []named{
		{[]string{"deg", "°"}, float64(Degree), 0},
		{[]string{"rad"}, 1, 0}}}
	FractionKind = &Kind{"share", "a", "60 %", []named{
		{[]string{"%"}, 0.01, 0},
		{[]string{"", "1"}, 1, 0}}}
	DensityKind = &Kind{"density", "a", "1.15 kg/m3", []named{
		{[]string{"kg/m3", "kg/m³"}, 1, 0}}}
	ViscosityKind = &Kind{"viscosity", "a", "18.6 uPa s", []named{
		{[]string{"uPa s", "µPa s"}, 1e-6, 0},
		{[]string{"Pa s"}, 1, 0}}}
	ResistanceKind = &Kind{"resistance", "a", "2.2 cmH2O s/L", []named{
		{[]string{"cmH2O s/L", "cmH2O/L/s", "cmH2O/(L/s)"}, float64(CmH2OPerLPerSec), 0},
		{[]string{"hPa s/L", "mbar s/L"}, float64(HPa) / float64(LPerSec), 0},
		{[]string{"Pa s/m3", "Pa s/m³"}, 1, 0}}}
	ComplianceKind = &Kind{"compliance", "a", "0.07 L/cmH2O", []named{
		{[]string{"L/cmH2O"}, float64(LPerCmH2O), 0},
		{[]string{"mL/cmH2O"}, 1e-3 * float64(LPerCmH2O), 0},
		{[]string{"L/kPa"}, float64(L) / float64(KPa), 0},
		{[]string{"m3/Pa", "m³/Pa"}, 1, 0}}}
)

var kinds = []*Kind{PressureKind, FlowKind, ForceKind, LengthKind, AreaKind,
	VolumeKind, TimeKind, StiffnessKind, FoundationKind, TemperatureKind, AngleKind,
	FractionKind, DensityKind, ViscosityKind, ResistanceKind, ComplianceKind}

// A ParseError says what was written, what was wanted and what is wrong, in one
// sentence that can be shown as it is.
type ParseError struct {
	Input  string
	Want   *Kind
	Reason string
}

func (e *ParseError) Error() string {
	return fmt.Sprintf("%q %s; %s %s is wanted here, such as %s",
		e.Input, e.Reason, e.Want.Article, e.Want.Name, e.Want.Example)
}

func ParsePressure(s string) (Pressure, error)       { return parse[Pressure](s, PressureKind) }
func ParseFlow(s string) (Flow, error)               { return parse[Flow](s, FlowKind) }
func ParseForce(s string) (Force, error)             { return parse[Force](s, ForceKind) }
func ParseLength(s string) (Length, error)           { return parse[Length](s, LengthKind) }
func ParseArea(s string) (Area, error)               { return parse[Area](s, AreaKind) }
func ParseTime(s string) (Time, error)               { return parse[Time](s, TimeKind) }
func ParseStiffness(s string) (Stiffness, error)     { return parse[Stiffness](s, StiffnessKind) }
func ParseFoundation(s string) (Foundation, error)   { return parse[Foundation](s, FoundationKind) }
func ParseTemperature(s string) (Temperature, error) { return parse[Temperature](s, TemperatureKind) }
func ParseAngle(s string) (Angle, error)             { return parse[Angle](s, AngleKind) }
func ParseFraction(s string) (Fraction, error)       { return parse[Fraction](s, FractionKind) }

func parse[T ~float64](s string, k *Kind) (T, error) {
	v, err := k.Parse(s)
	return T(v), err
}

// Parse reads a number with its unit, such as "12 cmH2O", and gives it in SI.
// It refuses a missing or foreign unit, a decimal comma, and anything that is
// not a finite number.
func (k *Kind) Parse(s string) (float64, error) {
	fail := func(format string, a ...any) (float64, error) {
		return 0, &ParseError{Input: s, Want: k, Reason: fmt.Sprintf(format, a...)}
	}
	text := strings.TrimSpace(s)
	if text == "" {
		return fail("is empty")
	}
	number, name := split(text)
	if number == "" {
		return fail("has no number in front")
	}
	if strings.Contains(number, ",") {
		return fail("has a comma in the number: write it with a point%s", corrected(number, name))
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return fail("is not a finite number")
	}
	if u, ok := k.find(name); ok {
		si := v*u.factor + u.offset
		if math.IsInf(si, 0) {
			return fail("is not a finite number")
		}
		return si, nil
	}
	if name == "" {
		return fail("has no unit")
	}
	for _, other := range kinds {
		if _, ok := other.find(name); ok && other != k {
			return fail("is %s %s", other.Article, other.Name)
		}
	}
	return fail("has a unit %q that is not known", name)
}

// split parts "12 cmH2O" into "12" and "cmH2O".
func split(s string) (number, name string) {
	i := 0
	for i < len(s) && strings.IndexByte("+-.,0123456789", s[i]) >= 0 {
		i++
	}
	// An exponent belongs to the number only when digits follow it.
	if i > 0 && i < len(s) && (s[i] == 'e' || s[i] == 'E') {
		j := i + 1
		if j < len(s) && (s[j] == '+' || s[j] == '-') {
			j++
		}
		if j < len(s) && s[j] >= '0' && s[j] <= '9' {
			for j < len(s) && s[j] >= '0' && s[j] <= '9' {
				j++
			}
			i = j
		}
	}
	return s[:i], strings.TrimSpace(s[i:])
}

// corrected shows how the number would look with a point, where that makes it
// one: 1,000.5 may mean two things.
func corrected(number, name string) string {
	number = strings.Replace(number, ",", ".", 1)
	if _, err := strconv.ParseFloat(number, 64); err != nil {
		return ""
	}
	return fmt.Sprintf(", %q", strings.TrimSpace(number+" "+name))
}

func (k *Kind) find(name string) (named, bool) {
	for _, u := range k.units {
		if slices.Contains(u.names, name) {
			return u, true
		}
	}
	// People write l/min and CMH2O too; case never tells two of our units
	// apart except mN and MN, mPa and MPa, so those must be written exactly.
	for _, u := range k.units {
		for _, n := range u.names {
			if strings.EqualFold(n, name) && len(n) > 2 && !strings.HasPrefix(n, "MPa") {
				return u, true
			}
		}
	}
	return named{}, false
}

// Units lists the spellings understood, sorted, for messages and completion.
func (k *Kind) Units() []string {
	var all []string
	for _, u := range k.units {
		all = append(all, u.names...)
	}
	sort.Strings(all)
	return all
}

// KindOf finds the quantity that a unit such as "cmH2O" belongs to.
func KindOf(name string) (*Kind, bool) {
	for _, k := range kinds {
		if _, ok := k.find(name); ok {
			return k, true
		}
	}
	return nil, false
}

// Factor gives the SI value of one of the named unit, for example of "mm".
func (k *Kind) Factor(name string) (float64, bool) {
	u, ok := k.find(name)
	return u.factor, ok
}
