package words

import (
	"errors"
	"fmt"
	"sort"

	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/explain"
	"tautline/model/fit"
	"tautline/model/gas"
	"tautline/model/unit"
	"tautline/model/vent"
)

// A Reading is one pair of numbers: at a pressure, a flow.
type Reading struct {
	Pressure unit.Pressure
	Flow     unit.Flow
	Posture  explain.Posture // how the person lay, as far as it was said
	Time     unit.Time       // since the first reading
	Timed    bool            // whether that was told
}

// Lying says how the person lay or sat at a reading: "on the back", "on the left
// side", "sitting"; or "don't know".
//
// Example: Reading(8*CmH2O, 31*LPerMin).Lying("on the back")
func (r Reading) Lying(position string) Reading {
	p, ok := scenario.ParsePosture(position)
	if !ok {
		var known []string
		for _, p := range fit.Positions() {
			known = append(known, p.Name)
		}
		panic(unknown("position", position, known))
	}
	r.Posture = p
	return r
}

// After says how long after the first reading this one was taken; the first has
// After(0*Minute).
//
// Unit: a time, such as 20*Minute or 3*Hour
// Example: Reading(8*CmH2O, 31*LPerMin).After(2*Hour)
func (r Reading) After(t unit.Time) Reading {
	if !(t >= 0) {
		panic(fmt.Errorf("times count from the first reading, so %s is before it", t))
	}
	r.Time, r.Timed = t, true
	return r
}

// String is the pair with its units.
func (r Reading) String() string { return fmt.Sprintf("%s at %s", r.Flow, r.Pressure) }

// reading makes one pair from numbers that were read off: at a pressure, a
// flow. Which flow it is, the list that it belongs to says.
//
// Unit: a pressure and a flow
// Range: pressures from 0 to 60 cmH2O; flows from 0 up
// Source: what is typed in
// Example: Reading(8*CmH2O, 31*LPerMin)
func reading(pressure unit.Pressure, flow unit.Flow) Reading {
	check(vent.CheckPressure(pressure))
	if !(flow >= 0) {
		panic(fmt.Errorf("a flow that was read is zero or more, not %s", flow))
	}
	return Reading{Pressure: pressure, Flow: flow}
}

// A ReadingList is what was read off in a clinic: leaks at pressures, by rising
// pressure.
type ReadingList struct {
	All  []Reading
	name string

	clinic []scenario.Clinic // the files, with what they say of their readings
}

// readings makes a list of leaks at pressures, typed in one by one, read from a
// CSV file in the notebook's folder, or put together from such lists. The header of such a file names both
// columns and their units: pressure_cmH2O,leak_L_per_min.
//
// Unit: pressures and flows
// Range: one reading or more; pressures from 0 to 60 cmH2O
// Source: what is typed in, or the file
// Example: Readings(Reading(8*CmH2O, 31*LPerMin), Reading(12*CmH2O, 44*LPerMin))
func (p *place) readings(from ...any) ReadingList {
	l := ReadingList{name: "typed in"}
	for _, x := range from {
		switch x := x.(type) {
		case Reading:
			l.All = append(l.All, x)
		case ReadingList:
			l.All, l.clinic = append(l.All, x.All...), append(l.clinic, x.clinic...)
		case string:
			l.name = x
			c, err := scenario.Readings(x, p.read(x))
			check(err)
			l.take(c)
		default:
			panic(fmt.Errorf("what Readings takes is the name of a file, or readings such as Reading(8*CmH2O, 31*LPerMin); it got %v", x))
		}
	}
	if len(l.All) == 0 {
		panic(errors.New("it takes at least one reading to make Readings, such as Reading(8*CmH2O, 31*LPerMin)"))
	}
	sort.SliceStable(l.All, func(i, j int) bool { return l.All[i].Pressure < l.All[j].Pressure })
	return l
}

// reader is a front that can read files of the notebook's folder.
type reader interface {
	Read(name string) ([]byte, error)
}

// And gives the list with one reading more.
//
// Example: Readings(Reading(8*CmH2O, 31*LPerMin)).And(12*CmH2O, 44*LPerMin)
func (l ReadingList) And(pressure unit.Pressure, flow unit.Flow) ReadingList {
	return (*place)(nil).readings(l, reading(pressure, flow))
}

// take adds what a file holds, and what it says of it.
func (l *ReadingList) take(c scenario.Clinic) {
	for _, r := range c.Readings {
		l.All = append(l.All, Reading{r.Pressure, r.Flow, r.Posture, r.Time, r.HasTime})
	}
	l.clinic = append(l.clinic, c)
}

