package uncertainty

import (
	"context"
	"math"
	"testing"
)

// singles makes a group of each of d inputs.
func singles(d int) []Group {
	all := make([]Group, d)
	for i := range all {
		all[i] = Group{i}
	}
	return all
}

func indicesOf(t testing.TB, d, n int, f func(u []float64) float64) []Sensitivity {
	t.Helper()
	got, err := Indices(context.Background(), d, singles(d), n, 7, func() {},
		func(u []float64) ([]float64, error) { return []float64{f(u)}, nil })
	if err != nil {
		t.Fatal(err)
	}
	return got[0]
}

func hold(t *testing.T, got []Sensitivity, first, total []float64, within float64) {
	t.Helper()
	for i, s := range got {
		if math.Abs(s.First.Value-first[i]) > within || math.Abs(s.Total.Value-total[i]) > within {
			t.Errorf("input %d: first %.4f, total %.4f, want %.4f and %.4f within %v",
				i+1, s.First.Value, s.Total.Value, first[i], total[i], within)
		}
		if s.First.Low > s.First.Value || s.First.High < s.First.Value || s.Total.Low > s.Total.Value || s.Total.High < s.Total.Value {
			t.Errorf("input %d: an interval leaves out its estimate: %+v", i+1, s)
		}
	}
}

// TestIshigami: sin x1 + 7 sin^2 x2 + 0.1 x3^4 sin x1 on (-pi, pi); indices by
// T. Ishigami, T. Homma, Proc ISUMA 1990, 398-403: a = 7, b = 0.1, four digits.
func TestIshigami(t *testing.T) {
	f := func(u []float64) float64 {
		x := func(i int) float64 { return math.Pi * (2*u[i] - 1) }
		s := math.Sin(x(1))
		return math.Sin(x(0)) + 7*s*s + 0.1*math.Pow(x(2), 4)*math.Sin(x(0))
	}
	hold(t, indicesOf(t, 3, 1<<14, f), []float64{0.3139, 0.4424, 0}, []float64{0.5576, 0.4424, 0.2437}, 0.02)
}

// TestGFunction: the product of (|4u - 2| + a)/(1 + a). Its variances are known:
// V_i = 1/(3 (1 + a_i)^2), V = prod(1 + V_i) - 1 (A. Saltelli, I. M. Sobol,
// Reliab Eng Syst Saf 1995;50:225-39, from memory); computed here from them.
func TestGFunction(t *testing.T) {
	a := []float64{0, 1, 4.5, 9, 99}
	product := 1.0
	part := make([]float64, len(a))
	for i, ai := range a {
		part[i] = 1 / (3 * (1 + ai) * (1 + ai))
		product *= 1 + part[i]
	}
	var first, total []float64
	for _, v := range part {
		first = append(first, v/(product-1))
		total = append(total, v*product/(1+v)/(product-1))
	}
	f := func(u []float64) float64 {
		y := 1.0
		for i, ai := range a {
			y *= (math.Abs(4*u[i]-2) + ai) / (1 + ai)
		}
		return y
	}
	hold(t, indicesOf(t, len(a), 1<<14, f), first, total, 0.03)
}

// TestLinearSums: for a weighted sum every index is its squared weight's share,
// first-order and total alike; a weight of nothing has none, and a constant is
// explained by nothing.
func TestLinearSums(t *testing.T) {
	for seed, w := range [][]float64{{3, 0.5}, {1, 1, 1}, {2, -1, 0}, {-3, 2, 1, 0.5}, {1}} {
		sum, want := 0.0, make([]float64, len(w))
		for _, x := range w {
			sum += x * x
		}
		for i, x := range w {
			want[i] = x * x / sum
		}
		got, err := Indices(context.Background(), len(w), singles(len(w)), 6000, uint64(seed), func() {},
			func(u []float64) ([]float64, error) {
				y := 0.0
				for i, x := range w {
					y += x * u[i]
				}
				return []float64{y, 5}, nil
			})
		if err != nil {
			t.Fatal(err)
		}
		hold(t, got[0], want, want, 0.05)
		hold(t, got[1], make([]float64, len(w)), make([]float64, len(w)), 0)
	}
}

// TestGroupsAddUp: in a sum a group has the shares of its members together.
func TestGroupsAddUp(t *testing.T) {
	got, err := Indices(context.Background(), 4, []Group{{0}, {1, 2, 3}}, 4000, 3, func() {},
		func(u []float64) ([]float64, error) { return []float64{3*u[0] + u[1] + u[2] + u[3]}, nil })
	if err != nil {
		t.Fatal(err)
	}
	hold(t, got[0], []float64{0.75, 0.25}, []float64{0.75, 0.25}, 0.04)
}

// TestScreeningFindsWhatMatters: twelve rows are enough to tell three inputs
// that matter from forty that do not.
func TestScreeningFindsWhatMatters(t *testing.T) {
	const d = 43
	f, err := freeze(context.Background(), d, singles(d), screenRows, false, 1, screenStream, func() {},
		func(u []float64) ([]float64, error) {
			y := 5*u[4] + 4*u[20]*u[20] + 3*math.Sin(6*u[40])
			for _, x := range u {
				y += 0.1 * x
			}
			return []float64{y}, nil
		})
	if err != nil {
		t.Fatal(err)
	}
	found := map[int]bool{}
	for _, i := range f.leading(d)[:3] {
		found[i] = true
	}
	if !found[4] || !found[20] || !found[40] {
		t.Errorf("screening leads with %v", f.leading(d))
	}
}
