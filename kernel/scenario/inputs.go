package scenario

import (
	"slices"
	"strings"

	"tautline/model/unit"
)

// Inputs lists every parameter in play in a scenario, with the value that it
// has there; those that the scenario states say so.
func Inputs(s Scenario) []unit.Parameter { return slices.Clone(s.inputs) }

// inputs gathers the parameters in play in the order in which they are shown.
type inputs struct {
	all []unit.Parameter
}

func (in *inputs) add(records ...unit.Parameter) { in.all = append(in.all, records...) }

// record finds a parameter in play by name.
func (in *inputs) record(name string) *unit.Parameter {
	for i := range in.all {
		if in.all[i].Name == name {
			return &in.all[i]
		}
	}
	return nil
}

// drop takes out parameters that another one replaced.
func (in *inputs) drop(match func(unit.Parameter) bool) { in.all = slices.DeleteFunc(in.all, match) }

func (in *inputs) dropNamed(names ...string) {
	in.drop(func(p unit.Parameter) bool { return slices.Contains(names, p.Name) })
}

func (in *inputs) dropStarting(start string) {
	in.drop(func(p unit.Parameter) bool { return strings.HasPrefix(p.Name, start) })
}

func (in *inputs) list() []unit.Parameter { return in.all }

// state checks a stated value against its record and notes it there.
func (r *reader) state(path, name string, si float64) bool {
	p := r.record(name)
	if p == nil { // the mask at hand has no such number
		r.fault(path, "%s has no meaning for this mask: take it out", name)
		return false
	}
	if !r.inRange(path, p, si) {
		return false
	}
	*p = p.With(si)
	return true
}

func (r *reader) inRange(path string, p *unit.Parameter, si float64) bool {
	if err := p.Check(si); err != nil {
		r.fault(path, "%v", err)
		return false
	}
	return true
}
