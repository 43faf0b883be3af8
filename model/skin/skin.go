// Package skin sets contact pressure against reference lines. None of the
// lines is a limit for the skin of a face, and none is a default: whoever asks
// chooses one, and it is named wherever it is used.
package skin

import (
	"fmt"
	"math"

	"tautline/model/unit"
)

// A Line is a contact pressure, perhaps falling with the time worn, that a
// load can be compared with.
type Line struct {
	Name   string
	Source string
	level  unit.Pressure // when it does not depend on time
	law    func(worn unit.Time) unit.Pressure
}

// Level gives the line's pressure for a time worn.
func (l Line) Level(worn unit.Time) unit.Pressure {
	if l.law != nil {
		return l.law(worn)
	}
	return l.level
}

// TakesTime tells whether the line falls with the time worn, which must then be
// stated.
func (l Line) TakesTime() bool { return l.law != nil }

// IsSet tells whether a line was chosen at all.
func (l Line) IsSet() bool { return l.level > 0 || l.law != nil }

// Chosen gives a line of the user's own at one pressure.
func Chosen(level unit.Pressure) (Line, error) {
	if !(level > 0) || level > 1000*unit.MmHg {
		return Line{}, fmt.Errorf("a reference line lies between 0 and 1000 mmHg, not at %s mmHg", unit.Round(level.MmHg()))
	}
	return Line{Name: unit.Round(level.MmHg()) + " mmHg, your own", Source: "chosen by the user", level: level}, nil
}

// The records of the published lines.
var (
	Capillary = unit.Parameter{Name: "capillary line", Unit: "mmHg", Value: 32, Low: 10, High: 32,
		Meaning: "mean pressure in the arterial end of a skin capillary: a historic marker, not a limit",
		Origin:  unit.Read, Source: "E. M. Landis, Heart 1930;15:209-28: 10 to 32 mmHg along a capillary"}
	MuscleHeight = unit.Parameter{Name: "muscle line, height", Symbol: "K", Unit: "kPa", Value: 23, Low: 10, High: 40,
		Meaning: "how far the line falls", Origin: unit.Memory, Source: linderGanz}
	MuscleFloor = unit.Parameter{Name: "muscle line, floor", Symbol: "C", Unit: "kPa", Value: 8, Low: 4, High: 15,
		Meaning: "where the line ends", Origin: unit.Memory, Source: linderGanz}
	MuscleMiddle = unit.Parameter{Name: "muscle line, middle", Symbol: "t0", Unit: "min", Value: 95, Low: 30, High: 200,
		Meaning: "time at which it has fallen half", Origin: unit.Memory, Source: linderGanz}
	// MuscleSteepness is in 1/min.
	MuscleSteepness = unit.Parameter{Name: "muscle line, steepness", Symbol: "a", Value: 0.15, Low: 0.02, High: 1,
		Meaning: "steepness of the fall, 1/min", Origin: unit.Memory, Source: linderGanz}
	Product = unit.Parameter{Name: "pressure-time product", Unit: "mmHg", Value: 300, Low: 200, High: 600,
		Meaning: "pressure times hours worn, mmHg h, between 1 and 10 h", Origin: unit.Memory,
		Source: "S. I. Reswick, J. E. Rogers, in Bed Sore Biomechanics, 1976"}
)

const linderGanz = "E. Linder-Ganz et al., J Biomech 2006;39:2725-32 (rat muscle, not facial skin)"

// MuscleLevel is the pressure-time curve found in rat muscle: 32 kPa under an
// hour, falling to 9 kPa beyond two.
//
//	p = K / (1 + exp(a (t - t0))) + C
//
// inputs: time worn; result: pressure; source: Linder-Ganz et al. 2006.
func MuscleLevel(worn unit.Time) unit.Pressure {
	t := (worn - unit.Time(MuscleMiddle.SI())).Minutes()
	fall := MuscleHeight.SI() / (1 + math.Exp(MuscleSteepness.Value*t))
	return unit.Pressure(fall + MuscleFloor.SI())
}

// ProductLevel is the inverse pressure-time line, 300 mmHg h over the hours
// worn; published between 1 and 10 h, outside of which the nearest end holds.
func ProductLevel(worn unit.Time) unit.Pressure {
	hours := min(max(worn.Hours(), 1), 10)
	return unit.Pressure(Product.SI() / hours)
}

// Lines lists the published lines by the names that files use.
func Lines() []Line {
	return []Line{
		{Name: "capillary", Source: Capillary.Source, level: unit.Pressure(Capillary.SI())},
		{Name: "muscle", Source: linderGanz, law: MuscleLevel},
		{Name: "pressure-time product", Source: Product.Source, law: ProductLevel},
	}
}

// FindLine gives a published line by name.
func FindLine(name string) (Line, bool) {
	for _, l := range Lines() {
		if l.Name == name {
			return l, true
		}
	}
	return Line{}, false
}

// Load gives a contact pressure as a multiple of the line for the time worn.
func (l Line) Load(contact unit.Pressure, worn unit.Time) float64 {
	return float64(contact / l.Level(worn))
}

// The friction records.
var (
	FrictionDry = unit.Parameter{Name: "skin friction, dry", Symbol: "mu", Value: 0.5, Low: 0.1, High: 1,
		Meaning: "friction coefficient of dry skin on silicone", Origin: unit.Read,
		Source: "S. Derler, L.-C. Gerhardt, Tribol Lett 2012;45:1-27"}
	FrictionWet = unit.Parameter{Name: "skin friction, wet", Symbol: "mu", Value: 1.1, Low: 1, High: 3,
		Meaning: "friction coefficient of wet skin", Origin: unit.Read,
		Source: "S. Derler, L.-C. Gerhardt, Tribol Lett 2012;45:1-27: above 1"}
)

// ShearCap is the largest shear that friction can pass on: friction times
// contact pressure.
func ShearCap(contact unit.Pressure, wet bool) unit.Pressure {
	if wet {
		return contact * unit.Pressure(FrictionWet.Value)
	}
	return contact * unit.Pressure(FrictionDry.Value)
}

// Parameters lists the records of the package.
func Parameters() []unit.Parameter {
	return []unit.Parameter{Capillary, MuscleHeight, MuscleFloor, MuscleMiddle, MuscleSteepness,
		Product, FrictionDry, FrictionWet}
}

// RecordsOf lists the records behind a published line.
func RecordsOf(line string) []unit.Parameter {
	switch line {
	case "capillary":
		return []unit.Parameter{Capillary}
	case "muscle":
		return []unit.Parameter{MuscleHeight, MuscleFloor, MuscleMiddle, MuscleSteepness}
	case "pressure-time product":
		return []unit.Parameter{Product}
	}
	return nil
}
