package unit

import (
	"math"
	"strings"
	"testing"
)

// Every unit that is understood, with what one of it is in SI. The factors were
// worked out by hand from the definitions: 1 cmH2O = 98.0665 Pa, 1 mmHg =
// 133.322 Pa, gravity 9.80665 m/s2, one month 30 days.
var everyUnit = map[*Kind]map[string]float64{
	PressureKind: {"cmH2O": 98.0665, "cmH₂O": 98.0665, "hPa": 100, "mbar": 100, "kPa": 1000,
		"mmHg": 133.322, "MPa": 1e6, "Pa": 1},
	FlowKind: {"L/min": 1.6666666666666667e-5, "lpm": 1.6666666666666667e-5, "LPM": 1.6666666666666667e-5,
		"L/s": 1e-3, "mL/s": 1e-6, "mL/min": 1.6666666666666667e-8,
		"m3/h": 2.7777777777777778e-4, "m³/h": 2.7777777777777778e-4, "m3/s": 1, "m³/s": 1},
	ForceKind:  {"N": 1, "mN": 1e-3, "g": 9.80665e-3, "gf": 9.80665e-3, "kg": 9.80665, "kgf": 9.80665},
	LengthKind: {"mm": 1e-3, "cm": 1e-2, "um": 1e-6, "µm": 1e-6, "μm": 1e-6, "m": 1},
	AreaKind:   {"cm2": 1e-4, "cm²": 1e-4, "mm2": 1e-6, "mm²": 1e-6, "m2": 1, "m²": 1},
	VolumeKind: {"mL": 1e-6, "ml": 1e-6, "L": 1e-3},
	TimeKind: {"s": 1, "min": 60, "h": 3600, "hours": 3600, "hour": 3600, "days": 86400, "day": 86400,
		"d": 86400, "weeks": 604800, "week": 604800, "months": 2592000, "month": 2592000},
	StiffnessKind:   {"N/m": 1, "N/mm": 1000, "N/cm": 100},
	FoundationKind:  {"kPa/mm": 1e6, "Pa/m": 1, "kPa/m": 1000, "Pa/mm": 1000, "MPa/m": 1e6},
	TemperatureKind: {"C": 274.15, "°C": 274.15, "degC": 274.15, "K": 1},
	AngleKind:       {"deg": 0.017453292519943295, "°": 0.017453292519943295, "rad": 1},
	FractionKind:    {"%": 0.01, "": 1, "1": 1},
	DensityKind:     {"kg/m3": 1, "kg/m³": 1},
	ViscosityKind:   {"uPa s": 1e-6, "µPa s": 1e-6, "Pa s": 1},
	ResistanceKind: {"cmH2O s/L": 98066.5, "cmH2O/L/s": 98066.5, "cmH2O/(L/s)": 98066.5,
		"hPa s/L": 1e5, "mbar s/L": 1e5, "Pa s/m3": 1, "Pa s/m³": 1},
	ComplianceKind: {"L/cmH2O": 1.0197162129779283e-5, "mL/cmH2O": 1.0197162129779283e-8, "L/kPa": 1e-6,
		"m3/Pa": 1, "m³/Pa": 1},
}

func TestEveryUnit(t *testing.T) {
	for _, k := range kinds {
		if got, want := len(k.Units()), len(everyUnit[k]); got != want {
			t.Errorf("%s has %d spellings, the table %d", k.Name, got, want)
		}
		for name, want := range everyUnit[k] {
			if name == "1" { // 1 of it would read as one number
				continue
			}
			for _, text := range []string{"1 " + name, "1" + name, "  1.0 \t" + name + " ", "+10e-1 " + name} {
				got, err := k.Parse(text)
				if err != nil || math.Abs(got-want) > 1e-15*want {
					t.Errorf("%s %q: %v (%v), want %v", k.Name, text, got, err, want)
				}
			}
		}
	}
}

