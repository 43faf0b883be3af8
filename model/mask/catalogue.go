package mask

import (
	"fmt"
	"slices"
	"strings"

	"tautline/model/face"
	"tautline/model/gas"
	"tautline/model/unit"
	"tautline/model/vent"
)

// The masks here are invented for teaching. Their numbers were chosen so that
// the published checks come out together; no maker's mask stands behind them.

// Sizes lists the sizes of every type, small first.
func Sizes() []string { return []string{"small", "medium", "large"} }

// Types lists the types of the catalogue.
func Types() []Type { return []Type{Oronasal, Nasal, Pillows} }

// a design is one type with the records of its numbers.
type design struct {
	kind      Type
	numbers   map[string]*unit.Parameter // by the names below
	landmarks []Landmark
	profile   map[face.Site]float64 // mm on an average face
	perLength map[face.Site]float64
	perWidth  map[face.Site]float64
	perNose   map[face.Site]float64
	sizes     map[string]dimensions
	straps    []Strap
	curve     []vent.Point
}

// dimensions are one size's rim, and the face that it is drawn for, in mm.
type dimensions struct{ width, height, length, across, nose float64 }

const (
	contactWidth = "contact width"
	wall         = "cushion stiffness"
	bottoming    = "cushion bottoming"
	stiffening   = "stiffening when bottomed out"
	crushing     = "crush depth"
	flapShare    = "flap share"
	flapReach    = "flap reach"
	taper        = "rim taper"
	apart        = "distance of the rims"
	strapSpring  = "strap stiffness"
	upperShare   = "upper straps' share"
	weight       = "mask weight"
	deadSpace    = "mask dead space"
)

// likely is where a design's number may well lie, as shares of its value;
// assumed. Softness is known worst, since no cushion's was published; what a
// ruler or a balance tells is known best.
var likely = map[string][2]float64{
	contactWidth: {0.8, 1.25},
	wall:         {0.5, 1.5}, // 2e5 to 6e5 Pa/m for any mask
	bottoming:    {0.7, 1.3},
	stiffening:   {0.6, 1.7},
	flapShare:    {0.8, 1.15},
	flapReach:    {0.65, 1.35}, // 2 to 4 mm
	strapSpring:  {0.6, 1.4},
	upperShare:   {0.8, 1.2},
	weight:       {0.8, 1.25},
}

// looked says why a design's other numbers are not drawn.
var looked = map[string]string{
	taper:     ownShape,
	apart:     ownShape,
	crushing:  "only says when a warning is shown",
	deadSpace: "does not touch the seal",
}

// number makes the record of a design's number.
func number(name, symbol, units string, value, low, high float64, meaning string) *unit.Parameter {
	p := &unit.Parameter{Name: name, Symbol: symbol, Unit: units, Value: value, Low: low, High: high,
		Meaning: meaning, Origin: unit.Calibrated, Fixed: looked[name],
		Source: "invented mask; chosen to meet the published contact pressures and leaks together"}
	if f, ok := likely[name]; ok {
		p.Likely = [2]float64{value * f[0], value * f[1]}
	}
	return p
}

func numbers(records ...*unit.Parameter) map[string]*unit.Parameter {
	all := map[string]*unit.Parameter{}
	for _, r := range records {
		all[r.Name] = r
	}
	return all
}

