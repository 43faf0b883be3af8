// Package population asks of many faces what package fit asks of one: which
// share has a fit window, in which size, and which size table would serve most.
// Faces are drawn from published statistics of soldiers, not of sleep
// patients, who are older, heavier and sometimes toothless.
package population

import (
	"gonum.org/v1/gonum/mat"

	"tautline/model/face"
	"tautline/model/unit"
)

// A Sex is what the published statistics are kept apart by.
type Sex int

// The sexes of the survey.
const (
	Women Sex = iota
	Men
	SexCount // how many there are; not a sex
)

var sexIDs = [SexCount]string{"women", "men"}

// ID is the sex's name in files, "women", which sentences use as well.
func (s Sex) ID() string { return sexIDs[s] }

// A Dimension is one measured distance on a face.
type Dimension int

// The dimensions, in the order of the correlations.
const (
	FaceLength Dimension = iota // menton to sellion: chin to the root of the nose
	FaceWidth                   // bizygomatic: over the cheekbones
	NoseBreadth
	NoseProtrusion
	RootBreadth
	LipLength
	DimensionCount // how many there are; not a dimension
)

const (
	ansur   = "ANSUR II public data, 2012, computed from the data: 4082 men, 1986 women; soldiers, not sleep patients"
	zhuang  = "Z. Zhuang, B. Bradtmiller, J Occup Environ Hyg 2005;2:567-76, from memory"
	assumed = "assumed; no published figure found"
)

// heldFaces is why the numbers that faces are drawn with are not drawn as well.
const heldFaces = "held: the faces that are drawn with it are the spread"

func measured(name string, mean, sd, low, high float64, origin unit.Origin, source string) unit.Parameter {
	return unit.Parameter{Name: name, Unit: "mm", Value: mean, SD: sd, Low: low, High: high,
		Meaning: "mean of a survey", Origin: origin, Source: source}
}

// Measured holds mean and spread of each dimension by sex. A face outside the
// range is drawn again; that is five standard deviations away.
var Measured = [SexCount][DimensionCount]unit.Parameter{
	Women: {
		measured("face length, women", 113.09, 6.09, 80, 160, unit.Read, ansur),
		measured("face width, women", 133.77, 5.56, 100, 180, unit.Read, ansur),
		measured("nose breadth, women", 33.2, 3.9, 15, 60, unit.Memory, zhuang),
		measured("nose protrusion, women", 19.8, 2.7, 5, 40, unit.Memory, zhuang),
		measured("nasal root breadth, women", 16.3, 2.0, 5, 30, unit.Memory, zhuang),
		measured("lip length, women", 48.0, 4.0, 25, 75, unit.Memory, zhuang),
	},
	Men: {
		measured("face length, men", 122.64, 6.67, 80, 160, unit.Read, ansur),
		measured("face width, men", 142.62, 6.22, 100, 180, unit.Read, ansur),
		measured("nose breadth, men", 36.6, 4.1, 15, 60, unit.Memory, zhuang),
		measured("nose protrusion, men", 21.1, 2.7, 5, 40, unit.Memory, zhuang),
		measured("nasal root breadth, men", 16.6, 2.3, 5, 30, unit.Memory, zhuang),
		measured("lip length, men", 51.1, 4.2, 25, 75, unit.Memory, zhuang),
	},
}

// Surveyed is how many persons of each sex the lengths and widths come from.
var Surveyed = [SexCount]int{Women: 1986, Men: 4082}

// The correlations. Only that of length and width was computed from data.
var (
	LengthWidth = [SexCount]unit.Parameter{
		Women: correlation("face length with width, women", 0.211, unit.Read, ansur),
		Men:   correlation("face length with width, men", 0.194, unit.Read, ansur),
	}
	widthNose = correlation("face width with nose breadth", 0.3, unit.Assumed, assumed)
	widthLip  = correlation("face width with lip length", 0.2, unit.Assumed, assumed)
	noseLip   = correlation("nose breadth with lip length", 0.25, unit.Assumed, assumed)
	noseRoot  = correlation("nose breadth with root breadth", 0.2, unit.Assumed, assumed)
	lengthOut = correlation("face length with nose protrusion", 0.2, unit.Assumed, assumed)
)

func correlation(name string, r float64, origin unit.Origin, source string) unit.Parameter {
	return unit.Parameter{Name: "correlation of " + name, Symbol: "r", Value: r, Low: -0.5, High: 0.5, Fixed: heldFaces,
		Meaning: "Pearson's correlation", Origin: origin, Source: source}
}

// A sample is the distribution of one sex, ready to be drawn from: everything
// that the records say in SI, since a hundred thousand faces look it up.
type sample struct {
	mean, low, high [DimensionCount]float64                 // m
	lower           [DimensionCount][DimensionCount]float64 // Cholesky factor of the covariance, m
	rest            [face.SiteCount]float64                 // m, see rest
}

var samples = [SexCount]*sample{newSample(Women), newSample(Men)}

// newSample puts means, spreads and correlations together. The covariance is
// positive definite for the records above, which a test holds.
func newSample(sex Sex) *sample {
	s := &sample{}
	for d := range DimensionCount {
		p := Measured[sex][d]
		mm := float64(unit.Mm)
		s.mean[d], s.low[d], s.high[d] = p.SI(), p.Low*mm, p.High*mm
	}
	for site := range face.SiteCount {
		s.rest[site] = rest(sex, site)
	}
	var chol mat.Cholesky
	chol.Factorize(covariance(sex))
	var l mat.TriDense
	chol.LTo(&l)
	for i := range s.lower {
		for j := range i + 1 {
			s.lower[i][j] = l.At(i, j)
		}
	}
	return s
}

// covariance gives that of a sex's dimensions, m2.
func covariance(sex Sex) *mat.SymDense {
	c := mat.NewSymDense(int(DimensionCount), nil)
	sd := func(d Dimension) float64 { return Measured[sex][d].SD * float64(unit.Mm) }
	for d := range DimensionCount {
		c.SetSym(int(d), int(d), sd(d)*sd(d))
	}
	for _, r := range []struct {
		a, b Dimension
		r    float64
	}{{FaceLength, FaceWidth, LengthWidth[sex].Value}, {FaceWidth, NoseBreadth, widthNose.Value},
		{FaceWidth, LipLength, widthLip.Value}, {NoseBreadth, LipLength, noseLip.Value},
		{NoseBreadth, RootBreadth, noseRoot.Value}, {FaceLength, NoseProtrusion, lengthOut.Value}} {
		c.SetSym(int(r.a), int(r.b), r.r*sd(r.a)*sd(r.b))
	}
	return c
}
