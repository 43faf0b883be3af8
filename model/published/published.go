// Package published holds every number from the literature that the model is
// held to, each as a check that anybody can run. The same table runs in the
// tests and prints from the command line.
package published

import (
	"fmt"
	"math"

	"tautline/model/unit"
)

// A Check sets one result of the model beside one published figure.
type Check struct {
	ID      string // short and unique: "gas-density-dry"
	Section int    // 1 gas, 2 vent, 3 circuit, 4 seal, 5 skin, 6 breath and mouth
	What    string // one clause: what is computed, at what conditions
	Source  string // author, journal, year; what was done to get the figure
	Unit    string // of the figures; "" for a pure number
	Want    Want

	// Predicted says that no parameter it uses was chosen by this check or
	// cites its source: the figure could have come out otherwise. Uses lists
	// the adjustable parameters behind it, so that a test can hold this to it.
	Predicted bool
	Uses      []unit.Parameter

	// Run gives the model's figure, in Unit.
	Run func() (float64, error)

	// KnownMiss, when set, is why the model does not meet the figure.
	KnownMiss string
}

// A Want is what is expected: a figure with a tolerance, or a bound.
type Want struct {
	Low, High float64 // infinite where there is no bound
	// Figure is the published number itself, or the middle of the range.
	Figure float64
}

// About wants a figure to within an absolute tolerance.
func About(figure, tolerance float64) Want {
	return Want{figure - tolerance, figure + tolerance, figure}
}

// Within wants a figure to within a share of itself.
func Within(figure float64, share unit.Fraction) Want {
	return About(figure, math.Abs(figure)*float64(share))
}

// Between wants anything from low to high.
func Between(low, high float64) Want { return Want{low, high, (low + high) / 2} }

// AtMost wants a figure or less.
func AtMost(high float64) Want { return Want{math.Inf(-1), high, high} }

// AtLeast wants a figure or more.
func AtLeast(low float64) Want { return Want{low, math.Inf(1), low} }

// Tolerance is the half width of the range; infinite for a one-sided bound.
func (w Want) Tolerance() float64 { return (w.High - w.Low) / 2 }

// Holds says whether a result is what is wanted. NaN never is.
func (w Want) Holds(got float64) bool { return got >= w.Low && got <= w.High }

// A Status is how a check came out.
type Status string

// The ways a check comes out.
const (
	Pass Status = "pass"
	Fail Status = "fail"
	Miss Status = "known miss"
)

// A Result is one check with its outcome.
type Result struct {
	Check
	Got    float64 // NaN when Run failed
	Status Status
	Reason string // why it is a miss or a fail; empty for a pass
}

// Evaluate runs one check. A panic in the model is a failed check, so that one
// broken law does not hide the others.
func (c Check) Evaluate() (r Result) {
	r = Result{Check: c, Got: math.NaN(), Status: Fail}
	defer func() {
		if p := recover(); p != nil {
			r.Status, r.Reason = Fail, fmt.Sprintf("the model broke off: %v", p)
		}
	}()
	got, err := c.Run()
	switch {
	case err != nil:
		r.Reason = fmt.Sprintf("the model gives no figure: %v", err)
	case c.Want.Holds(got):
		r.Got, r.Status = got, Pass
	case c.KnownMiss != "":
		r.Got, r.Status, r.Reason = got, Miss, c.KnownMiss
	default:
		r.Got = got
		r.Reason = fmt.Sprintf("%.6g lies outside %.6g to %.6g", got, c.Want.Low, c.Want.High)
	}
	return r
}

// All lists every check, in the order of the sections.
func All() []Check {
	var all []Check
	for _, section := range sections {
		all = append(all, section()...)
	}
	return all
}

// sections gives the checks of each file of this package. A section that can be
// held against mutated laws makes its checks from a struct of laws.
var sections = []func() []Check{
	func() []Check { return gasChecks(gasActual) },
	func() []Check { return ventChecks(ventActual) },
	func() []Check { return circuitChecks(circuitActual) },
	func() []Check { return sealChecks(sealActual) },
	func() []Check { return skinChecks(skinActual) },
	func() []Check { return airwayChecks(airwayActual) },
	func() []Check { return populationChecks(populationActual) },
}

// EvaluateAll runs every check.
func EvaluateAll() []Result {
	var out []Result
	for _, c := range All() {
		out = append(out, c.Evaluate())
	}
	return out
}