var designs = []design{
	{
		kind: Oronasal,
		numbers: numbers(
			number(contactWidth, "b", "mm", 10, 0.5, 40, "width of the band that touches"),
			number(wall, "kc", "kPa/mm", 0.4, 0.001, 1000, "pressure per depth of the cushion wall"),
			number(bottoming, "xb", "mm", 6, 0.5, 1000, "depth at which the wall bottoms out and stiffens"),
			number(stiffening, "", "", 3, 1, 100, "how many times stiffer a bottomed-out wall is"),
			number(crushing, "", "", 2, 1, 100, "depth of a crushed wall over that at which it bottoms out"),
			number(flapShare, "eta", "", 0.8, 0, 1, "share of the mask pressure that the flap adds to the contact"),
			number(flapReach, "", "mm", 3, 0.01, 20, "how far the flap follows a receding skin"),
			number(taper, "", "", 0.25, 0, 0.6, "how much narrower the rim is at the top"),
			number(strapSpring, "Ks", "N/m", 1200, 0.001, 1e6, "pull per stretch of one strap"),
			number(upperShare, "", "", 0.6, 0.05, 0.95, "share of the pull in the upper pair"),
			number(weight, "W", "N", 0.9, 0, 5, "mask with elbow and the hose's end"),
			number(deadSpace, "", "", 0.2, 0, 1, "air between face and vent, L"),
		),
		landmarks: landmarks(face.Bridge, 0, face.NoseSideLeft, 40, face.CheekLeft, 85, face.CornerLeft, 130, face.Chin, 180),
		profile:   map[face.Site]float64{face.Bridge: -6, face.NoseSideLeft: -1.5, face.CheekLeft: -1.5, face.Chin: 3},
		perLength: map[face.Site]float64{face.Chin: 0.45, face.CornerLeft: 0.15},
		perWidth:  map[face.Site]float64{face.CheekLeft: 0.1},
		perNose:   map[face.Site]float64{face.NoseSideLeft: 0.35, face.CheekLeft: 0.5},
		sizes: map[string]dimensions{"small": {82, 103, 110, 133, 32}, "medium": {88, 112, 118, 138, 35},
			"large": {94, 121, 126, 143, 38}},
		straps: fourStraps(34, 34, 38, -34),
		curve:  points(3, 18, 4, 21, 6, 26, 8, 30, 10, 33.5, 12, 37, 15, 41.5, 20, 48, 25, 54),
	},
	{
		kind: Nasal,
		numbers: numbers(
			number(contactWidth, "b", "mm", 8, 0.5, 40, "width of the band that touches"),
			number(wall, "kc", "kPa/mm", 0.3, 0.001, 1000, "pressure per depth of the cushion wall"),
			number(bottoming, "xb", "mm", 6, 0.5, 1000, "depth at which the wall bottoms out and stiffens"),
			number(stiffening, "", "", 3, 1, 100, "how many times stiffer a bottomed-out wall is"),
			number(crushing, "", "", 2, 1, 100, "depth of a crushed wall over that at which it bottoms out"),
			number(flapShare, "eta", "", 0.8, 0, 1, "share of the mask pressure that the flap adds to the contact"),
			number(flapReach, "", "mm", 3, 0.01, 20, "how far the flap follows a receding skin"),
			number(taper, "", "", 0.3, 0, 0.6, "how much narrower the rim is at the top"),
			number(strapSpring, "Ks", "N/m", 700, 0.001, 1e6, "pull per stretch of one strap"),
			number(upperShare, "", "", 0.6, 0.05, 0.95, "share of the pull in the upper pair"),
			number(weight, "W", "N", 0.6, 0, 5, "mask with elbow and the hose's end"),
			number(deadSpace, "", "", 0.1, 0, 1, "air between face and vent, L"),
		),
		landmarks: landmarks(face.Bridge, 0, face.NoseSideLeft, 45, face.CheekLeft, 110, face.Lip, 180),
		profile:   map[face.Site]float64{face.Bridge: -2.5, face.CheekLeft: 2, face.Lip: -0.5},
		perLength: map[face.Site]float64{face.Lip: 0.25, face.Bridge: 0.1},
		perNose:   map[face.Site]float64{face.NoseSideLeft: 0.35, face.CheekLeft: 0.5},
		sizes: map[string]dimensions{"small": {45, 53, 110, 133, 31}, "medium": {50, 58, 118, 138, 35},
			"large": {55, 63, 126, 143, 39}},
		straps: fourStraps(16, 16, 18, -14),
		curve:  points(3, 15.5, 4, 18, 6, 22.5, 8, 26, 10, 29.5, 12, 32.5, 15, 36.5, 20, 42, 25, 47.5),
	},
	{
		kind: Pillows,
		numbers: numbers(
			number(contactWidth, "b", "mm", 4, 0.5, 40, "width of the band that touches"),
			number(wall, "kc", "kPa/mm", 0.4, 0.001, 1000, "pressure per depth of the cushion wall"),
			number(bottoming, "xb", "mm", 3, 0.5, 1000, "depth at which the wall bottoms out and stiffens"),
			number(stiffening, "", "", 3, 1, 100, "how many times stiffer a bottomed-out wall is"),
			number(crushing, "", "", 3.5, 1, 100, "depth of a crushed wall over that at which it bottoms out"),
			number(flapShare, "eta", "", 0.8, 0, 1, "share of the mask pressure that the flap adds to the contact"),
			number(flapReach, "", "mm", 1, 0.01, 20, "how far the flap follows a receding skin"),
			number(apart, "", "mm", 20, 8, 40, "from the middle of one pillow to the other"),
			number(strapSpring, "Ks", "N/m", 700, 0.001, 1e6, "pull per stretch of one strap"),
			number(weight, "W", "N", 0.35, 0, 5, "mask with elbow and the hose's end"),
			number(deadSpace, "", "", 0.05, 0, 1, "air between face and vent, L"),
		),
		sizes: map[string]dimensions{"small": {9.5, 13, 110, 133, 31}, "medium": {11, 15, 118, 138, 35},
			"large": {12.5, 17, 126, 143, 39}},
		straps: twoStraps(28),
		curve:  points(3, 15, 4, 17.5, 6, 21.5, 8, 25.5, 10, 28.5, 12, 31.5, 15, 35.5, 20, 41, 25, 46),
	},
}

