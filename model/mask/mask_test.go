package mask

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/face"
	"tautline/model/unit"
)

func find(t testing.TB, kind Type, size string) Mask {
	t.Helper()
	m, err := Find(kind, size)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestCatalogue: every type in every size is found, invented and said so,
// even, and its rims can be cut.
func TestCatalogue(t *testing.T) {
	names := map[string]bool{}
	for _, kind := range Types() {
		for _, size := range Sizes() {
			m := find(t, kind, size)
			if names[m.Name] || !strings.Contains(m.Name, "invented") || m.Type != kind || m.Size != size {
				t.Errorf("%s, %s is called %q", kind, size, m.Name)
			}
			names[m.Name] = true
			for s := range face.SiteCount {
				if m.Profile[s] != m.Profile[s.Mirror()] || m.PerNose[s] != m.PerNose[s.Mirror()] {
					t.Errorf("%s is not even at %s", m.Name, s)
				}
			}
			for _, r := range m.Rims {
				cut(t, r, 48, m.Width)
			}
			for i, s := range m.Straps { // in pairs, left and right, for the fit's sharing out
				if o := m.Straps[i^1]; s.Left == o.Left || s.X != -o.X || s.Y != o.Y || !(s.Stiffness > 0) {
					t.Errorf("%s: strap %s has no mirror", m.Name, s.Name)
				}
			}
		}
	}
}

// TestSizesGrow: a larger size is larger, and drawn for a larger face.
func TestSizesGrow(t *testing.T) {
	for _, kind := range Types() {
		for i, size := range Sizes()[1:] {
			a, b := find(t, kind, Sizes()[i]), find(t, kind, size)
			if a.Rims[0].Width >= b.Rims[0].Width || a.Rims[0].Height >= b.Rims[0].Height ||
				a.FitsLength >= b.FitsLength || a.FitsNose >= b.FitsNose {
				t.Errorf("%s: %s is not smaller than %s", kind, a.Size, b.Size)
			}
		}
	}
}

func TestFindErrors(t *testing.T) {
	for _, c := range []struct {
		kind Type
		size string
		says string
	}{
		{"helmet", "medium", `there is no mask of the type "helmet" in the catalogue: there are oronasal, nasal, pillows`},
		{Nasal, "huge", `there is no mask of the size "huge" in the catalogue: there are small, medium, large`},
		{Nasal, "", `the mask's size is not said`},
	} {
		_, err := Find(c.kind, c.size)
		var unknown *UnknownError
		if !errors.As(err, &unknown) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s, %s: %v, want %q", c.kind, c.size, err, c.says)
		}
	}
	if Parameters("helmet", "medium") != nil || Parameters(Nasal, "huge") != nil {
		t.Error("an unknown mask has records")
	}
}

// TestResized: another size brings its rim and frame and keeps what was stated
// of this one.
func TestResized(t *testing.T) {
	for _, kind := range Types() {
		m, to := find(t, kind, "medium"), find(t, kind, "large")
		m.Width, m.Weight, m.Profile[face.Bridge] = 7*unit.Mm, 2, 1.5*unit.Mm
		m.Cushion.Stiffness, m.Cushion.FlapReach = 123456, 1.7*unit.Mm
		m.Straps = slices.Clone(m.Straps)
		for i := range m.Straps {
			s := &m.Straps[i]
			s.Stiffness, s.Pull, s.Angle, s.Azimuth, s.Height = 999, 1.25, 0.2, 0.3, 4*unit.Mm
		}
		got := m.Resized(to)
		if got.Width != m.Width || got.Weight != m.Weight || got.Profile != m.Profile || got.Cushion != m.Cushion {
			t.Errorf("%s: what was stated is lost: %+v", kind, got)
		}
		if got.Size != "large" || got.Rims[0].Width != to.Rims[0].Width || got.FitsLength != to.FitsLength {
			t.Errorf("%s: the size is still %s", kind, got.Size)
		}
		for i, s := range got.Straps {
			want := m.Straps[i]
			want.X, want.Y = to.Straps[i].X, to.Straps[i].Y
			if s != want {
				t.Errorf("%s: strap %+v, want %+v", kind, s, want)
			}
		}
		if again := find(t, kind, "large"); again.Straps[0].Stiffness == 999 {
			t.Errorf("%s: the catalogue itself has changed", kind)
		}
	}
}

