package mask

import (
	"fmt"

	"tautline/model/face"
	"tautline/model/unit"
)

// The names of the records that a file may state, for whoever reads one.
const (
	ContactWidth = contactWidth
	WallRecord   = wall
	Bottoming    = bottoming
	Stiffening   = stiffening
	CrushDepth   = crushing
	FlapShare    = flapShare
	FlapReach    = flapReach
	Taper        = taper
	Apart        = apart
	StrapSpring  = strapSpring
	UpperPart    = upperShare
	WeightRecord = weight
)

// order is that in which lists show a design's numbers.
var order = []string{contactWidth, wall, bottoming, stiffening, crushing, flapShare, flapReach,
	taper, apart, strapSpring, upperShare, weight, deadSpace}

const (
	inventedShape = "invented mask"
	// ownShape is why a rim is not drawn: what is uncertain between rim and face
	// is drawn once, as the shape of the face.
	ownShape = "measured on the mask; what is unsure between rim and face is drawn as the face's shape"
)

// shape makes the record of a length that a design holds as plain millimetres.
func shape(name string, value, low, high float64, meaning string) unit.Parameter {
	return unit.Parameter{Name: name, Unit: "mm", Value: value, Low: low, High: high,
		Meaning: meaning, Fixed: ownShape, Origin: unit.Assumed, Source: inventedShape}
}

// Parameters lists the adjustable numbers of one mask of the catalogue: those
// of its type, its size, its profile on an average face, its straps' places and
// its vent curve. An unknown type or size has none.
func Parameters(kind Type, size string) []unit.Parameter {
	for i := range designs {
		d := &designs[i]
		if dims, ok := d.sizes[size]; ok && d.kind == kind {
			return d.parameters(dims)
		}
	}
	return nil
}

func (d *design) parameters(dims dimensions) []unit.Parameter {
	var all []unit.Parameter
	for _, name := range order {
		if p := d.numbers[name]; p != nil {
			all = append(all, *p)
		}
	}
	all = append(all,
		shape("rim width", dims.width, 4, 160, "across, middle of the contact band"),
		shape("rim height", dims.height, 4, 200, "up, middle of the contact band"),
		shape("fitting face length", dims.length, 80, 160, "face length that the size is drawn for"),
		shape("fitting face width", dims.across, 100, 180, "face width that the size is drawn for"),
		shape("fitting nose width", dims.nose, 15, 60, "nose width that the size is drawn for"))
	all = append(all, d.siteParameters()...)
	all = append(all, d.strapParameters(dims)...)
	for _, p := range d.curve {
		all = append(all, unit.Parameter{Name: "vent flow at " + p.Pressure.String(), Unit: "L/min",
			Value: p.Flow.LPerMin(), Low: 0, High: 250, Meaning: "point of the vent's curve, measured at the bench",
			Fixed:  "drawn once for the whole curve, as the vent's tolerance",
			Origin: unit.Assumed, Source: "invented vent, between 28 and 47 L/min at 14 cmH2O as seven masks measured by J. C. Borel et al., Chest 2009;135:669-77"})
	}
	return all
}

// siteParameters lists the profile and what a wrong size does, site by site.
func (d *design) siteParameters() []unit.Parameter {
	profile, perLength, perWidth, perNose := mirrored(d.profile), mirrored(d.perLength), mirrored(d.perWidth), mirrored(d.perNose)
	var all []unit.Parameter
	for _, s := range d.sites() {
		all = append(all, shape("profile, "+s.String(), profile[s], -20, 20,
			"mismatch left on an average face; negative: the face stands proud"))
	}
	per := func(name string, value float64, of string) {
		if value != 0 {
			all = append(all, unit.Parameter{Name: name, Value: value, Low: -2, High: 2, Fixed: ownShape, Origin: unit.Assumed,
				Source: inventedShape, Meaning: "mm of mismatch per mm of " + of + " too large a size"})
		}
	}
	for _, s := range d.sites() {
		per("size effect of length, "+s.String(), perLength[s], "face length")
		per("size effect of face width, "+s.String(), perWidth[s], "face width")
		per("size effect of width, "+s.String(), perNose[s], "nose width")
	}
	return all
}

// strapParameters lists where the straps hold, as a size places them.
func (d *design) strapParameters(dims dimensions) []unit.Parameter {
	wide, high := d.grown(dims)
	var all []unit.Parameter
	for _, s := range d.straps {
		all = append(all,
			shape(fmt.Sprintf("strap %s, across", s.Name), s.X.Mm()*wide, -150, 150, "where it holds, to the wearer's left"),
			shape(fmt.Sprintf("strap %s, up", s.Name), s.Y.Mm()*high, -150, 150, "where it holds, above the rim's middle"))
	}
	return all
}

// sites lists the sites that the design touches, in table order.
func (d *design) sites() []face.Site {
	m := Mask{Rims: d.rims(d.sizes["medium"], 0, 0)}
	return m.Sites()
}
