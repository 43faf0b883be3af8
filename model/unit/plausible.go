package unit

import "math"

// halfSpread is how far a number may well be off, as a share of itself, where
// neither a spread was published nor a likely range is given. Assumed, one
// share for each origin: the less is known of a number, the wider.
var halfSpread = map[Origin]float64{
	Read:       0.10, // the figure is right, the thing at hand differs a little
	Memory:     0.20,
	Calibrated: 0.25, // other sets would have met the same checks
	Assumed:    0.40,
	Stated:     0, // whoever stated it knows it
}

// sigmas is how many standard deviations the plausible range reaches to either
// side: it then holds 95 % of a normal distribution.
const sigmas = 1.96

// Plausible gives the range in which the number may well lie when it stands at
// a value, both in the parameter's unit.
//
// In this order: a fixed or stated number is what it is; a likely range moves
// along with the value (in proportion where the number is positive by nature,
// else by the same distance); a published SD reaches 1.96 of it to either side;
// else a share of the value by origin (10 % read, 20 % from memory, 25 % chosen
// to meet checks, 40 % assumed; the shares are assumed themselves). It never
// leaves the valid range.
func (p *Parameter) Plausible(at float64) (low, high float64) {
	switch {
	case p.Fixed != "" || p.Origin == Stated:
		return at, at
	case p.Likely[0] < p.Likely[1] && p.Low >= 0 && p.Value > 0:
		low, high = at*p.Likely[0]/p.Value, at*p.Likely[1]/p.Value
	case p.Likely[0] < p.Likely[1]:
		low, high = at+p.Likely[0]-p.Value, at+p.Likely[1]-p.Value
	case p.SD > 0:
		low, high = at-sigmas*p.SD, at+sigmas*p.SD
	default:
		off := halfSpread[p.Origin] * math.Abs(at)
		low, high = at-off, at+off
	}
	return min(max(low, p.Low), at), max(min(high, p.High), at)
}

// Around gives a copy that may well be off by a factor either way, for an assumed
// number of which no more can be claimed; the likely range never leaves the valid
// one.
//
//	Value / factor to Value factor
//
// Example: 2 mm, around 1.6: 1.25 to 3.2 mm.
func (p Parameter) Around(factor float64) Parameter {
	p.Likely = [2]float64{max(p.Value/factor, p.Low), min(p.Value*factor, p.High)}
	return p
}

// Spreads tells whether the number is drawn at all when it stands at its
// default.
func (p *Parameter) Spreads() bool {
	low, high := p.Plausible(p.Value)
	return low < high
}

// At gives a copy that stands at another SI value and keeps what is known of
// it otherwise; its likely range moves along.
func (p Parameter) At(si float64) Parameter {
	at := p.own(si)
	if p.Likely[0] < p.Likely[1] {
		p.Likely[0], p.Likely[1] = p.Plausible(at)
	}
	p.Value = at
	return p
}
