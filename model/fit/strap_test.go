package fit

import (
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/unit"
)

// medium puts a medium mask on a face without weight.
func medium(t *testing.T, kind mask.Type, pull unit.Force, change func(*Case)) *Fitting {
	t.Helper()
	m, err := mask.Find(kind, "medium")
	if err != nil {
		t.Fatal(err)
	}
	c := NewCase(m, face.Average(), pull, Position{})
	if change != nil {
		change(&c)
	}
	f, err := PutOn(c)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func pointAt(t *testing.T, f *Fitting, set unit.Pressure) Point {
	t.Helper()
	p, err := f.At(set)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func (p Point) at(s face.Site) SiteState {
	for _, st := range p.Sites {
		if st.Site == s {
			return st
		}
	}
	return SiteState{}
}

// TestWithStrapsIsPutOnAnew: the quick way gives what the long way gives.
func TestWithStrapsIsPutOnAnew(t *testing.T) {
	eachRandom(t, 100, func(r *rand.Rand, f *Fitting, pressure float64) {
		s := Straps{Pull: f.Case.Straps.Pull * unit.Force(0.8+0.6*r.Float64()), Upper: 0.55, Left: 0.5}
		before := f.Case.Straps
		quick, err := f.WithStraps(s)
		c := f.Case
		c.Straps = s
		anew, other := PutOn(c)
		if (err == nil) != (other == nil) {
			t.Fatalf("quick: %v, anew: %v", err, other)
		}
		if f.Case.Straps != before {
			t.Error("the first fitting has changed")
		}
		if err != nil {
			return
		}
		if !reflect.DeepEqual(quick.problem, anew.problem) || quick.set != anew.set {
			t.Errorf("set at %v, anew at %v", quick.set, anew.set)
		}
		if a, b := leakAt(t, quick, pressure), leakAt(t, anew, pressure); a != b {
			t.Errorf("leak %g, anew %g", a, b)
		}
	})
}

// TestNowhereIsWeightless: in a position of zeros the mask's weight does
// nothing, and the straps pull as they were set.
func TestNowhereIsWeightless(t *testing.T) {
	for _, kind := range mask.Types() {
		heavy := medium(t, kind, 2, func(c *Case) { c.Mask.Weight = 5 })
		light := medium(t, kind, 2, func(c *Case) { c.Mask.Weight = 0 })
		if !reflect.DeepEqual(pointAt(t, heavy, 10*unit.CmH2O), pointAt(t, light, 10*unit.CmH2O)) {
			t.Errorf("%s: weight tells", kind)
		}
		if sum, _ := heavy.problem.Pulls(heavy.set, heavy.set); math.Abs(sum-2) > 1e-12 {
			t.Errorf("%s: set to 2 N, the straps pull %g", kind, sum)
		}
	}
}

// TestPositionsTell: each number of a position does what its name says.
func TestPositionsTell(t *testing.T) {
	bridge := func(at Position) unit.Pressure {
		f := medium(t, mask.Oronasal, 8, func(c *Case) { c.Position = at })
		return pointAt(t, f, 10*unit.CmH2O).at(face.Bridge).Contact
	}
	none := bridge(Position{})
	if bridge(Position{Pressing: 1}) <= none || bridge(Position{Hanging: 1}) <= none || bridge(Position{Slackening: 0.2}) >= none {
		t.Error("weight does not press, or slack straps press more")
	}
	chin := func(at Position) unit.Pressure {
		f := medium(t, mask.Oronasal, 8, func(c *Case) { c.Position = at })
		return pointAt(t, f, 10*unit.CmH2O).at(face.Chin).Contact
	}
	if chin(Position{JawBack: 3 * unit.Mm}) >= chin(Position{}) {
		t.Error("a chin that falls back is pressed more")
	}
	f := medium(t, mask.Oronasal, 8, func(c *Case) { c.Position = Position{Shove: 1, ShoveSite: face.CheekLeft} })
	if p := pointAt(t, f, 10*unit.CmH2O); p.at(face.CheekLeft).Contact <= p.at(face.CheekRight).Contact {
		t.Error("a push on the left cheek presses the right one more")
	}
}

// TestBalanceMovesContact: contact follows the straps that pull more.
func TestBalanceMovesContact(t *testing.T) {
	for _, kind := range []mask.Type{mask.Oronasal, mask.Nasal} {
		shared := func(upper, left unit.Fraction) Point {
			return pointAt(t, medium(t, kind, 5, func(c *Case) { c.Straps.Upper, c.Straps.Left = upper, left }), 10*unit.CmH2O)
		}
		even := shared(0.6, 0.5)
		l, r := even.at(face.CheekLeft).ContactMean, even.at(face.CheekRight).ContactMean
		if math.Abs(float64(l/r)-1) > 1e-6 {
			t.Errorf("%s: evenly set, %v on the left and %v on the right", kind, l, r)
		}
		if p := shared(0.6, 0.58); p.at(face.CheekLeft).ContactMean <= l || p.at(face.CheekRight).ContactMean >= r || p.Pose.Yaw <= 0 {
			t.Errorf("%s: more pull on the left presses the right", kind)
		}
		bottom := face.Chin
		if kind == mask.Nasal {
			bottom = face.Lip
		}
		if p := shared(0.7, 0.5); p.at(face.Bridge).Contact <= even.at(face.Bridge).Contact ||
			p.at(bottom).Contact >= even.at(bottom).Contact || p.Pose.Pitch <= even.Pose.Pitch {
			t.Errorf("%s: more pull above presses below", kind)
		}
	}
	f := medium(t, mask.Pillows, 2, func(c *Case) { c.Straps.Left = 0.52 })
	if p := pointAt(t, f, 10*unit.CmH2O); p.at(face.NostrilLeft).Contact <= p.at(face.NostrilRight).Contact {
		t.Error("pillows: more pull on the left presses the right")
	}
}

// TestStatedPullsKeepTheirProportions: pulls stated strap by strap add up to
// the case's, and a sum asked for as well scales them all.
func TestStatedPullsKeepTheirProportions(t *testing.T) {
	pulls := []unit.Force{2, 1.5, 1, 0.5}
	f := medium(t, mask.Oronasal, 0, func(c *Case) {
		for i := range c.Mask.Straps {
			c.Mask.Straps[i].Pull = pulls[i]
		}
	})
	if f.Case.Total() != 5 {
		t.Errorf("they add up to %v", f.Case.Total())
	}
	twice, err := f.WithStraps(Straps{Pull: 10})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range pulls {
		if got := f.problem.Straps[i].Pull; math.Abs(got-float64(want)) > 1e-12 {
			t.Errorf("strap %d pulls %g N, want %v", i, got, want)
		}
		if got := twice.problem.Straps[i].Pull; math.Abs(got-2*float64(want)) > 1e-12 {
			t.Errorf("scaled, strap %d pulls %g N, want %v", i, got, 2*want)
		}
	}
}

// TestSlantedStrapsHoldLess: a strap at an angle to the normal pushes by its
// cosine only.
func TestSlantedStrapsHoldLess(t *testing.T) {
	f := medium(t, mask.Oronasal, 6, func(c *Case) {
		for i := range c.Mask.Straps {
			s := &c.Mask.Straps[i]
			s.Angle, s.Azimuth = 60*unit.Degree, 0
			if !s.Left { // outward to its own side
				s.Azimuth = 180 * unit.Degree
			}
		}
	})
	if push := f.problem.Push(f.set, 0); math.Abs(push-3) > 1e-6 {
		t.Errorf("6 N at 60 degrees push %g N, want 3", push)
	}
}

// TestOldCushions: pressed equally deep, a worn cushion presses no place more
// and lets no less out; at the same pull it leaks no less either on faces that
// fall away from it, and presses the bridge less.
func TestOldCushions(t *testing.T) {
	ages := []float64{0, 30, 90, 365}
	aged := func(name string, pull unit.Force, days float64) *Fitting {
		return medium(t, mask.Oronasal, pull, func(c *Case) {
			c.Face, _ = face.Find(name)
			c.Cushion.Days = unit.Time(days) * unit.Day
		})
	}
	for _, name := range []string{"average", "flat bridge", "narrow bridge", "hollow cheeks", "small chin"} {
		for _, pull := range []unit.Force{3, 5, 8} {
			before := aged(name, pull, 0)
			pose, leak := poseAt(t, before, 1200), 0.0
			for _, days := range ages {
				f := aged(name, pull, days)
				for i := range f.problem.Segments {
					a, b := before.problem.State(i, pose, 1200), f.problem.State(i, pose, 1200)
					if b.Contact > a.Contact*(1+1e-9) || b.Leak < a.Leak*(1-1e-9) {
						t.Errorf("%s, after %g days, equally deep: %+v, new %+v", name, days, b, a)
					}
				}
				now := leakAt(t, f, 1200)
				if now < leak*(1-1e-9) {
					t.Errorf("%s, after %g days at %v it leaks %g m3/s, before %g", name, days, pull, now, leak)
				}
				leak = now
			}
		}
	}
	top := math.Inf(1)
	for _, days := range ages {
		now := float64(pointAt(t, aged("average", 8, days), 10*unit.CmH2O).at(face.Bridge).Contact)
		if now >= top {
			t.Errorf("after %g days the bridge bears %g Pa, before %g", days, now, top)
		}
		top = now
	}
}

// TestPullOutsideTipsByName: the error names mask and pull, and can be told
// apart.
func TestPullOutsideTipsByName(t *testing.T) {
	m, _ := mask.Find(mask.Pillows, "medium")
	c := NewCase(m, face.Average(), 1, Position{})
	c.Straps.Left = 1
	for i := range c.Mask.Straps {
		c.Mask.Straps[i].X *= 3
	}
	_, err := PutOn(c)
	if !errors.Is(err, seal.ErrTips) {
		t.Errorf("a pull beside the pillows: %v", err)
	}
}
