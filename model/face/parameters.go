package face

import "tautline/model/unit"

// The records of a face's own size.
var (
	LengthRecord = unit.Parameter{Name: "face length", Unit: "mm", Value: AverageLength.Mm(), Low: 80, High: 160, SD: 8,
		Likely: [2]float64{AverageLength.Mm() - 4, AverageLength.Mm() + 4}, // half a size: the size was chosen for this face

		Meaning: "chin to the root of the nose", Origin: unit.Read,
		Source: "between men's 122.64 (sd 6.67) and women's 113.09 mm (sd 6.09), ANSUR II public data, 2012: soldiers, not sleep patients"}
	WidthRecord = unit.Parameter{Name: "face width", Unit: "mm", Value: AverageWidth.Mm(), Low: 100, High: 180, SD: 7.4,
		Likely: [2]float64{AverageWidth.Mm() - 4, AverageWidth.Mm() + 4}, // the same

		Meaning: "over the cheekbones", Origin: unit.Read,
		Source: "between men's 142.62 (sd 6.22) and women's 133.77 mm (sd 5.56), ANSUR II public data, 2012: soldiers, not sleep patients"}
	NoseRecord = unit.Parameter{Name: "nose width", Unit: "mm", Value: AverageNose.Mm(), Low: 15, High: 60, SD: 4.4,
		Likely: [2]float64{AverageNose.Mm() - 2, AverageNose.Mm() + 2}, // the same

		Meaning: "across the nostrils", Origin: unit.Memory,
		Source: "between men's 36.6 (sd 4.1) and women's 33.2 mm (sd 3.9), Z. Zhuang, B. Bradtmiller, J Occup Environ Hyg 2005;2:567-76"}
)

// The ranges of what a face may have at a site.
var (
	deviation = unit.Parameter{Name: "deviation", Unit: "mm", Low: -15, High: 15,
		Fixed:   "drawn for both sides together and for their difference",
		Meaning: "how far the site lies behind an average face", Origin: unit.Assumed, Source: "an average face"}
	beardLength = unit.Parameter{Name: "beard", Unit: "mm", Low: 0, High: 100, Fixed: "looked at",
		Meaning: "length of the hair under the cushion", Origin: unit.Assumed, Source: "shaved"}
	// ShapeGuess is what a tick on a face's shape leaves open at a site, the same
	// on both sides; SideGuess what the two sides then differ by.
	ShapeGuess = unit.Parameter{Name: "shape", Unit: "mm", Low: -15, High: 15, SD: 1,
		Meaning: "how far the site may lie behind what was ticked", Origin: unit.Assumed,
		Source: "half of the 2 mm between random faces that meet the published sites of leaks, see the checks"}
	SideGuess = unit.Parameter{Name: "left-right difference", Unit: "mm", Low: -15, High: 15, SD: 0.6,
		Meaning: "how much further back the left side may lie than the right", Origin: unit.Assumed,
		Source: "faces are less alike than their two sides; no published figure found"}
	// FeatureOffset, FeatureWidth and FeatureDepth bound what is local.
	FeatureOffset = unit.Parameter{Name: "feature offset", Unit: "mm", Low: -60, High: 60, Fixed: "looked at",
		Meaning: "along the rim from the site's middle", Origin: unit.Assumed, Source: "range assumed"}
	FeatureWidth = unit.Parameter{Name: "feature width", Unit: "mm", Value: 4, Low: 0.3, High: 30,
		Meaning: "half width at 60 % of the depth", Origin: unit.Assumed, Source: "range assumed"}
	FeatureDepth = unit.Parameter{Name: "feature depth", Unit: "mm", Low: -15, High: 15,
		Meaning: "a groove, or a ridge when negative", Origin: unit.Assumed, Source: "range assumed"}
)

// Parameters lists the adjustable numbers of a face under the given sites, at
// their usual values: tissue, deviation and beard of each, and the whole face's
// own. Left and right have a record each, though they start out alike.
func Parameters(sites []Site) []unit.Parameter {
	all := []unit.Parameter{LengthRecord, WidthRecord, NoseRecord, FoundationShare, HairGapRecord}
	named := func(p unit.Parameter, name string, s Site) {
		p.Name = name + ", " + s.String()
		all = append(all, p)
	}
	for _, s := range sites {
		named(deviation, deviation.Name, s)
		named(*ModulusOf(s), "tissue modulus", s)
		named(*ThicknessOf(s), "tissue thickness", s)
		named(beardLength, beardLength.Name, s)
	}
	return all
}