func TestParseNumbers(t *testing.T) {
	for _, c := range []struct {
		text string
		kind *Kind
		want float64
	}{
		{"12 cmH2O", PressureKind, 1176.798},
		{"12 CMH2O", PressureKind, 1176.798}, // case does not matter in long names
		{"-3.5 mm", LengthKind, -0.0035},
		{".5 N", ForceKind, 0.5},
		{"350 g", ForceKind, 3.4323275},
		{"1e3 Pa", PressureKind, 1000},
		{"1E+3Pa", PressureKind, 1000},
		{"25e-1 mm", LengthKind, 2.5e-3},
		{"0 C", TemperatureKind, 273.15},
		{"-40 C", TemperatureKind, 233.15},
		{"60%", FractionKind, 0.6},
		{"0.6", FractionKind, 0.6},
		{"35 l/min", FlowKind, 35e-3 / 60},
		{"180°", AngleKind, math.Pi},
		{"0 N", ForceKind, 0},
	} {
		got, err := c.kind.Parse(c.text)
		if err != nil || math.Abs(got-c.want) > 1e-12*(1+math.Abs(c.want)) {
			t.Errorf("%q: %v (%v), want %v", c.text, got, err, c.want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text string
		kind *Kind
		says string
	}{
		{"", PressureKind, "is empty"},
		{" \t", PressureKind, "is empty"},
		{"12", PressureKind, "has no unit; a pressure is wanted here, such as 12 cmH2O"},
		{"cmH2O", PressureKind, "has no number in front"},
		{"NaN cmH2O", PressureKind, "has no number in front"},
		{"Inf N", ForceKind, "has no number in front"},
		{"1,5 cmH2O", PressureKind, `write it with a point, "1.5 cmH2O"`},
		{"1,5", LengthKind, `write it with a point, "1.5"`},
		{"1,000.5 N", ForceKind, "write it with a point; a force"}, // thousands, perhaps: no guess
		{"1e999 Pa", PressureKind, "is not a finite number"},
		{"1e308 MPa", PressureKind, "is not a finite number"}, // only in SI it overflows
		{"1.2.3 N", ForceKind, "is not a finite number"},
		{"+-3 N", ForceKind, "is not a finite number"},
		{"5 mm", PressureKind, "is a length; a pressure is wanted"},
		{"12 cmH2O", ForceKind, "is a pressure; a force is wanted"},
		{"61 cm2", LengthKind, "is an area; a length is wanted"},
		{"3 N", AreaKind, "is a force; an area is wanted"},
		{"30 C", PressureKind, "is a temperature"},
		{"12 cmH20", PressureKind, `has a unit "cmH20" that is not known`}, // a zero for the letter
		{"3 mPa", PressureKind, `has a unit "mPa" that is not known`},      // not a millionth of MPa
		{"3 mPa/m", FoundationKind, `has a unit "mPa/m" that is not known`},
		{"3 MN", ForceKind, `has a unit "MN" that is not known`}, // not a thousandth of it either
		{"0x10 N", ForceKind, `has a unit "x10 N" that is not known`},
		{"12e cmH2O", PressureKind, "is not known"},
	} {
		got, err := c.kind.Parse(c.text)
		if err == nil || got != 0 || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q as %s: %v, %v; want an error that says %q", c.text, c.kind.Name, got, err, c.says)
		}
	}
}

// TestParseTyped: each typed reader reads its own quantity.
func TestParseTyped(t *testing.T) {
	check := func(what string, got, want float64, err error) {
		t.Helper()
		if err != nil || math.Abs(got-want) > 1e-12*math.Abs(want) {
			t.Errorf("%s: %v (%v), want %v", what, got, err, want)
		}
	}
	p, err := ParsePressure("2 kPa")
	check("pressure", p.Pa(), 2000, err)
	q, err := ParseFlow("60 L/min")
	check("flow", q.LPerSec(), 1, err)
	f, err := ParseForce("2 N")
	check("force", f.N(), 2, err)
	l, err := ParseLength("2 cm")
	check("length", l.Mm(), 20, err)
	a, err := ParseArea("2 cm2")
	check("area", a.Mm2(), 200, err)
	d, err := ParseTime("36 h")
	check("time", d.Days(), 1.5, err)
	k, err := ParseStiffness("0.7 N/mm")
	check("stiffness", float64(k), 700, err)
	c, err := ParseFoundation("0.4 kPa/mm")
	check("foundation", float64(c), 4e5, err)
	temp, err := ParseTemperature("303.15 K")
	check("temperature", temp.Celsius(), 30, err)
	angle, err := ParseAngle("180 deg")
	check("angle", float64(angle), math.Pi, err)
	share, err := ParseFraction("60 %")
	check("share", share.Percent(), 60, err)
}

// TestKindOf: a unit's name leads to its quantity and factor, a stranger's to
// none.
func TestKindOf(t *testing.T) {
	for k, units := range everyUnit {
		for name := range units {
			found, ok := KindOf(name)
			if !ok || found != k {
				t.Errorf("%q belongs to %v", name, found)
			}
			if _, ok := k.Factor(name); !ok {
				t.Errorf("%q has no factor", name)
			}
		}
	}
	if k, ok := KindOf("furlong"); ok {
		t.Errorf("a furlong is a %s", k.Name)
	}
	if f, ok := TemperatureKind.Factor("C"); !ok || f != 1 { // a difference has no zero point
		t.Errorf("one degree is %g K", f)
	}
}
