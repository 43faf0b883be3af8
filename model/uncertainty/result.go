package uncertainty

// A Share is how many draws came to a verdict.
type Share struct{ Verdict, Draws int }

// A Band is where a figure lies over the draws, SI: as asked, and the values
// below which 10, 50 and 90 % of the draws lie that have one.
type Band struct {
	Quantity          Quantity
	Stated            float64 // NaN where the answer as asked has none
	Low, Middle, High float64 // NaN where no draw has one
	Missing           int     // draws without one
}

// An Effect is what one input does to a figure. The input is a place in
// Result.Inputs; Rest stands for all that are not named one by one.
type Effect struct {
	Input int
	Sensitivity
	Linear float64 // rank correlation over the draws; tells the direction
}

// Rest is the input of an effect that sums up all the others.
const Rest = -1

// Effects are those on one figure, the largest first, Rest last.
type Effects struct {
	Quantity Quantity
	Effects  []Effect
	// Ranked tells that the first-order indices are squared rank correlations
	// over the draws, and that there are no totals.
	Ranked bool
}

// A Result is what becomes of one answer over the draws.
type Result struct {
	Plan
	Stated   Outcome
	Verdicts []Share // most draws first
	Agree    int     // draws that come to the stated verdict
	Tipped   int     // draws in which the mask tips off the face
	Failed   int     // draws without an answer
	Why      error   // of the first of them
	Bands    []Band
	Effects  []Effects
	Leading  []Effect // what the verdict hangs on most, three at most
	deciding int      // the place in Effects of the figure that it hangs on
	Inputs   []Drawn
	Held     []Held
}

// Decisive gives the effects on the figure that the verdict hangs on.
func (r *Result) Decisive() []Effect {
	if r.deciding >= len(r.Effects) {
		return nil
	}
	return r.Effects[r.deciding].Effects
}

// Answered is how many draws came to a verdict.
func (r *Result) Answered() int { return r.Draws - r.Tipped - r.Failed }
