package unit

import "fmt"

// An Origin says how far a parameter's value can be trusted.
type Origin string

// The origins, best first.
const (
	Read       Origin = "read in the source"
	Memory     Origin = "from memory"
	Calibrated Origin = "assumed, chosen to meet published checks"
	Assumed    Origin = "assumed"
	Stated     Origin = "stated in the scenario"
)

// A Parameter is one adjustable number of the model with everything that is
// known of it. It is the only place where that number stands: defaults, range
// errors, the list of inputs and the draws for uncertainty derive from it.
type Parameter struct {
	Name    string  // "flap share", unique in the model
	Symbol  string  // "eta"
	Meaning string  // one clause
	Unit    string  // the unit of Value, Low, High and SD: "mm"; "" for a pure number
	Value   float64 // the default
	Low     float64 // the valid range; a value outside is refused by name
	High    float64
	SD      float64 // spread of one standard deviation where published, else 0
	// Likely is where an assumed number may well lie, in Unit: far narrower than
	// Low to High, which only tells what the laws hold for. Where it is given it
	// is what is drawn from, not SD: SD may be the spread between people while
	// Likely is what is left once the size was chosen for this one. Zero: not
	// given (Plausible says what holds then).
	Likely [2]float64
	// Fixed says why the number is not drawn although it is not known exactly:
	// it was looked at, chosen, or changes nothing. Empty for most.
	Fixed  string
	Origin Origin
	Source string // author, title or journal, year, DOI or table; or why it is assumed
}

// SI gives the default in SI units.
func (p *Parameter) SI() float64 { u := p.named(); return p.Value*u.factor + u.offset }

// own turns an SI value into the parameter's own unit.
func (p *Parameter) own(si float64) float64 { u := p.named(); return (si - u.offset) / u.factor }

func (p *Parameter) named() named {
	if p.Unit == "" {
		return named{factor: 1}
	}
	k, ok := KindOf(p.Unit)
	if !ok {
		panic("unit: parameter " + p.Name + " has the unknown unit " + p.Unit)
	}
	u, _ := k.find(p.Unit)
	return u
}

// A RangeError names a value outside its parameter's valid range.
type RangeError struct {
	Parameter *Parameter
	Value     float64 // in the parameter's unit
}

func (e *RangeError) Error() string {
	p := e.Parameter
	return fmt.Sprintf("%s is %s, outside the range %s to %s that the model holds for",
		p.Name, withUnit(e.Value, p.Unit), withUnit(p.Low, p.Unit), withUnit(p.High, p.Unit))
}

func withUnit(v float64, unit string) string {
	if unit == "" {
		return Round(v)
	}
	return Round(v) + " " + unit
}

// Check refuses an SI value outside the valid range.
func (p *Parameter) Check(si float64) error {
	v := p.own(si)
	const slack = 1e-9 // a value read as the bound itself is inside
	w := slack * (1 + p.High - p.Low)
	if v >= p.Low-w && v <= p.High+w { // false for NaN
		return nil
	}
	return &RangeError{p, v}
}

// With gives a copy that carries a stated value instead of the default.
func (p Parameter) With(si float64) Parameter {
	p.Value = p.own(si)
	p.Origin, p.Source = Stated, ""
	return p
}

func (p Parameter) String() string { return withUnit(p.Value, p.Unit) }
