package unit

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var width = Parameter{Name: "contact width", Unit: "mm", Value: 10, Low: 2, High: 20,
	Origin: Assumed, Source: "made up for this test"}

func TestParameterSI(t *testing.T) {
	warm := Parameter{Name: "warmth", Unit: "C", Value: 30, Low: 5, High: 45}
	pure := Parameter{Name: "share", Value: 0.8, Low: 0, High: 1}
	for _, c := range []struct {
		p    Parameter
		si   float64
		text string
	}{{width, 0.01, "10 mm"}, {warm, 303.15, "30 C"}, {pure, 0.8, "0.8"}} {
		if got := c.p.SI(); math.Abs(got-c.si) > 1e-12 {
			t.Errorf("%s is %v in SI, want %v", c.p.Name, got, c.si)
		}
		if got := c.p.String(); got != c.text {
			t.Errorf("%s prints as %q, want %q", c.p.Name, got, c.text)
		}
	}
}

func TestParameterCheck(t *testing.T) {
	for _, si := range []float64{0.002, 0.01, 0.02} { // both ends belong to the range
		if err := width.Check(si); err != nil {
			t.Errorf("%v m: %v", si, err)
		}
	}
	for _, si := range []float64{0.00199, 0.0201, -0.01, math.NaN(), math.Inf(1), math.Inf(-1)} {
		err := width.Check(si)
		var r *RangeError
		if !errors.As(err, &r) || r.Parameter.Name != width.Name {
			t.Errorf("%v m passes: %v", si, err)
		}
	}
	want := "contact width is 25 mm, outside the range 2 mm to 20 mm"
	if err := width.Check(0.025); err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("the error is %v, want %q in it", err, want)
	}
}

// TestParameterWith: a stated value takes the place of the default in a copy,
// and no longer claims the default's source.
func TestParameterWith(t *testing.T) {
	stated := width.With(0.012)
	if math.Abs(stated.Value-12) > 1e-12 || stated.Origin != Stated || stated.Source != "" {
		t.Errorf("stated: %+v", stated)
	}
	if width.Value != 10 || width.Origin != Assumed {
		t.Errorf("the record itself has changed: %+v", width)
	}
}

// TestParameterRoundTrip: into SI and back is the same number, in every unit.
func TestParameterRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(kinds).Draw(t, "kind")
		name := rapid.SampledFrom(k.Units()).Draw(t, "unit")
		p := Parameter{Name: "x", Unit: name, Value: rapid.Float64Range(-1000, 1000).Draw(t, "value")}
		p.Low, p.High = p.Value-1, p.Value+1
		if err := p.Check(p.SI()); err != nil {
			t.Error(err)
		}
		back := p.With(p.SI())
		// A temperature of a millikelvin loses digits to the scale's zero.
		if off := math.Abs(back.Value - p.Value); off > 1e-12*(1000+math.Abs(p.Value)) {
			t.Errorf("%v comes back as %v", p, back)
		}
	})
}

// TestUnknownUnitPanics: a misspelt record is the programmer's mistake, and is
// seen at the first use.
func TestUnknownUnitPanics(t *testing.T) {
	defer func() {
		if what, _ := recover().(string); !strings.Contains(what, "furlong") {
			t.Errorf("recovered %q", what)
		}
	}()
	p := Parameter{Name: "x", Unit: "furlong"}
	p.SI()
}

// TestPlausible: what is likely goes before what was published of others, and
// both before the rule of the origin; nothing leaves the valid range.
func TestPlausible(t *testing.T) {
	for _, c := range []struct {
		p         Parameter
		at        float64
		low, high float64
	}{
		{Parameter{Value: 10, Low: 0, High: 100, Origin: Assumed}, 10, 6, 14},
		{Parameter{Value: 10, Low: 0, High: 100, Origin: Calibrated}, 20, 15, 25},
		{Parameter{Value: 10, Low: 0, High: 100, Origin: Memory}, 10, 8, 12},
		{Parameter{Value: 10, Low: 0, High: 100, Origin: Read}, 10, 9, 11},
		{Parameter{Value: 10, Low: 0, High: 100, Origin: Read, SD: 1}, 10, 8.04, 11.96},
		{Parameter{Value: 10, Low: 9, High: 11, Origin: Read, SD: 1}, 10, 9, 11},
		{Parameter{Value: 10, Low: 0, High: 100, Origin: Read, SD: 1, Likely: [2]float64{5, 20}}, 20, 10, 40},
		{Parameter{Value: 0, Low: -9, High: 9, Likely: [2]float64{-1, 2}}, 3, 2, 5},
		{Parameter{Value: 10, Low: 0, High: 100, Origin: Assumed, Fixed: "looked at"}, 10, 10, 10},
		{Parameter{Value: 10, Low: 0, High: 100, Origin: Stated, SD: 1}, 10, 10, 10},
	} {
		low, high := c.p.Plausible(c.at)
		if math.Abs(low-c.low) > 1e-9 || math.Abs(high-c.high) > 1e-9 {
			t.Errorf("%+v at %v: %v to %v, want %v to %v", c.p, c.at, low, high, c.low, c.high)
		}
	}
	if p := width.At(0.005); p.Value != 5 || p.Origin != Assumed || p.Source == "" {
		t.Errorf("moved: %+v", p)
	}
}