// landmarks reads pairs of site and angle in degrees, and mirrors them.
func landmarks(pairs ...any) []Landmark {
	var out []Landmark
	for i := 0; i < len(pairs); i += 2 {
		s, deg := pairs[i].(face.Site), unit.Angle(pairs[i+1].(int))*unit.Degree
		out = append(out, Landmark{s, deg})
		if s.Mirror() != s {
			out = append(out, Landmark{s.Mirror(), -deg})
		}
	}
	return out
}

// fourStraps places an upper and a lower pair, in mm.
func fourStraps(ux, uy, lx, ly unit.Length) []Strap {
	at := func(name string, upper, left bool, x, y unit.Length) Strap {
		return Strap{Name: name, Upper: upper, Left: left, X: x * unit.Mm, Y: y * unit.Mm}
	}
	return []Strap{at("upper left", true, true, ux, uy), at("upper right", true, false, -ux, uy),
		at("lower left", false, true, lx, ly), at("lower right", false, false, -lx, ly)}
}

func twoStraps(x unit.Length) []Strap {
	return []Strap{{Name: "left", Left: true, Upper: true, X: x * unit.Mm},
		{Name: "right", Upper: true, X: -x * unit.Mm}}
}

// points reads pairs of cmH2O and L/min.
func points(pairs ...float64) []vent.Point {
	var out []vent.Point
	for i := 0; i < len(pairs); i += 2 {
		out = append(out, vent.Point{Pressure: unit.Pressure(pairs[i]) * unit.CmH2O, Flow: unit.Flow(pairs[i+1]) * unit.LPerMin})
	}
	return out
}

// An UnknownError says which type or size is not in the catalogue and which
// are.
type UnknownError struct {
	What, Name string
	Known      []string
}

func (e *UnknownError) Error() string {
	known := strings.Join(e.Known, ", ")
	if e.Name == "" {
		return fmt.Sprintf("the mask's %s is not said: it is one of %s", e.What, known)
	}
	return fmt.Sprintf("there is no mask of the %s %q in the catalogue: there are %s", e.What, e.Name, known)
}

