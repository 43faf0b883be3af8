package face

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/interp"
	"pgregory.net/rapid"
)

// drawRing gives landmarks at rising shares of a rim, at least a thousandth
// apart, with a value in mm at each.
func drawRing(t *rapid.T, least int) (landmarks, values []float64) {
	n := rapid.IntRange(least, 20).Draw(t, "landmarks")
	steps := rapid.SliceOfN(rapid.Float64Range(0.02, 1), n, n).Draw(t, "steps")
	landmarks = make([]float64, n)
	floats.CumSum(landmarks, steps)
	first := landmarks[0] * rapid.Float64Range(0, 1).Draw(t, "turn")
	floats.AddConst(-first, landmarks)
	floats.Scale(1/(landmarks[n-1]+steps[0]), landmarks)
	return landmarks, rapid.SliceOfN(rapid.Float64Range(-10, 10), n, n).Draw(t, "values")
}

func joined(t rapid.TB, landmarks, values, targets []float64) []float64 {
	t.Helper()
	j, err := NewJoint(landmarks, targets)
	if err != nil {
		t.Fatal(err)
	}
	out := make([]float64, len(targets))
	j.Join(values, out)
	return out
}

var everywhere = floats.Span(make([]float64, 301), 0, 0.9999)

// TestJointAgainstGonum: three rounds of the ring in gonum's open curve; its
// middle round knows nothing of the ends.
func TestJointAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		landmarks, values := drawRing(t, 2)
		var xs []float64
		for turn := range 3 {
			for _, at := range landmarks {
				xs = append(xs, at+float64(turn))
			}
		}
		var oracle interp.FritschButland
		if err := oracle.Fit(xs, slices.Repeat(values, 3)); err != nil {
			t.Fatal(err)
		}
		for i, got := range joined(t, landmarks, values, everywhere) {
			if want := oracle.Predict(1 + everywhere[i]); math.Abs(got-want) > 1e-10 {
				t.Errorf("at %g: %v, gonum %v", everywhere[i], got, want)
			}
		}
	})
}

// TestJointStaysBetween: between two landmarks the curve keeps to their two
// values, and at a landmark it has just its value.
func TestJointStaysBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		landmarks, values := drawRing(t, 1)
		if got := joined(t, landmarks, values, landmarks); !slices.Equal(got, values) {
			t.Errorf("at the landmarks %v, want %v", got, values)
		}
		n := len(landmarks)
		for i, got := range joined(t, landmarks, values, everywhere) {
			next := 0
			for next < n && landmarks[next] <= everywhere[i] {
				next++
			}
			a, b := values[(next+n-1)%n], values[next%n]
			const rounding = 1e-12
			if got < min(a, b)-rounding || got > max(a, b)+rounding {
				t.Errorf("at %g, between %v and %v: %v", everywhere[i], a, b, got)
			}
		}
	})
}

// TestJointMirrors: a mirrored rim has mirrored values.
func TestJointMirrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		landmarks, values := drawRing(t, 1)
		var mirroredAt, mirrored, targets []float64
		for k := len(landmarks) - 1; k >= 0; k-- {
			at := math.Mod(1-landmarks[k], 1)
			i, _ := slices.BinarySearch(mirroredAt, at) // a landmark at 0 stays first
			mirroredAt = slices.Insert(mirroredAt, i, at)
			mirrored = slices.Insert(mirrored, i, values[k])
		}
		for _, at := range everywhere {
			targets = append(targets, 1-at)
		}
		a, b := joined(t, landmarks, values, everywhere), joined(t, mirroredAt, mirrored, targets)
		if !floats.EqualApprox(a, b, 1e-9) {
			t.Errorf("%v, mirrored %v", a, b)
		}
	})
}

// TestJointHasNoCorner: the slope is the same on both sides of a landmark.
func TestJointHasNoCorner(t *testing.T) {
	landmarks, values := []float64{0, 0.15, 0.3, 0.5, 0.8}, []float64{-6, -1.5, -1, 3, -1.5}
	const h = 1e-7
	for _, at := range landmarks {
		y := joined(t, landmarks, values, []float64{at - h, at, at + h})
		if before, after := (y[1]-y[0])/h, (y[2]-y[1])/h; math.Abs(before-after) > 1e-3 {
			t.Errorf("at %g the slope jumps from %v to %v", at, before, after)
		}
	}
}

// TestJointOneLandmark: a pillow has one site, and the same value all round.
func TestJointOneLandmark(t *testing.T) {
	for _, got := range joined(t, []float64{0.4}, []float64{2.5}, everywhere) {
		if math.Abs(got-2.5) > 1e-15 {
			t.Fatalf("%v, want 2.5", got)
		}
	}
}

func TestJointRefuses(t *testing.T) {
	for name, landmarks := range map[string][]float64{
		"none": nil, "falling": {0.5, 0.2}, "twice": {0.1, 0.1}, "below 0": {-0.1, 0.2}, "a whole turn": {0.1, 1},
		"not a number": {math.NaN(), 0.2},
	} {
		if _, err := NewJoint(landmarks, nil); err == nil {
			t.Errorf("%s: landmarks %v pass", name, landmarks)
		}
	}
}
