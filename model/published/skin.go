package published

import (
	"tautline/model/skin"
	"tautline/model/unit"
)

// skinLaws are the laws that the checks of section 5 hold.
type skinLaws struct {
	muscle  func(unit.Time) unit.Pressure
	product func(unit.Time) unit.Pressure
	shear   func(contact unit.Pressure, wet bool) unit.Pressure
	load    func(l skin.Line, contact unit.Pressure, worn unit.Time) float64
}

var skinActual = skinLaws{skin.MuscleLevel, skin.ProductLevel, skin.ShearCap, skin.Line.Load}

const (
	linderGanz = "E. Linder-Ganz et al., J Biomech 2006;39:2725-32 (rat muscle)"
	derler     = "S. Derler, L.-C. Gerhardt, Tribol Lett 2012;45:1-27"
)

func skinChecks(l skinLaws) []Check {
	uses := []unit.Parameter{skin.MuscleHeight, skin.MuscleFloor, skin.MuscleMiddle, skin.MuscleSteepness}
	muscle := func(id string, minutes, want, share float64) Check {
		return Check{ID: id, Source: linderGanz, Unit: "kPa", Want: Within(want, unit.Fraction(share)), Uses: uses,
			What: "pressure-time line of muscle after " + unit.Round(minutes) + " min",
			Run: func() (float64, error) {
				return l.muscle(unit.Time(minutes) * unit.Minute).KPa(), nil
			}}
	}
	capillary, _ := skin.FindLine("capillary")
	all := []Check{
		muscle("skin-muscle-early", 30, 32, 0.05), muscle("skin-muscle-late", 121, 9, 0.10),
		{ID: "skin-product", Source: "S. I. Reswick, J. E. Rogers, 1976 (from memory): about 300 mmHg h", Unit: "mmHg", Want: Within(100, 0.01),
			What: "inverse pressure-time line after 3 h",
			Run:  func() (float64, error) { return l.product(3 * unit.Hour).MmHg(), nil }},
		{ID: "skin-capillary", Source: "E. M. Landis, Heart 1930;15:209-28: 32 mmHg", Want: Within(2, 0.001),
			What: "load of 64 mmHg as a multiple of the capillary line",
			Run:  func() (float64, error) { return l.load(capillary, 64*unit.MmHg, 0), nil }},
		{ID: "skin-shear-dry", Source: derler + ": 0.5 dry", Unit: "kPa", Want: Within(1, 0.01),
			What: "shear that friction can pass on, 2 kPa, dry skin",
			Run:  func() (float64, error) { return l.shear(2*unit.KPa, false).KPa(), nil }},
		{ID: "skin-shear-wet", Source: derler + ": over 1 wet", Unit: "kPa", Want: AtLeast(2),
			What: "the same, wet skin",
			Run:  func() (float64, error) { return l.shear(2*unit.KPa, true).KPa(), nil }},
	}
	for i := range all {
		all[i].Section = 5
	}
	return all
}
