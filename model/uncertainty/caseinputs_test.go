package uncertainty

import (
	"math"
	"reflect"
	"testing"

	"tautline/model/circuit"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/gas"
	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/unit"
	"tautline/model/vent"
)

// TestEveryRecordSpreadsOrSaysWhyNot goes through all that a case rests on.
func TestEveryRecordSpreadsOrSaysWhyNot(t *testing.T) {
	lists := [][]unit.Parameter{circuit.Parameters(), gas.Parameters(), seal.Parameters(),
		{mask.WearTime, mask.WearSoftening, mask.WearShare, mask.WearReach, mask.WearLimit},
		{vent.Tolerance, face.ShapeGuess, face.SideGuess, face.FeatureWidth},
		{fit.StrapRange, fit.SetPressureRange, fit.LimitRecord, fit.LineRecord, fit.WornRecord, fit.LeftRecord, fit.SegmentsRecord}}
	for _, kind := range mask.Types() {
		for _, size := range mask.Sizes() {
			lists = append(lists, mask.Parameters(kind, size))
			m, err := mask.Find(kind, size)
			if err != nil {
				t.Fatal(err)
			}
			lists = append(lists, face.Parameters(m.Sites()))
		}
	}
	holdRecords(t, lists...)
	for _, at := range fit.Positions() {
		for _, p := range at.Parameters() {
			if p.Value != 0 && !p.Spreads() {
				t.Errorf("%s, %s: has a value and no spread", at.Name, p.Name)
			}
		}
	}
}

// holdRecords wants of every record a spread that holds its value, or a reason.
func holdRecords(t *testing.T, lists ...[]unit.Parameter) {
	t.Helper()
	for _, all := range lists {
		for _, p := range all {
			if !p.Spreads() && p.Fixed == "" {
				t.Errorf("%s is neither drawn nor does it say why not", p.Name)
			}
			if l := p.Likely; l != [2]float64{} && !(p.Low <= l[0] && l[0] <= p.Value && p.Value <= l[1] && l[1] <= p.High && l[0] < l[1]) {
				t.Errorf("%s: likely %v does not hold %v within %v to %v", p.Name, l, p.Value, p.Low, p.High)
			}
		}
	}
}

// TestEveryInputIsSet: setting an input to where it stands changes nothing, and
// setting it elsewhere changes the case, or it would not be an input; the case
// as asked is left alone.
func TestEveryInputIsSet(t *testing.T) {
	for _, kind := range mask.Types() {
		for _, f := range face.Catalogue() {
			q := question(t, kind, f.Name, 3)
			q.Case.Cushion.Days = 120 * unit.Day
			before := q.Case
			straps := append([]mask.Strap(nil), q.Case.Mask.Straps...)
			features := append([]face.Feature(nil), q.Case.Face.Features...)
			in, _ := CaseInputs(q.Case, Nothing)
			seen := map[string]bool{}
			for _, x := range in {
				if seen[x.Parameter.Name] {
					t.Errorf("%s is drawn twice", x.Parameter.Name)
				}
				seen[x.Parameter.Name] = true
				same, other := q.Case, q.Case
				x.Set(&same, x.Parameter.SI())
				if d := far(t, same, q.Case); d > 1e-9 {
					t.Errorf("%s, %s: set to where it stands it moves the seal by %v", kind, x.Parameter.Name, d)
				}
				x.Set(&other, x.Spread.Quantile(0.95))
				if reflect.DeepEqual(other, q.Case) {
					t.Errorf("%s, %s: drawn elsewhere it changes nothing", kind, x.Parameter.Name)
				}
			}
			if !reflect.DeepEqual(q.Case, before) || !reflect.DeepEqual(straps, q.Case.Mask.Straps) ||
				!reflect.DeepEqual(features, q.Case.Face.Features) {
				t.Errorf("%s, %s: a draw changes the case as asked", kind, f.Name)
			}
		}
	}
}

// far compares two cases by their segments' and straps' numbers.
func far(t *testing.T, a, b fit.Case) float64 {
	t.Helper()
	p, errP := a.Problem()
	q, errQ := b.Problem()
	if errP != nil || errQ != nil {
		t.Fatal(errP, errQ)
	}
	off := 0.0
	rel := func(x, y float64) { off = math.Max(off, math.Abs(x-y)/(1e-9+math.Abs(y))) }
	for i := range p.Segments {
		rel(p.Segments[i].Soft, q.Segments[i].Soft)
		rel(p.Segments[i].Mismatch+1, q.Segments[i].Mismatch+1)
		rel(p.Segments[i].FlapShare, q.Segments[i].FlapShare)
		rel(p.Segments[i].FlapReach, q.Segments[i].FlapReach)
	}
	for i := range p.Straps {
		rel(p.Straps[i].Stiffness, q.Straps[i].Stiffness)
		rel(p.Straps[i].Pull, q.Straps[i].Pull)
	}
	return off
}

// TestStatedIsHeld: what the one who asks has stated is not drawn.
func TestStatedIsHeld(t *testing.T) {
	q := question(t, mask.Nasal, "average", 3)
	stated := StatedIn([]unit.Parameter{mask.Parameters(mask.Nasal, "medium")[1].With(3e5)})
	in, held := CaseInputs(q.Case, stated)
	for _, x := range in {
		if x.Parameter.Name == mask.WallRecord {
			t.Error("a stated stiffness is drawn")
		}
	}
	found := false
	for _, h := range held {
		found = found || h.Parameter.Name == mask.WallRecord && h.Why == "stated"
	}
	if !found {
		t.Errorf("the stated stiffness is not among %d held numbers", len(held))
	}
}
