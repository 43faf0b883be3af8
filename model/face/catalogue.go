package face

import (
	"slices"

	"tautline/model/unit"
)

// The faces here are invented for teaching; none is taken from a person.

// AverageLength, AverageWidth and AverageNose are the sizes of the average
// face: between the means of men and women in a military survey (ANSUR II,
// public data 2012: menton-sellion 122.6 and 113.1 mm, bizygomatic 142.6 and
// 133.8 mm; nose breadth 36.6 and 33.2 mm, from memory).
const (
	AverageLength = 118 * unit.Mm
	AverageWidth  = 138 * unit.Mm
	AverageNose   = 35 * unit.Mm
)

// Average gives a face that departs nowhere from the average.
func Average() Face {
	f := Face{Name: "average", About: "an average face", Length: AverageLength, Width: AverageWidth,
		NoseWidth: AverageNose}
	for s := range SiteCount {
		f.Tissue[s] = UsualTissue(s)
	}
	return f
}

// A departure sets one site, and its mirror, off the average by millimetres.
type departure struct {
	site Site
	mm   float64
}

func invented(name, about string, ds ...departure) Face {
	f := Average()
	f.Name, f.About = name, about
	for _, d := range ds {
		f.Deviation[d.site] = unit.Length(d.mm) * unit.Mm
		f.Deviation[d.site.Mirror()] = unit.Length(d.mm) * unit.Mm
	}
	return f
}

// grooved adds a groove across the rim at a site, and at its mirror.
func (f *Face) grooved(s Site, width, depth unit.Length) {
	f.Features = append(f.Features, Feature{Site: s, Width: width, Depth: depth})
	if m := s.Mirror(); m != s {
		f.Features = append(f.Features, Feature{Site: m, Width: width, Depth: depth})
	}
}

// Catalogue lists the invented faces, the average one first.
func Catalogue() []Face {
	beard := invented("full beard", "an average face with a full beard, 8 mm long")
	for _, s := range []Site{CheekLeft, CheekRight, CornerLeft, CornerRight, Lip, Chin} {
		beard.Beard[s] = 8 * unit.Mm
	}
	folds := invented("deep folds", "deep folds from the nose to the corners of the mouth")
	folds.grooved(CheekLeft, 4*unit.Mm, 10*unit.Mm)
	narrow := invented("narrow bridge", "a narrow, low bridge: the flanks of the nose fall away steeply under the cushion",
		departure{Bridge, 3}, departure{NoseSideLeft, 4})
	narrow.grooved(NoseSideLeft, 2.5*unit.Mm, 7*unit.Mm)
	flat := invented("flat bridge", "a flat, saddled bridge that the cushion hardly reaches", departure{Bridge, 7})
	flat.grooved(Bridge, 5*unit.Mm, 4*unit.Mm)
	crooked := invented("crooked nose", "a nose that stands to the right")
	crooked.Deviation[NoseSideLeft], crooked.Deviation[NoseSideRight] = 2.5*unit.Mm, -1.5*unit.Mm
	crooked.Deviation[NostrilLeft], crooked.Deviation[NostrilRight] = 1*unit.Mm, -0.5*unit.Mm
	tube := invented("feeding tube", "an average face with a thin tube under the left cheek of the cushion")
	tube.Features = []Feature{{Site: CheekLeft, Width: 1.8 * unit.Mm, Depth: -3 * unit.Mm}}
	return []Face{
		Average(),
		narrow,
		invented("high bridge", "a high bridge that meets the cushion first", departure{Bridge, -3}),
		flat,
		invented("hollow cheeks", "hollow cheeks, as without teeth", departure{CheekLeft, 4}, departure{CornerLeft, 3}),
		invented("small chin", "a small chin that lies back", departure{Chin, 5}, departure{Lip, 1}),
		folds, crooked, beard, tube,
	}
}

// Find gives a face of the catalogue by name; the second result is false when
// there is none.
func Find(name string) (Face, bool) {
	all := Catalogue()
	i := slices.IndexFunc(all, func(f Face) bool { return f.Name == name })
	if i < 0 {
		return Face{}, false
	}
	return all[i], true
}
