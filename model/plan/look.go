package plan

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"tautline/model/face"
	"tautline/model/unit"
)

// A tick is a range: it is given for faces whose sign lies beyond about one
// standard deviation, and misjudged now and then (TickMiss).
const (
	tickFrom = 2e-3 // m, one standard deviation of a face at a site
	tickSoft = 1e-3 // m, how blurred that border is
)

// signs tell how much of a tick a face has, m: what one sees of its shape.
var signs = map[Tick]func(f *face.Face) float64{
	NarrowBridge: func(f *face.Face) float64 {
		return float64(f.Deviation[face.NoseSideLeft]+f.Deviation[face.NoseSideRight]) / 2
	},
	HighBridge: func(f *face.Face) float64 { return -float64(f.Deviation[face.Bridge]) },
	FlatBridge: func(f *face.Face) float64 { return float64(f.Deviation[face.Bridge]) },
	HollowCheeks: func(f *face.Face) float64 {
		return float64(f.Deviation[face.CheekLeft]+f.Deviation[face.CheekRight]) / 2
	},
	SmallChin: func(f *face.Face) float64 { return float64(f.Deviation[face.Chin]) },
	// Left and right are much alike, so that a smaller difference is seen.
	CrookedNose: func(f *face.Face) float64 {
		return 2 * math.Abs(float64(f.Deviation[face.NoseSideLeft]-f.Deviation[face.NoseSideRight]))
	},
}

// likely gives how well a face agrees with what was seen and measured of it.
func (l *Look) likely(f *face.Face) float64 {
	w, miss := 1.0, 0.0
	if len(l.Ticks) > 0 {
		miss = TickMiss.SI()
	}
	spread := GaugeError.SI()
	for _, t := range l.Ticks {
		if sign, ok := signs[t]; ok {
			w *= miss + (1-2*miss)*distuv.UnitNormal.CDF((sign(f)-tickFrom)/tickSoft)
		}
	}
	return w * gauged(l.NoseWidth, f.NoseWidth, spread) * gauged(l.Length, f.Length, spread)
}

// gauged is the likelihood of a reading; 1 when nothing was read.
func gauged(read, real unit.Length, spread float64) float64 {
	if read == 0 {
		return 1
	}
	z := float64(read-real) / spread
	return math.Exp(-z * z / 2)
}

// marked adds to a face what is seen to be there, whatever its shape: each as
// wide or deep as it may be.
func (l *Look) marked(f *face.Face, r *rand.Rand) {
	between := func(low, high float64) unit.Length {
		return unit.Length(low+(high-low)*r.Float64()) * unit.Mm
	}
	pair := func(s face.Site, width, depth unit.Length) {
		f.Features = append(f.Features, face.Feature{Site: s, Width: width, Depth: depth},
			face.Feature{Site: s.Mirror(), Width: width, Depth: depth})
	}
	for _, t := range l.Ticks {
		switch t {
		case DeepFolds:
			pair(face.CheekLeft, between(3, 5), between(3, 10))
		case Tube: // a tube under the rim lifts it, most beside itself
			f.Features = append(f.Features, face.Feature{Site: face.CheekLeft, Width: between(2, 4), Depth: -between(2, 5)})
		case NoTeeth:
			for _, s := range []face.Site{face.CornerLeft, face.CornerRight, face.Lip} {
				f.Deviation[s] += between(1, 5)
			}
		case BeardTrimmed:
			beard(f, between(0.5, 3))
		case FullBeard:
			beard(f, between(3, 12))
		}
	}
}

func beard(f *face.Face, length unit.Length) {
	for _, s := range []face.Site{face.CheekLeft, face.CheekRight, face.CornerLeft, face.CornerRight, face.Lip, face.Chin} {
		f.Beard[s] = length
	}
}

// drawsPer is how many faces are drawn for each one kept, when a look picks.
const drawsPer = 16

// drawPeople draws the persons of a belief: many are drawn, and those that look
// like what was seen are kept, by systematic resampling.
func drawPeople(n int, s Spreads, l *Look, r *rand.Rand) []person {
	if len(l.Ticks) == 0 && l.NoseWidth == 0 && l.Length == 0 {
		out := make([]person, n)
		for i := range out {
			out[i] = drawPerson(r, s, l.MouthOpen)
		}
		return out
	}
	faces := make([]face.Face, n*drawsPer)
	sums := make([]float64, len(faces))
	sum := 0.0
	for i := range faces {
		faces[i] = drawFace(r, s.Face)
		sum += l.likely(&faces[i])
		sums[i] = sum
	}
	out := make([]person, n)
	start := r.Float64()
	for i := range out {
		out[i] = drawPerson(r, s, l.MouthOpen)
		k, _ := slices.BinarySearch(sums, (float64(i)+start)/float64(n)*sum)
		out[i].face = faces[min(k, len(faces)-1)]
		l.marked(&out[i].face, r)
	}
	return out
}
