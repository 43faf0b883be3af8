package fit

import (
	"math"
	"testing"

	"tautline/model/circuit"
	"tautline/model/face"
	"tautline/model/gas"
	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/skin"
	"tautline/model/unit"
)

// TestRecords: every adjustable number has a name, a meaning, a source and a
// default inside its range, and no list names one twice.
func TestRecords(t *testing.T) {
	lists := map[string][]unit.Parameter{"circuit": circuit.Parameters(), "gas": gas.Parameters(),
		"seal": seal.Parameters(), "skin": skin.Parameters(), "face": face.Parameters([]face.Site{face.Bridge, face.Chin}),
		"fit": {StrapRange, SetPressureRange, LimitRecord, LineRecord, WornRecord, LeftRecord, SegmentsRecord}}
	for _, kind := range mask.Types() {
		for _, size := range mask.Sizes() {
			lists[string(kind)+" "+size] = mask.Parameters(kind, size)
		}
	}
	for _, p := range Positions() {
		lists[p.Name] = p.Parameters()
	}
	for _, f := range Feels() {
		lists["feel "+f.Words[0]] = []unit.Parameter{f.Usual}
		if u := unit.Force(f.Usual.SI()); u < f.Low || u > f.High {
			t.Errorf("%s: %v lies outside of %v to %v", f.Words[0], u, f.Low, f.High)
		}
	}
	for list, all := range lists {
		if len(all) == 0 {
			t.Errorf("%s lists nothing", list)
		}
		seen := map[string]bool{}
		for _, p := range all {
			if p.Name == "" || p.Meaning == "" || p.Source == "" || p.Origin == "" || seen[p.Name] {
				t.Errorf("%s: %+v", list, p)
			}
			seen[p.Name] = true
			if err := p.Check(p.SI()); err != nil || math.IsInf(p.High-p.Low, 0) || p.SD < 0 {
				t.Errorf("%s: %s: %v", list, p.Name, err)
			}
		}
	}
}
