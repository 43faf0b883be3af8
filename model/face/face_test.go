package face

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/unit"
)

// TestHairGap: longer hair never keeps less open, and the pieces of the law
// join without a step.
func TestHairGap(t *testing.T) {
	const hair = 76 * unit.Um
	if HairGap(0, hair) != 0 || HairGap(-unit.Mm, hair) != 0 {
		t.Error("shaved skin keeps a gap")
	}
	for _, join := range []unit.Length{0, 1.6 * unit.Mm, 3.2 * unit.Mm} {
		const step = unit.Length(1e-12)
		if jump := HairGap(join+step, hair) - HairGap(join-step, hair); math.Abs(float64(jump)) > 1e-12 {
			t.Errorf("at %v the gap jumps by %v", join, jump)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(-1e-3, 0.05)
		a, b := unit.Length(length.Draw(t, "a")), unit.Length(length.Draw(t, "b"))
		if a > b {
			a, b = b, a
		}
		if HairGap(a, hair) > HairGap(b, hair) {
			t.Errorf("%v of hair keeps %v open, %v only %v", a, HairGap(a, hair), b, HairGap(b, hair))
		}
		// Hair twice as thick keeps twice as much open.
		if off := float64(HairGap(b, 2*hair) - 2*HairGap(b, hair)); math.Abs(off) > 1e-15 {
			t.Errorf("%v of hair: thickness does not scale the gap, off by %v m", b, off)
		}
	})
}

// TestFeature: deepest in its middle, 60 % at its width, even to both sides.
func TestFeature(t *testing.T) {
	f := Feature{Width: 4 * unit.Mm, Depth: -3 * unit.Mm}
	if f.At(0) != f.Depth || f.At(f.Width) != f.At(-f.Width) {
		t.Errorf("middle %v, sides %v and %v", f.At(0), f.At(-f.Width), f.At(f.Width))
	}
	if share := float64(f.At(f.Width) / f.Depth); math.Abs(share-0.6065) > 1e-4 { // exp(-1/2)
		t.Errorf("at its width it has %v of its depth", share)
	}
}

func TestSites(t *testing.T) {
	seen := map[string]bool{}
	for s := range SiteCount {
		for _, name := range []string{s.ID(), s.String()} {
			if name == "" || seen[name] && s.ID() != s.String() {
				t.Errorf("site %d is called %q", int(s), name)
			}
			seen[name] = true
		}
		if m := s.Mirror(); m.Mirror() != s {
			t.Errorf("%s mirrored twice is %s", s, m.Mirror())
		}
	}
	for s, want := range map[Site]Site{Bridge: Bridge, Lip: Lip, Chin: Chin, NoseSideLeft: NoseSideRight,
		CheekRight: CheekLeft, CornerLeft: CornerRight, NostrilRight: NostrilLeft} {
		if s.Mirror() != want {
			t.Errorf("the mirror of %s is %s", s, s.Mirror())
		}
	}
}

func TestParseSite(t *testing.T) {
	ids := SiteIDs()
	if len(ids) != int(SiteCount) {
		t.Fatalf("%d names for %d sites", len(ids), int(SiteCount))
	}
	for i, id := range ids {
		if s, ok := ParseSite(id); !ok || s != Site(i) || s.ID() != id {
			t.Errorf("%q reads as %v", id, s)
		}
	}
	for _, id := range []string{"nose side left", " Nose-Side-Left ", "NOSE_SIDE_LEFT"} {
		if s, ok := ParseSite(id); !ok || s != NoseSideLeft {
			t.Errorf("%q is not read", id)
		}
	}
	for _, id := range []string{"", "forehead", "nose_side", "bridge of the nose"} {
		if s, ok := ParseSite(id); ok {
			t.Errorf("%q reads as %s", id, s)
		}
	}
}

// TestCatalogue: names are unique and found again, and every number is one.
func TestCatalogue(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range Catalogue() {
		if f.Name == "" || f.About == "" || seen[f.Name] {
			t.Errorf("face %q is not a new name with a sentence", f.Name)
		}
		seen[f.Name] = true
		if g, ok := Find(f.Name); !ok || g.About != f.About {
			t.Errorf("%q is not found again", f.Name)
		}
		checkFace(t, &f)
	}
	if _, ok := Find("nobody"); ok {
		t.Error("nobody has a face")
	}
}

func checkFace(t *testing.T, f *Face) {
	t.Helper()
	check := func(what string, err error) {
		if err != nil {
			t.Errorf("%s, %s: %v", f.Name, what, err)
		}
	}
	check("length", LengthRecord.Check(float64(f.Length)))
	check("nose", NoseRecord.Check(float64(f.NoseWidth)))
	for s := range SiteCount {
		check(s.ID(), deviation.Check(float64(f.Deviation[s])))
		check(s.ID(), beardLength.Check(float64(f.Beard[s])))
		check(s.ID(), ModulusOf(s).Check(float64(f.Tissue[s].Modulus)))
		check(s.ID(), ThicknessOf(s).Check(float64(f.Tissue[s].Thickness)))
		if k := float64(f.Tissue[s].Stiffness(FoundationShare.Value)); !(k > 0) || math.IsInf(k, 0) {
			t.Errorf("%s, %s: stiffness %v", f.Name, s, k)
		}
	}
	for _, x := range f.Features {
		check("feature", FeatureOffset.Check(float64(x.Offset)))
		check("feature", FeatureWidth.Check(float64(x.Width)))
		check("feature", FeatureDepth.Check(float64(x.Depth)))
	}
}

// TestTissueIsEven: both sides of the usual face are alike, and the stiffness
// follows modulus over thickness.
func TestTissueIsEven(t *testing.T) {
	for s := range SiteCount {
		if UsualTissue(s) != UsualTissue(s.Mirror()) {
			t.Errorf("%s differs from its mirror", s)
		}
	}
	k := Tissue{Modulus: 20 * unit.KPa, Thickness: 10 * unit.Mm}.Stiffness(0.5)
	if math.Abs(float64(k)-1e6) > 1e-6 { // 0.5 * 20 kPa / 10 mm
		t.Errorf("stiffness %v, want 1 kPa/mm", k)
	}
}
