package published

import (
	"math/rand/v2"

	"gonum.org/v1/gonum/stat"

	"tautline/model/population"
	"tautline/model/unit"
)

// populationLaws are the laws that the checks of section 7 hold.
type populationLaws struct {
	draw func(r *rand.Rand, women unit.Fraction) population.Person
}

var populationActual = populationLaws{draw: population.DrawPerson}

const ansur = "ANSUR II public data, 2012, computed from the data; soldiers, not sleep patients"

// surveyed holds the published figures once more, apart from the records that
// faces are drawn with: a slip in a record is then seen.
var surveyed = []struct {
	sex                                      population.Sex
	length, lengthSD, width, widthSD, r      float64
	longer, wider                            float64 // shares beyond the other sex's mean, see below
	nose, noseSD, out, outSD, root, lip, lSD float64
}{
	{sex: population.Men, length: 122.64, lengthSD: 6.67, width: 142.62, widthSD: 6.22, r: 0.194,
		longer: 0.9239, wider: 0.9227, nose: 36.6, noseSD: 4.1, out: 21.1, outSD: 2.7, root: 16.6, lip: 51.1, lSD: 4.2},
	{sex: population.Women, length: 113.09, lengthSD: 6.09, width: 133.77, widthSD: 5.56, r: 0.211,
		longer: 0.0584, wider: 0.0557, nose: 33.2, noseSD: 3.9, out: 19.8, outSD: 2.7, root: 16.3, lip: 48.0, lSD: 4.0},
}

// people is how many of each sex are drawn: the standard error of a mean is
// then sd/141, about 0.05 mm.
const people = 20000

func populationChecks(l populationLaws) []Check {
	var all []Check
	for i := range surveyed {
		all = append(all, l.dimensions(i)...)
	}
	for i := range all {
		all[i].Section = 7 // none is predicted: faces are drawn by these figures
	}
	return all
}

// sample draws one dimension of many persons, in mm.
func (l populationLaws) sample(sex population.Sex, d population.Dimension) []float64 {
	women := unit.Fraction(0)
	if sex == population.Women {
		women = 1
	}
	r := rand.New(rand.NewPCG(4082, 1986))
	out := make([]float64, people)
	for i := range out {
		p := l.draw(r, women)
		out[i] = p.Size[d].Mm()
	}
	return out
}

// dimensions holds what is drawn to what was measured. Tolerances are four to
// five standard errors of the sample: sd/sqrt(n) of a mean, sd/sqrt(2 n) of a
// spread, 1/sqrt(n) of a correlation, 0.5/sqrt(n) of a share.
func (l populationLaws) dimensions(i int) []Check {
	s, who := surveyed[i], surveyed[i].sex.ID()
	other := surveyed[1-i]
	mean := func(id, what string, d population.Dimension, want, off float64, source string) Check {
		return Check{ID: "face-" + id + "-" + who, Source: source, Unit: "mm", Want: About(want, off),
			What: "mean " + what + " of drawn " + who,
			Run:  func() (float64, error) { return stat.Mean(l.sample(s.sex, d), nil), nil }}
	}
	spread := func(id, what string, d population.Dimension, want float64, source string) Check {
		return Check{ID: "face-" + id + "-sd-" + who, Source: source, Unit: "mm", Want: Within(want, 0.025),
			What: "spread of the " + what + " of drawn " + who,
			Run:  func() (float64, error) { return stat.StdDev(l.sample(s.sex, d), nil), nil }}
	}
	beyond := func(id, what string, d population.Dimension, than, want float64) Check {
		return Check{ID: "face-" + id + "-" + who, Want: About(want, 0.016),
			Source: "normal integral of the published mean and spread (" + ansur + ")",
			What:   "share of drawn " + who + " with a " + what + " than the other sex's mean",
			Run: func() (float64, error) {
				n := 0
				for _, x := range l.sample(s.sex, d) {
					if x > than {
						n++
					}
				}
				return float64(n) / people, nil
			}}
	}
	const memory = "Z. Zhuang, B. Bradtmiller, J Occup Environ Hyg 2005;2:567-76, from memory"
	return []Check{
		mean("length", "face length", population.FaceLength, s.length, 0.22, ansur),
		spread("length", "face length", population.FaceLength, s.lengthSD, ansur),
		mean("width", "face width", population.FaceWidth, s.width, 0.22, ansur),
		spread("width", "face width", population.FaceWidth, s.widthSD, ansur),
		{ID: "face-correlation-" + who, Source: ansur, Want: About(s.r, 0.033),
			What: "correlation of face length with width of drawn " + who,
			Run: func() (float64, error) {
				return stat.Correlation(l.sample(s.sex, population.FaceLength), l.sample(s.sex, population.FaceWidth), nil), nil
			}},
		beyond("longer", "longer face", population.FaceLength, other.length, s.longer),
		beyond("wider", "wider face", population.FaceWidth, other.width, s.wider),
		mean("nose", "nose breadth", population.NoseBreadth, s.nose, 0.14, memory),
		spread("nose", "nose breadth", population.NoseBreadth, s.noseSD, memory),
		mean("protrusion", "nose protrusion", population.NoseProtrusion, s.out, 0.09, memory),
		spread("protrusion", "nose protrusion", population.NoseProtrusion, s.outSD, memory),
		mean("root", "nasal root breadth", population.RootBreadth, s.root, 0.08, memory),
		mean("lip", "lip length", population.LipLength, s.lip, 0.14, memory),
		spread("lip", "lip length", population.LipLength, s.lSD, memory),
	}
}
