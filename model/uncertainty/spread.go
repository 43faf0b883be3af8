// Package uncertainty asks the same question many times with every number that
// is not known exactly drawn from where it may well lie, and tells how much of
// the answer survives: the share of draws that agree, bands for the figures,
// and which inputs the answer hangs on.
//
// An answer of any kind can be drawn: a Study says which inputs are in play and
// how one draw is asked. The same seed gives the same draws, on any number of
// cores.
package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"tautline/model/unit"
)

// A Spread is the distribution that one input is drawn from, in SI.
type Spread struct {
	Low, Mode, High float64 // where it ends, and where it is most likely
	// SD, when above zero, makes it a normal distribution about Mode, cut off at
	// Low and High; else it is a triangle.
	SD float64
}

// SpreadOf gives the distribution of a parameter about the value at which it
// stands (SI). A published SD makes a normal distribution cut off at the valid
// range; anything else a triangle over the plausible range with its peak at the
// value: all that is claimed is a middle and two ends. The second result is
// false where the number is not drawn.
func SpreadOf(p *unit.Parameter, at float64) (Spread, bool) {
	here := p.At(at)
	low, high := here.Plausible(here.Value)
	if low >= high {
		return Spread{}, false
	}
	si := func(v float64) float64 { q := here; q.Value = v; return q.SI() }
	if p.SD > 0 && p.Likely == [2]float64{} {
		return Spread{Low: si(p.Low), High: si(p.High), Mode: at, SD: si(here.Value+p.SD) - at}, true
	}
	return Spread{Low: si(low), High: si(high), Mode: at}, true
}

// Quantile gives the value below which a share u of the draws lies.
//
// For the cut-off normal: mode + SD z(F(a) + u (F(b) - F(a))), with a and b the
// ends in standard deviations, F the normal distribution and z its inverse.
// Input: u, 0 to 1; result: SI. Source: any text, such as N. L. Johnson, S.
// Kotz, Continuous Univariate Distributions, 1970, chapter 13 (from memory).
func (s Spread) Quantile(u float64) float64 {
	if s.SD > 0 {
		z := distuv.UnitNormal
		a, b := z.CDF((s.Low-s.Mode)/s.SD), z.CDF((s.High-s.Mode)/s.SD)
		x := s.Mode + s.SD*z.Quantile(a+u*(b-a))
		return math.Min(math.Max(x, s.Low), s.High) // u = 0 or 1 with a far end
	}
	return distuv.NewTriangle(s.Low, s.High, s.Mode, nil).Quantile(u)
}
