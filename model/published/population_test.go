package published

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"tautline/model/population"
	"tautline/model/unit"
)

// TestSurveyShares: the shares beyond the other sex's mean are the normal
// integrals of the published figures, to the four digits that stand there.
func TestSurveyShares(t *testing.T) {
	for i, s := range surveyed {
		other := surveyed[1-i]
		longer := distuv.Normal{Mu: s.length, Sigma: s.lengthSD}.Survival(other.length)
		wider := distuv.Normal{Mu: s.width, Sigma: s.widthSD}.Survival(other.width)
		if math.Abs(longer-s.longer) > 1e-4 || math.Abs(wider-s.wider) > 1e-4 {
			t.Errorf("%s: longer %.4f, wider %.4f; %.4f and %.4f stand there", s.sex.ID(), longer, wider, s.longer, s.wider)
		}
	}
}

func TestPopulationMutations(t *testing.T) {
	with := func(change func(p *population.Person, f float64)) func(float64) []Check {
		return func(f float64) []Check {
			return populationChecks(populationLaws{draw: func(r *rand.Rand, women unit.Fraction) population.Person {
				p := population.DrawPerson(r, women)
				change(&p, f)
				return p
			}})
		}
	}
	times := func(d population.Dimension) func(float64) []Check {
		return with(func(p *population.Person, f float64) { p.Size[d] *= unit.Length(f) })
	}
	noticed(t, "face length", "face-length-men", times(population.FaceLength))
	noticed(t, "face width", "face-width-women", times(population.FaceWidth))
	noticed(t, "nose breadth", "face-nose-men", times(population.NoseBreadth))
	noticed(t, "nose protrusion", "face-protrusion-women", times(population.NoseProtrusion))
	noticed(t, "root breadth", "face-root-men", times(population.RootBreadth))
	noticed(t, "lip length", "face-lip-women", times(population.LipLength))
	spread := with(func(p *population.Person, f float64) {
		mean := unit.Length(population.Measured[p.Sex][population.FaceLength].SI())
		// A whole turn would leave the spread what it is: go half the way.
		p.Size[population.FaceLength] = mean + unit.Length((1+f)/2)*(p.Size[population.FaceLength]-mean)
	})
	noticed(t, "spread of length", "face-length-sd-men", spread)
	noticed(t, "likeness of length and width", "face-correlation-women", with(func(p *population.Person, f float64) {
		mean := func(d population.Dimension) unit.Length { return unit.Length(population.Measured[p.Sex][d].SI()) }
		more := (f - 1) * 0.3
		p.Size[population.FaceWidth] += unit.Length(more) * (p.Size[population.FaceLength] - mean(population.FaceLength))
	}))
}
