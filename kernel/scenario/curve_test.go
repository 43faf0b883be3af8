package scenario

import (
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"tautline/model/gas"
	"tautline/model/unit"
)

const plain = "pressure_cmH2O,flow_L_per_min\n4,20.5\n8,29\n12,35.5\n"

// utf16Of writes a text as spreadsheets do when asked for "Unicode text".
func utf16Of(s string, order binary.AppendByteOrder, mark bool) string {
	var b []byte
	if mark {
		b = order.AppendUint16(b, 0xfeff)
	}
	for _, u := range utf16.Encode([]rune(s)) {
		b = order.AppendUint16(b, u)
	}
	return string(b)
}

// The same curve in every dress that a spreadsheet gives it.
func TestCurveAsSpreadsheetsWriteIt(t *testing.T) {
	for name, text := range map[string]string{
		"plain":          plain,
		"no last line":   strings.TrimSuffix(plain, "\n"),
		"CRLF":           strings.ReplaceAll(plain, "\n", "\r\n"),
		"CR":             strings.ReplaceAll(plain, "\n", "\r"),
		"BOM":            "\ufeff" + plain,
		"UTF-16 LE":      utf16Of(plain, binary.LittleEndian, true),
		"UTF-16 BE":      utf16Of(plain, binary.BigEndian, true),
		"UTF-16 no mark": utf16Of(plain, binary.LittleEndian, false),
		"semicolons":     "pressure_cmH2O;flow_L_per_min\n4,0;20,5\n8,0;29,0\n12,0;35,5\n",
		"tabs":           "Pressure [cmH2O]\tFlow [L/min]\n4\t20,5\n8\t29\n12\t35,5\n",
		"quoted":         "\"Pressure, cm H2O\",\"Flow (l/min)\"\n\"4,0\",\"20,5\"\n\"8,0\",\"29,0\"\n\"12,0\",\"35,5\"\n",
		"sep line":       "sep=;\npressure_cmH2O;flow_L_per_min\n4;20,5\n8;29\n12;35,5\n",
		"comments":       "# a note, with commas; and more\n\n" + plain + "# the end\n\n\n",
		"quoted comment": "\"# a note\",\n" + plain,
		"trailing cells": "pressure_cmH2O,flow_L_per_min,,\n4,20.5,,\n8,29,,\n12,35.5,,\n,,,\n,,,\n",
		"columns turned": "flow_L_per_min,pressure_cmH2O\n20.5,4\n29,8\n35.5,12\n",
		"hPa, L/s":       "p_hPa,flow_L_per_s\n3.92266,0.3416666667\n7.84532,0.4833333333\n11.76798,0.5916666667\n",
		"mbar, mL/s":     "Pressure (mbar),Flow (mL/s)\n3.92266,341.6666667\n7.84532,483.3333333\n11.76798,591.6666667\n",
		"kPa, mL/min":    "pressure/kPa,flow/mL/min\n0.392266,20500\n0.784532,29000\n1.176798,35500\n",
		"Pa, m3/h":       "pressure Pa,flow m^3/h\n392.266,1.23\n784.532,1.74\n1176.798,2.13\n",
		"mmHg":           "pressure mm Hg,flow LPM\n2.942245,20.5\n5.884490,29\n8.826735,35.5\n",
		"old code page":  "Druck [cmH2O];Fl\xfcsse [L/min]\n4;20,5\n8;29\n12;35,5\n",
		"minus, blanks":  "pressure_cmH2O,flow_L_per_min\n 4 , 20.5\u00a0\n8,29\n12,3.55e1\n",
	} {
		v, err := Vent("curve.csv", []byte(text), gas.AtBench())
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, want := range [][2]float64{{4, 20.5}, {8, 29}, {12, 35.5}} {
			q, _ := v.Flow(unit.Pressure(want[0]) * unit.CmH2O)
			// 1e-6: the hPa and mmHg columns above carry seven digits.
			if math.Abs(q.LPerMin()/want[1]-1) > 1e-6 {
				t.Errorf("%s: %v at %g cmH2O, want %g", name, q, want[0], want[1])
			}
		}
	}
}

