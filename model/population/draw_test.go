package population

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"

	"tautline/model/face"
	"tautline/model/unit"
)

// drawn gives n persons of one sex.
func drawn(n int, sex Sex) []Person {
	women := unit.Fraction(0)
	if sex == Women {
		women = 1
	}
	out := make([]Person, n)
	r := rand.New(rand.NewPCG(4082, 1986))
	for i := range out {
		out[i] = DrawPerson(r, women)
	}
	return out
}

// TestDeviations: at every site the spread is the recorded one and the mean, at
// the middle of both sexes, is an average face; a pair is as alike as recorded.
func TestDeviations(t *testing.T) {
	const n = 20000
	all := append(drawn(n, Women), drawn(n, Men)...)
	at := func(s face.Site) []float64 {
		out := make([]float64, len(all))
		for i := range all {
			out[i] = all[i].Face.Deviation[s].Mm()
		}
		return out
	}
	for s := range face.SiteCount {
		want := SiteSpread.Value
		if s == face.NostrilLeft || s == face.NostrilRight {
			want = NostrilSpread.Value
		}
		mean, sd := stat.MeanStdDev(at(s), nil)
		if math.Abs(mean) > 4*want/math.Sqrt(2*n) || math.Abs(sd/want-1) > 0.04 { // sexes differ by up to 0.7 mm of mean
			t.Errorf("%s: mean %.3f sd %.3f mm, want 0 and %g", s, mean, sd, want)
		}
	}
	if r := stat.Correlation(at(face.CheekLeft), at(face.CheekRight), nil); math.Abs(r-Symmetry.Value) > 0.02 {
		t.Errorf("left and right cheek: r %.3f, want %g", r, Symmetry.Value)
	}
}

// TestCorrelationsHold: the factor that faces are drawn with gives back the
// covariance of the records.
func TestCorrelationsHold(t *testing.T) {
	for sex, s := range samples {
		want := covariance(Sex(sex))
		for i := range DimensionCount {
			for j := range DimensionCount {
				got := 0.0
				for k := range DimensionCount {
					got += s.lower[i][k] * s.lower[j][k]
				}
				if math.Abs(got-want.At(int(i), int(j))) > 1e-15 {
					t.Errorf("%s, %s: %g m2, want %g", Measured[sex][i].Name, Measured[sex][j].Name, got, want.At(int(i), int(j)))
				}
			}
		}
	}
}

func TestDrawRepeats(t *testing.T) {
	a, b := rand.New(rand.NewPCG(7, 8)), rand.New(rand.NewPCG(7, 8))
	for range 100 {
		f, g := Draw(a), Draw(b)
		if f.Deviation != g.Deviation || f.Length != g.Length || f.Width != g.Width || f.NoseWidth != g.NoseWidth {
			t.Fatal("the same seed draws another face")
		}
	}
}
