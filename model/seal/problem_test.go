package seal

import (
	"math"
	"math/rand/v2"

	"pgregory.net/rapid"
)

func between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

// randomProblem draws an oval rim with four straps that pull inside it, in the
// ranges of real masks; the mismatch is a few waves of millimetres.
func randomProblem(r *rand.Rand) *Problem {
	wide, high := between(r, 20e-3, 45e-3), between(r, 25e-3, 55e-3) // half axes
	width := between(r, 4e-3, 12e-3)
	p := &Problem{Area: math.Pi * (wide - width/2) * (high - width/2),
		CX: between(r, -2e-3, 2e-3), CY: between(r, -5e-3, 5e-3),
		Constants: Constants{GapScale: between(r, 20e-6, 150e-6), Closing: between(r, 167, 305),
			FlapLifting: between(r, 1e5, 6e5), LossFactor: between(r, 1, 2.7)},
		Gas: Gas{Density: 1.15, Viscosity: 1.86e-5}}
	reach, hair := between(r, 0.5e-3, 4e-3), 0.0
	if r.IntN(4) == 0 {
		hair = between(r, 0, 40e-6)
	}
	share, soft, bottom := between(r, 0.3, 0.95), between(r, 5e4, 4e5), between(r, 2e-3, 8e-3)
	mismatch, stiffer := waves(r, 2e-3), waves(r, 0.3)
	const n = 96
	for i := range n {
		a := 2 * math.Pi * (float64(i) + 0.5) / n
		sin, cos := math.Sincos(a)
		k := soft * math.Exp(stiffer(a))
		p.Segments = append(p.Segments, Segment{X: wide * sin, Y: high * cos,
			Length: 2 * math.Pi / n * math.Hypot(wide*cos, high*sin), Width: width, Mismatch: mismatch(a),
			Soft: k, Hard: k * between(r, 1, 3), Bottom: bottom, Crush: 1.2 * bottom, FlapShare: share, FlapReach: reach, Hair: hair})
	}
	pull := math.Exp(between(r, 0, 2)) / 4
	for i := range 4 {
		x, y := wide*between(r, 0.4, 0.7), high*between(r, 0.4, 0.7)
		p.Straps = append(p.Straps, Strap{Upper: i < 2, Left: i%2 == 0, Stiffness: between(r, 500, 2000),
			Gain: [3]float64{between(r, 0.9, 1), y * float64(1-i/2*2), x * float64(1-i%2*2)},
			Pull: pull * between(r, 0.9, 1.1)})
	}
	if r.IntN(2) == 0 {
		p.Loads = []Load{{Force: between(r, 0, 0.2) * pull, X: p.CX, Y: between(r, -high, high),
			Pitch: between(r, -0.03, 0.03) * pull * high, Yaw: between(r, -0.03, 0.03) * pull * wide}}
	}
	return p
}

// waves gives a smooth random function of the angle round the rim.
func waves(r *rand.Rand, size float64) func(a float64) float64 {
	var in, out [4]float64
	for k := range in {
		in[k], out[k] = size/2*r.NormFloat64(), size/2*r.NormFloat64()
	}
	return func(a float64) (sum float64) {
		for k := range in {
			sin, cos := math.Sincos(float64(k+1) * a)
			sum += in[k]*sin + out[k]*cos
		}
		return sum
	}
}

// source gives rapid tests a random source that repeats with their seed.
func source(t *rapid.T) *rand.Rand {
	return rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
}

// ring is a uniform round rim with three equal straps evenly round it.
type ring struct {
	radius, width, soft, share float64 // m, m, Pa/m, 1
	straps, pull               float64 // N/m and N, all together
}

func (r ring) area() float64   { return math.Pi * (r.radius - r.width/2) * (r.radius - r.width/2) }
func (r ring) length() float64 { return 2 * math.Pi * r.radius }

func (r ring) problem() *Problem {
	const n = 60
	p := &Problem{Area: r.area(), Constants: UsualConstants(), Gas: Gas{Density: 1.15, Viscosity: 1.86e-5}}
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		p.Segments = append(p.Segments, Segment{X: r.radius * sin, Y: r.radius * cos, Length: r.length() / n,
			Width: r.width, Soft: r.soft, Hard: 3 * r.soft, Bottom: 1, Crush: 1, FlapShare: r.share, FlapReach: 3e-3})
		if i%(n/3) == 0 {
			p.Straps = append(p.Straps, Strap{Gain: [3]float64{1, r.radius * cos, r.radius * sin},
				Stiffness: r.straps / 3, Pull: r.pull / 3})
		}
	}
	return p
}