// Every refusal says where, what and what to do.
func TestCurveRefusals(t *testing.T) {
	head := "pressure_cmH2O,flow_L_per_min\n"
	for _, c := range []struct{ name, text, want string }{
		{"falls", head + "4,20\n8,29\n12,28\n", "line 4: the flow falls from 29 L/min to 28 L/min while the pressure rises"},
		{"repeats", head + "4,20\n8,29\n8,30\n", "line 4: the pressure 8 cmH2O is there twice: keep one"},
		{"out of order", head + "4,20\n12,35\n8,29\n", "line 4: the pressure falls from 12 cmH2O to 8 cmH2O: put"},
		{"negative flow", head + "4,-20\n8,29\n12,35\n", "line 2: the flow -20 L/min is negative"},
		{"negative pressure", head + "-4,20\n8,29\n12,35\n", "line 2: the pressure -4 cmH2O is negative"},
		{"two points", head + "4,20\n8,29\n", "three points above zero pressure, and there are 2"},
		{"no points", head, "and there are 0"},
		{"NaN", head + "4,NaN\n8,29\n12,35\n", `line 2: the flow "NaN" is not a finite number`},
		{"infinite", head + "4,20\n8,29\nInf,35\n", `line 4: the pressure "Inf" is not a finite number`},
		{"huge", head + "4,1e999\n8,29\n12,35\n", `line 2: the flow "1e999" is not a finite number`},
		{"text", head + "4,twenty\n8,29\n12,35\n", `line 2: the flow "twenty" is not a number: the unit belongs`},
		{"unit in cell", head + "4 cmH2O,20\n8,29\n12,35\n", `line 2: the pressure "4 cmH2O" is not a number: the unit belongs`},
		{"hex", head + "0x4,20\n8,29\n12,35\n", `line 2: the pressure "0x4" is not a number`},
		{"thousands", head + "4,\"1.020,5\"\n8,29\n12,35\n", "line 2: the flow \"1.020,5\" has a thousands separator"},
		{"missing cell", head + "4,20\n8\n12,35\n", "line 3: the flow is missing: fill it in"},
		{"empty cell", head + "4,20\n,29\n12,35\n", "line 3: the pressure is missing: fill it in"},
		{"decimal comma", head + "4,0,20,5\n", "line 2: has 4 cells under 2 heads: numbers with a decimal comma need semicolons"},
		{"no header", "4,20\n8,29\n12,35\n", `line 1: "4" is a number where the header should be: put a line pressure_cmH2O,flow_L_per_min`},
		{"no unit", "pressure,flow\n4,20\n", `line 1: the header "pressure" names no unit`},
		{"foreign unit", "pressure_N,flow_L_per_min\n4,20\n", "neither pressure nor flow"},
		{"unknown unit", "pressure_psi,flow_L_per_min\n4,20\n", "names no unit of pressure or flow that is known"},
		{"twice", "pressure_cmH2O,pressure_hPa\n4,20\n", "are both a pressure: keep one"},
		{"one column", "pressure_cmH2O\n4\n", "the header has no flow: it should read pressure_cmH2O,flow_L_per_min"},
		{"leak", "pressure_cmH2O,leak_L_per_min\n4,20\n", "is a leak, and a vent curve holds"},
		{"wrong scale", "pressure_hPa,flow_L_per_min\n400,20\n800,29\n1200,35\n", "line 2: curve pressure is 408 cmH2O, outside the range 0 cmH2O to 80 cmH2O"},
		{"no flow", head + "4,0\n8,29\n12,35\n", "line 2: no flow at 4 cmH2O"},
		{"empty", "", "is empty"},
		{"blank", "\n  \n\t\n", "is empty"},
		{"comments only", "# nothing\n", "only comments"},
		{"binary", "\x7fELF\x02\x01\x01\x00\x00\x00\x00\x00\x03", "is not a text file"},
		{"binary with NUL", head + "4,\x00\n", "is not a text file"},
		{"many columns", strings.Repeat("a,", 200) + "\n", "line 1: is beyond 100 columns or 1000000 rows"},
		{"long head", strings.Repeat("a ", 5000) + "cmH2O,flow_L_per_min\n", "names no unit"},
		{"long cell", head + "4," + strings.Repeat("x", 5000) + "\n", "..."},
	} {
		_, err := Vent("curve.csv", []byte(c.text), gas.AtBench())
		if err == nil {
			t.Errorf("%s: not refused", c.name)
			continue
		}
		got := err.Error()
		if !strings.HasPrefix(got, "curve.csv") || !strings.Contains(got, c.want) || len(got) > 300 || strings.Contains(got, "\n") {
			t.Errorf("%s: %s\n want %s", c.name, got, c.want)
		}
	}
}