// Find gives a mask of the catalogue.
func Find(kind Type, size string) (Mask, error) {
	i := slices.IndexFunc(designs, func(d design) bool { return d.kind == kind })
	if i < 0 {
		var known []string
		for _, t := range Types() {
			known = append(known, string(t))
		}
		return Mask{}, &UnknownError{"type", string(kind), known}
	}
	dims, ok := designs[i].sizes[size]
	if !ok {
		return Mask{}, &UnknownError{"size", size, Sizes()}
	}
	return designs[i].build(size, dims)
}

// UpperShare gives the share of the pull that a type's upper pair carries
// unless stated; false for a mask with a single pair.
func UpperShare(kind Type) (unit.Fraction, bool) {
	for _, d := range designs {
		if p := d.numbers[upperShare]; d.kind == kind && p != nil {
			return unit.Fraction(p.SI()), true
		}
	}
	return 1, false
}

func (d *design) build(size string, dims dimensions) (Mask, error) {
	si := func(name string) float64 {
		if p := d.numbers[name]; p != nil {
			return p.SI()
		}
		return 0
	}
	v, err := vent.FromPoints(d.curve, gas.AtBench())
	if err != nil {
		return Mask{}, fmt.Errorf("the vent of the %s mask: %w", d.kind, err)
	}
	m := Mask{
		Name: fmt.Sprintf("%s, %s (invented)", d.kind, size), Type: d.kind, Size: size,
		Rims:   d.rims(dims, si(taper), unit.Length(si(apart))),
		Width:  unit.Length(si(contactWidth)),
		Weight: unit.Force(si(weight)), DeadSpace: si(deadSpace) * 1e-3,
		Cushion: Cushion{Stiffness: unit.Foundation(si(wall)), Bottoming: unit.Length(si(bottoming)),
			Stiffening: si(stiffening), Crushing: si(crushing), FlapShare: unit.Fraction(si(flapShare)), FlapReach: unit.Length(si(flapReach))},
		Straps:     slices.Clone(d.straps),
		FitsLength: unit.Length(dims.length) * unit.Mm, FitsWidth: unit.Length(dims.across) * unit.Mm, FitsNose: unit.Length(dims.nose) * unit.Mm,
		PerLength: mirrored(d.perLength), PerWidth: mirrored(d.perWidth), PerNose: mirrored(d.perNose),
		Vent: v,
	}
	for s, mm := range mirrored(d.profile) {
		m.Profile[s] = unit.Length(mm) * unit.Mm
	}
	wide, high := d.grown(dims)
	for i := range m.Straps {
		s := &m.Straps[i]
		s.Stiffness = unit.Stiffness(si(strapSpring))
		s.X *= unit.Length(wide)
		s.Y *= unit.Length(high)
	}
	return m, nil
}

// grown tells how much a size's frame is wider and higher than the medium
// one's: it grows with the rim, but for pillows, which share one frame.
func (d *design) grown(dims dimensions) (wide, high float64) {
	if d.kind == Pillows {
		return 1, 1
	}
	medium := d.sizes["medium"]
	return dims.width / medium.width, dims.height / medium.height
}

func (d *design) rims(dims dimensions, taper float64, apart unit.Length) []Rim {
	w, h := unit.Length(dims.width)*unit.Mm, unit.Length(dims.height)*unit.Mm
	if d.kind != Pillows {
		return []Rim{{Width: w, Height: h, Taper: taper, Landmarks: d.landmarks}}
	}
	one := func(x unit.Length, s face.Site) Rim {
		return Rim{Width: w, Height: h, CentreX: x, Landmarks: []Landmark{{Site: s}}}
	}
	return []Rim{one(apart/2, face.NostrilLeft), one(-apart/2, face.NostrilRight)}
}

// mirrored spreads the values of left sites to the right.
func mirrored(values map[face.Site]float64) (out [face.SiteCount]float64) {
	for s, v := range values {
		out[s], out[s.Mirror()] = v, v
	}
	return out
}
