package skin

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/unit"
)

// TestLinesFall: no published line rises with the time worn, and each stays
// above zero.
func TestLinesFall(t *testing.T) {
	for _, l := range Lines() {
		rapid.Check(t, func(t *rapid.T) {
			hours := rapid.Float64Range(0, 24)
			a, b := unit.Time(hours.Draw(t, "a"))*unit.Hour, unit.Time(hours.Draw(t, "b"))*unit.Hour
			early, late := l.Level(min(a, b)), l.Level(max(a, b))
			if late > early || !(late > 0) || math.IsInf(float64(early), 0) {
				t.Errorf("%s: %v after %v, %v after %v", l.Name, early, min(a, b), late, max(a, b))
			}
			if !l.TakesTime() && early != late {
				t.Errorf("%s takes no time, yet falls from %v to %v", l.Name, early, late)
			}
		})
	}
}

// TestLevels: values worked out by hand from the records: K + C long before the
// middle, K/2 + C in it; 300 mmHg h over the hours, kept at its ends.
func TestLevels(t *testing.T) {
	for _, c := range []struct {
		line string
		worn unit.Time
		mmHg float64
	}{
		{"capillary", 7 * unit.Hour, 32},
		{"muscle", 95 * unit.Minute, 19.5e3 / 133.322},
		{"muscle", 0, 31e3 / 133.322},
		{"muscle", 8 * unit.Hour, 8e3 / 133.322},
		{"pressure-time product", 4 * unit.Hour, 75},
		{"pressure-time product", 10 * unit.Hour, 30},
		{"pressure-time product", 20 * unit.Hour, 30},
		{"pressure-time product", 0, 300},
	} {
		l, ok := FindLine(c.line)
		if got := l.Level(c.worn).MmHg(); !ok || math.Abs(got-c.mmHg) > 1e-3 {
			t.Errorf("%s after %v: %g mmHg, want %g", c.line, c.worn, got, c.mmHg)
		}
	}
}

func TestChosen(t *testing.T) {
	for _, mmHg := range []float64{0.5, 70, 1000} {
		l, err := Chosen(unit.Pressure(mmHg) * unit.MmHg)
		if err != nil || !l.IsSet() || l.TakesTime() || !strings.Contains(l.Name, "your own") {
			t.Errorf("%g mmHg: %+v, %v", mmHg, l, err)
		}
		if got := l.Level(unit.Hour).MmHg(); math.Abs(got-mmHg) > 1e-9 {
			t.Errorf("%g mmHg chosen, %g given", mmHg, got)
		}
	}
	for _, mmHg := range []float64{0, -1, 1001, math.NaN(), math.Inf(1)} {
		l, err := Chosen(unit.Pressure(mmHg) * unit.MmHg)
		if err == nil || l.IsSet() || !strings.Contains(err.Error(), unit.Round(mmHg)+" mmHg") {
			t.Errorf("%g mmHg: %+v, %v", mmHg, l, err)
		}
	}
}

// TestLoad: a contact on the line is one time the line.
func TestLoad(t *testing.T) {
	for _, l := range Lines() {
		level := l.Level(2 * unit.Hour)
		for _, times := range []float64{0, 1, 2.5} {
			if got := l.Load(unit.Pressure(times)*level, 2*unit.Hour); math.Abs(got-times) > 1e-12 {
				t.Errorf("%s: load %g, want %g", l.Name, got, times)
			}
		}
	}
}

// TestNamed: each line is found by its name, with its source and its records;
// no line is chosen unless somebody chooses it.
func TestNamed(t *testing.T) {
	for _, l := range Lines() {
		found, ok := FindLine(l.Name)
		if !ok || found.Name != l.Name || l.Source == "" || !l.IsSet() || len(RecordsOf(l.Name)) == 0 {
			t.Errorf("%q: %+v, %d records", l.Name, found, len(RecordsOf(l.Name)))
		}
	}
	if _, ok := FindLine("usual"); ok || RecordsOf("usual") != nil || (Line{}).IsSet() {
		t.Error("there is a usual line")
	}
}

// TestShearCap: friction times pressure, more when wet.
func TestShearCap(t *testing.T) {
	if got := ShearCap(1000, false); got != 500 {
		t.Errorf("dry %v Pa, want 500", got.Pa())
	}
	if got := ShearCap(1000, true); math.Abs(got.Pa()-1100) > 1e-9 {
		t.Errorf("wet %v Pa, want 1100", got.Pa())
	}
}
