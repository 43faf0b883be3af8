package fit

import (
	"fmt"

	"tautline/model/root"
	"tautline/model/unit"
)

// TabRange is how far straps are ever taken in.
var TabRange = unit.Parameter{Name: "tabs taken in", Unit: "mm", Value: 5, Low: 0.2, High: 60,
	Meaning: "distance that every strap is taken in from where the mask just touches",
	Origin:  unit.Assumed, Source: "common practice, no source"}

// TabBand is by how much a pull found from tabs may be off, up and down: old
// headgear gives more, thick hair less. Common practice, no source: a factor
// of two between the ends.
const TabBand = 1.4142135623730951

// PullForTabs gives the sum of strap pulls that taking in every strap by the
// same distance sets, counted from where the mask just touches. Part of that
// distance stretches the straps, the rest sinks into cushion and tissue:
//
//	in = mean over straps of pull/stiffness + give of the strap's end
//
// inputs: distance [m]; result: sum of pulls [N] at zero pressure; valid for
// headgear that is not worn out. Example: 5 mm on a full face give about 3 N.
func PullForTabs(c Case, in unit.Length) (unit.Force, error) {
	if err := TabRange.Check(float64(in)); err != nil {
		return 0, err
	}
	c.Position = Position{} // hands set the straps, whatever the position does later
	c.Straps.Pull = unit.Force(StrapRange.Low)
	touching, err := PutOn(c)
	if err != nil {
		return 0, err
	}
	var failed error
	over := func(pull float64) float64 {
		s := c.Straps
		s.Pull = unit.Force(pull)
		f, err := touching.WithStraps(s)
		if err != nil {
			failed = err
			return 0
		}
		sum := 0.0
		for _, strap := range f.problem.Straps {
			sum += strap.Pull / strap.Stiffness
			for k, gain := range strap.Gain {
				sum += gain * (f.set[k] - touching.set[k])
			}
		}
		return sum/float64(len(f.problem.Straps)) - float64(in)
	}
	pull, _, err := root.Find(over, StrapRange.Low, StrapRange.High, 1e-4)
	if failed != nil {
		return 0, failed
	}
	if err != nil {
		return 0, fmt.Errorf("straps taken in by %s pull with less than %s or more than %s in all: measure the pull instead",
			in, unit.Force(StrapRange.Low), unit.Force(StrapRange.High))
	}
	return unit.Force(pull), nil
}