// read gives a file's content, and nothing else opens one.
func (p *place) read(name string) []byte {
	r, ok := reader(nil), false
	if p != nil {
		r, ok = p.front.(reader)
	}
	if !ok {
		panic(fmt.Errorf("no file can be read here, so %q cannot; type in what it says instead", name))
	}
	data, err := r.Read(name)
	check(err)
	return data
}

// String is the list as text.
func (l ReadingList) String() string { return l.sheet().text() }

// Mimebundle shows the list as a table.
func (l ReadingList) Mimebundle() map[string]any { return l.sheet().bundle() }

func (l ReadingList) sheet() sheet {
	rows := [][]string{{"pressure", "leak"}, {"cmH2O", "L/min"}}
	for _, r := range l.All {
		rows = append(rows, []string{unit.Round(r.Pressure.CmH2O()), unit.Round(r.Flow.LPerMin())})
	}
	return sheet{tables: []table{{caption: "Readings, " + l.name, head: 2, rows: rows}}}
}

// A MaskVent is a mask vent on its own: what it passes at a pressure.
type MaskVent struct {
	vent.Vent
	name string
}

// maskVent takes the vent out of a mask, to look at it alone: the flow that is
// meant to leave. It shows the curve, the power law through it, and the flow
// below which the mask is no longer cleared between two breaths.
//
// Equation: Q = K (P / 1 cmH2O)^n, with K and n from the curve's points
// Unit: a flow at a pressure
// Range: the pressures of the curve; beyond them it is extrapolated, and said
// Source: the mask's curve, invented in the catalogue
// Example: Vent(Mask("nasal", "medium")).At(12*CmH2O)
func maskVent(m Mask) MaskVent { return MaskVent{m.Vent, m.Name} }

// ventCurve makes a vent from its published curve: three points or more, typed
// in one by one or read from a CSV file in the notebook's folder with the
// header pressure_cmH2O,flow_L_per_min. The curve counts as measured at 20 C,
// 50 % humidity and sea level.
//
// Equation: a smooth curve through the points, and beyond them Q = K P^n
// Unit: pressures and flows
// Range: pressures from 0 to 60 cmH2O, rising
// Source: what is typed in, or the file
// Example: VentCurve("curve.csv")
func (p *place) ventCurve(from ...any) MaskVent {
	var points []vent.Point
	for _, x := range from {
		switch x := x.(type) {
		case Reading:
			points = append(points, vent.Point{Pressure: x.Pressure, Flow: x.Flow})
		case string:
			v, err := scenario.Vent(x, p.read(x), gas.AtBench())
			check(err)
			return MaskVent{v, x}
		default:
			panic(fmt.Errorf("VentCurve wants the name of a file, or points such as Reading(8*CmH2O, 31*LPerMin), and got %v", x))
		}
	}
	v, err := vent.FromPoints(points, gas.AtBench())
	check(err)
	return MaskVent{v, "typed in"}
}

// At gives the flow through the vent at a mask pressure.
func (v MaskVent) At(pressure unit.Pressure) unit.Flow {
	check(vent.CheckPressure(pressure))
	q, _ := v.Flow(pressure)
	return q
}

// Blocked gives the vent with a share of its area covered or dirty.
func (v MaskVent) Blocked(share unit.Fraction) MaskVent {
	return MaskVent{blocked(v.Vent, share), v.name}
}

func blocked(v vent.Vent, share unit.Fraction) vent.Vent {
	if !(share >= 0 && share < 1) {
		panic(fmt.Errorf("a share of the vent from 0*Percent to below 100*Percent can be blocked, not %s", share))
	}
	return v.Blocked(share)
}

// Blocked gives the mask with a share of its vent covered or dirty.
//
// Range: from 0*Percent to below 100*Percent
// Example: PutOn(mask.Blocked(67*Percent), face, Straps(3*N))
func (m Mask) Blocked(share unit.Fraction) Mask {
	m.Vent = blocked(m.Vent, share)
	return m
}

// String is the vent as text.
func (v MaskVent) String() string { return v.sheet().text() }

// Mimebundle shows the curve and what is said of it.
func (v MaskVent) Mimebundle() map[string]any { return v.sheet().bundle() }

func (v MaskVent) answer() report.VentAnswer {
	return report.VentAnswer{Name: v.name, Published: v.Vent, Vent: v.Vent, At: compared}
}
