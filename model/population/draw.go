package population

import (
	"math"
	"math/rand/v2"

	"tautline/model/face"
	"tautline/model/unit"
)

// The records of what the dimensions do not tell.
var (
	// SiteSpread is how far random faces depart from the average at a site.
	SiteSpread = unit.Parameter{Name: "spread of faces at a site", Symbol: "sd", Unit: "mm", Value: 2, Low: 0, High: 8, Fixed: heldFaces,
		Meaning: "standard deviation of a site's departure from an average face", Origin: unit.Assumed,
		Source: "assumed; no published figure found for the depth of a face along a mask's rim"}
	// NostrilSpread is the same at the nostrils, which pillows meet.
	NostrilSpread = unit.Parameter{Name: "spread of faces at a nostril", Symbol: "sd", Unit: "mm", Value: 0.5, Low: 0, High: 4, Fixed: heldFaces,
		Meaning: "standard deviation of a nostril's departure from an average face", Origin: unit.Assumed, Source: assumed}
	// Symmetry is how much left and right have in common.
	Symmetry = unit.Parameter{Name: "likeness of left and right", Symbol: "r", Value: 0.8, Low: 0, High: 1, Fixed: heldFaces,
		Meaning: "correlation of a site's departure with its mirror's", Origin: unit.Assumed, Source: assumed}
	// WomenShare is the share of women among the faces unless stated.
	WomenShare = unit.Parameter{Name: "share of women", Unit: "%", Value: 50, Low: 0, High: 100, Fixed: "chosen",
		Meaning: "share of women among the faces", Origin: unit.Assumed, Source: "assumed: as many women as men"}

	perProtrusion = unit.Parameter{Name: "bridge depth per nose protrusion", Value: 0.5, Low: -2, High: 2, Fixed: heldFaces,
		Meaning: "mm that the bridge stands proud per mm of a longer nose", Origin: unit.Assumed, Source: assumed}
	perRoot = unit.Parameter{Name: "nose side depth per root breadth", Value: 0.4, Low: -2, High: 2, Fixed: heldFaces,
		Meaning: "mm that each nose side stands proud per mm of a broader root", Origin: unit.Assumed, Source: assumed}
	perLip = unit.Parameter{Name: "mouth corner depth per lip length", Value: 0.1, Low: -2, High: 2, Fixed: heldFaces,
		Meaning: "mm that each corner lies back per mm of a wider mouth, which reaches further round the cheek",
		Origin:  unit.Assumed, Source: assumed}
)

// Parameters lists the records of the package.
func Parameters() []unit.Parameter {
	all := []unit.Parameter{FacesRecord, WomenShare, SiteSpread, NostrilSpread, Symmetry, perProtrusion, perRoot, perLip,
		widthNose, widthLip, noseLip, noseRoot, lengthOut}
	for sex := range SexCount {
		all = append(append(all, LengthWidth[sex]), Measured[sex][:]...)
	}
	return all
}

// A Person is one random face with the dimensions that it was drawn with.
type Person struct {
	Sex  Sex
	Size [DimensionCount]unit.Length
	Face face.Face
}

// Draw gives a random face of the usual mix: DrawPerson's, as many women as
// men. The same state of r gives the same face.
func Draw(r *rand.Rand) face.Face {
	return DrawPerson(r, unit.Fraction(WomenShare.SI())).Face
}

// DrawPerson draws a sex, then the dimensions from the correlated normal
// distribution of that sex, then how far each site departs from an average face:
//
//	departure = -slope * (dimension - average) + rest
//
// with a slope for nose protrusion (bridge), root breadth (nose sides) and lip
// length (corners, lying back), and a normal rest that fills the spread up to SiteSpread
// (NostrilSpread at the nostrils) with as much likeness of left and right as
// Symmetry says. inputs: share of women [1]; result: lengths [m]; source: the
// records. Tissue is the usual one: the statistics say nothing of it.
func DrawPerson(r *rand.Rand, women unit.Fraction) Person {
	p := Person{Sex: Men, Face: averageFace}
	if r.Float64() < float64(women) {
		p.Sex = Women
	}
	p.measure(r)
	f := &p.Face
	f.Length, f.Width, f.NoseWidth = p.Size[FaceLength], p.Size[FaceWidth], p.Size[NoseBreadth]
	p.depart(r)
	return p
}

// measure draws the dimensions; what lies outside a record's range is no face.
func (p *Person) measure(r *rand.Rand) {
	s := samples[p.Sex]
	for again := true; again; {
		again = false
		var z [DimensionCount]float64
		for d := range z {
			z[d] = r.NormFloat64()
			x := s.mean[d]
			for k := range d + 1 {
				x += s.lower[d][k] * z[k]
			}
			p.Size[d] = unit.Length(x)
			again = again || x < s.low[d] || x > s.high[d]
		}
	}
}

// told is what one dimension says of a site.
type told struct {
	by    Dimension
	slope float64 // depth behind the average per length, 1
}

// tells gives what is told of each site; sites it does not name have no slope.
var tells = [face.SiteCount]told{
	face.Bridge:       {NoseProtrusion, -perProtrusion.Value},
	face.NoseSideLeft: {RootBreadth, -perRoot.Value}, face.NoseSideRight: {RootBreadth, -perRoot.Value},
	face.CornerLeft: {LipLength, perLip.Value}, face.CornerRight: {LipLength, perLip.Value},
}

// averages are the middles between women and men, as the average face is.
var averages = func() (out [DimensionCount]float64) {
	for d := range out {
		out[d] = (Measured[Women][d].SI() + Measured[Men][d].SI()) / 2
	}
	return out
}()

// likeness and unlikeness are the shares of what a pair of sites has in common
// and of what each has for itself.
var likeness, unlikeness = math.Sqrt(Symmetry.SI()), math.Sqrt(1 - Symmetry.SI())

var averageFace = drawnFace()

func drawnFace() face.Face {
	f := face.Average()
	f.Name, f.About = "drawn", "a face drawn from statistics of soldiers"
	return f
}

// depart sets how far each site lies behind an average face. Of a pair the left
// site comes first; both share what the left one drew in common.
func (p *Person) depart(r *rand.Rand) {
	common := 0.0
	for s := range face.SiteCount {
		z := r.NormFloat64()
		if m := s.Mirror(); m != s {
			if m > s {
				common = r.NormFloat64()
			}
			z = likeness*common + unlikeness*z
		}
		t := &tells[s]
		shift := t.slope * (float64(p.Size[t.by]) - averages[t.by])
		p.Face.Deviation[s] = unit.Length(shift + samples[p.Sex].rest[s]*z)
	}
}

// rest is the spread at a site that its dimension leaves untold.
func rest(sex Sex, s face.Site) float64 {
	all := SiteSpread.SI()
	if s == face.NostrilLeft || s == face.NostrilRight {
		all = NostrilSpread.SI()
	}
	t := tells[s]
	by := t.slope * Measured[sex][t.by].SD * float64(unit.Mm)
	return math.Sqrt(max(0, all*all-by*by))
}