func TestHolesRefusals(t *testing.T) {
	good := "format = \"tautline vent 1\"\nholes = 20\ndiameter = \"1.1 mm\"\nlength = \"2 mm\"\n"
	if _, err := Vent("v.toml", []byte(good), gas.AtBench()); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, old, new, want string }{
		{"unknown key", "diameter", "diametre", `line 3: the key "diametre" is not known; did you mean "diameter"?`},
		{"far key", "length", "colour", "known here: format, holes, diameter, length"},
		{"missing key", "length = \"2 mm\"\n", "", `"length" is missing`},
		{"no unit", "\"1.1 mm\"", "1.1", "line 3: diameter is 1.1 without a unit: write it in quotation marks"},
		{"no unit in text", "1.1 mm", "1.1", "line 3: diameter: \"1.1\" has no unit; a length is wanted"},
		{"wrong unit", "1.1 mm", "3 N", "is a force; a length is wanted"},
		{"part of a hole", "= 20", "= 2.5", "line 2: holes is 2.5: write their number"},
		{"out of range", "1.1 mm", "60 mm", "hole diameter is 60 mm, outside the range"},
		{"tube", "\"2 mm\"", "\"20 mm\"", "that is a tube"},
		{"large", "holes = 20", strings.Repeat("# a long story\n", 1<<17), "is larger than 1 MB"},
		{"format", "vent 1", "vent 2", "line 1: the format is \"tautline vent 2\""},
		{"not TOML", "holes = 20", "holes = twenty", "line 2: is not TOML"},
		{"section", "holes = 20", "[holes]\nn = 20", "is missing"},
	} {
		_, err := Vent("v.toml", []byte(strings.Replace(good, c.old, c.new, 1)), gas.AtBench())
		if err == nil || !strings.HasPrefix(err.Error(), "v.toml") || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v\n want %s", c.name, err, c.want)
		}
	}
}

func TestReadFileRefusals(t *testing.T) {
	folder := t.TempDir()
	large := filepath.Join(folder, "large.csv")
	f, err := os.Create(large)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Truncate(Largest + 1); err != nil { // takes no room on the disk
		t.Fatal(err)
	}
	f.Close()
	for path, want := range map[string]string{
		large:                             "larger than 64 MB",
		folder:                            "is a folder",
		filepath.Join(folder, "none.csv"): "there is no such file",
	} {
		if _, err := ReadFile(path); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", path, err)
		}
	}
}

func TestGas(t *testing.T) {
	g, err := Gas("36 C, 95 %", gas.AtMask())
	if err != nil || g.Temperature != unit.Celsius(36) || math.Abs(float64(g.Humidity)-0.95) > 1e-12 {
		t.Error(g, err)
	}
	if g, err = Gas("40 %", gas.AtMask()); err != nil || g.Temperature != gas.AtMask().Temperature {
		t.Error(g, err)
	}
	for _, bad := range []string{"", "30", "30 C, 40 C", "30 C; 80 %", "300 C", "30 C, 180 %", "NaN C", "30 C, 0.8"} {
		if _, err := Gas(bad, gas.AtMask()); err == nil {
			t.Errorf("%q passes for a gas", bad)
		}
	}
}

// FuzzCurve: any bytes either make a vent that passes air, or one sentence.
func FuzzCurve(f *testing.F) {
	f.Add([]byte(plain), false)
	f.Add([]byte("Pressure [hPa];Flow [L/s]\n4,0;0,3\n8;0,5\n12;0,6\n"), false)
	f.Add([]byte(utf16Of(plain, binary.BigEndian, true)), false)
	f.Add([]byte("sep=;\n\"a\"\"b;c\n"), false)
	f.Add([]byte("format = \"tautline vent 1\"\nholes = 20\ndiameter = \"1.1 mm\"\nlength = \"2 mm\"\n"), true)
	f.Fuzz(func(t *testing.T, data []byte, geometry bool) {
		name := map[bool]string{true: "f.toml", false: "f.csv"}[geometry]
		v, err := Vent(name, data, gas.AtBench())
		if err != nil {
			if s := err.Error(); !strings.HasPrefix(s, name) || len(s) > 1000 {
				t.Errorf("not a sentence about the file: %q", s)
			}
			return
		}
		if q, _ := v.Flow(10 * unit.CmH2O); !(q > 0) {
			t.Errorf("%v at 10 cmH2O", q)
		}
	})
}