// TestMismatch: profile, departure and size add up.
func TestMismatch(t *testing.T) {
	m, f := find(t, Oronasal, "medium"), face.Average()
	if got := m.Mismatch(&f, face.Bridge); got != m.Profile[face.Bridge] {
		t.Errorf("on an average face %v, want the profile's %v", got, m.Profile[face.Bridge])
	}
	f.Deviation[face.Chin] = 2 * unit.Mm
	f.Length -= 10 * unit.Mm // the mask is 10 mm too long, at 0.45 each
	if got := m.Mismatch(&f, face.Chin).Mm(); math.Abs(got-(3+2+4.5)) > 1e-9 {
		t.Errorf("chin %g mm, want 9.5", got)
	}
	f.NoseWidth += 4 * unit.Mm // and 4 mm too narrow, at 0.5 each
	if got := m.Mismatch(&f, face.CheekLeft).Mm(); math.Abs(got-(-1.5-2)) > 1e-9 {
		t.Errorf("cheek %g mm, want -3.5", got)
	}
}

// TestWear: wear softens the wall and takes the flap's push and reach, the longer
// and the less cared for the more, and ends at the shares of its records.
func TestWear(t *testing.T) {
	c := find(t, Nasal, "medium").Cushion
	if (Wear{}).Apply(c) != c {
		t.Error("a new cushion is worn")
	}
	end := Wear{Days: 1e5 * unit.Day}.Apply(c)
	for _, kept := range []struct {
		what      string
		got, lost float64
	}{
		{"stiffness", float64(end.Stiffness / c.Stiffness), WearSoftening.SI()},
		{"flap share", float64(end.FlapShare / c.FlapShare), WearShare.SI()},
		{"flap reach", float64(end.FlapReach / c.FlapReach), WearReach.SI()},
	} {
		if math.Abs(kept.got-(1-kept.lost)) > 1e-9 {
			t.Errorf("in the end %g of the %s is kept, want %g", kept.got, kept.what, 1-kept.lost)
		}
	}
	if s := float64(end.FlapShare / c.FlapShare); math.Abs(s-0.75) > 1e-9 {
		t.Errorf("in the end the flap keeps %g of its push, want 0.75", s)
	}
	rapid.Check(t, func(t *rapid.T) {
		days := rapid.Float64Range(0, 3650)
		a, b := unit.Time(days.Draw(t, "a"))*unit.Day, unit.Time(days.Draw(t, "b"))*unit.Day
		less := func(what string, worn, fresh Cushion) {
			if worn.Stiffness > fresh.Stiffness || worn.FlapReach > fresh.FlapReach || worn.FlapShare > fresh.FlapShare {
				t.Errorf("%s: %+v against %+v", what, worn, fresh)
			}
			if worn.Bottoming != c.Bottoming || worn.Crushing != c.Crushing || worn.Stiffening != c.Stiffening {
				t.Errorf("%s changes what does not wear: %+v", what, worn)
			}
		}
		for care := CareWeekly; care <= CareRarely; care++ {
			less("longer", Wear{max(a, b), care}.Apply(c), Wear{min(a, b), care}.Apply(c))
		}
		less("weekly", Wear{a, CareWeekly}.Apply(c), Wear{a, CareDaily}.Apply(c))
		less("rarely", Wear{a, CareRarely}.Apply(c), Wear{a, CareWeekly}.Apply(c))
	})
}

// TestModulusRange: outside of the hardnesses that the relation holds for there
// is no number.
func TestModulusRange(t *testing.T) {
	for _, shore := range []float64{19.9, 80.1, -1, math.NaN()} {
		if e := Modulus(shore); !math.IsNaN(float64(e)) {
			t.Errorf("Shore %g gives %v", shore, e)
		}
	}
	for s := 20.0; s < 80; s++ {
		if !(Modulus(s+1) > Modulus(s)) {
			t.Errorf("Shore %g is not stiffer than %g", s+1, s)
		}
	}
}
