package plan

import (
	"fmt"

	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/unit"
)

// An Answer is the plan for one question.
type Answer struct {
	Question Question
	// Choices are the masks that may be tried next, at their best strap force,
	// fewest visits to expect first; empty when every mask is ruled out.
	Choices []Choice
	// Next is the decision tree: what to do now, and after each outcome. Nil
	// when there is nothing to try, or the last outcome was comfortable.
	Next *Step
	// Planned and Trial forecast this person under the plan and under trial and
	// error; both count from now.
	Planned, Trial Forecast
	RuledOut       []RuledOut
	Warnings       []Warning
	// Belief is what is held of this person now.
	Belief Belief
}

// A Setting is one mask at one intended strap force.
type Setting struct {
	Type mask.Type
	Size string
	Pull unit.Force // sum of strap pulls at zero pressure, to begin with
	// Range is where the pull that is really set may lie: four of five times.
	Range [2]unit.Force
}

// A Choice is one mask of the stock at its best strap force, with what is
// expected of it.
type Choice struct {
	Setting
	Items []Item // the lines of the stock that it may come from, no magnets first
	// Visits and Changes are expected from now on when beginning with this mask
	// and following the plan after it; an unsolved course counts as Cap visits.
	Visits, Changes float64
	// Solved is the chance that the problem is solved at or before each visit
	// from now: the first is this mask's own. Never falling.
	Solved []float64
	// Chances of each outcome of this mask, summing to 1.
	Chances  [OutcomeCount]float64
	Leak     unit.Flow     // middle of the belief, at the highest pressure
	Contact  unit.Pressure // largest over the sites; middle of the belief
	Site     face.Site     // where that is most often
	OverLine float64       // chance that it passes the reference line; 0 when none is stated
	// PastLine tells that no strap force of this mask keeps under a stated line
	// (PassChance) with a chance to be comfortable: it comes after all that do.
	PastLine bool
}

// A Move is what a step does against the mask worn before.
type Move int

// The moves, in bedside order: free of a mask change and of skin cost first.
const (
	FirstMask Move = iota
	Reseat         // the same mask at the same strap force
	Loosen
	Tighten
	ChangeSize
	ChangeType
	Keep // solved
	Stop // nothing in stock is left to try
)

// ID is the move's name in files.
func (m Move) ID() string {
	return [...]string{"first_mask", "reseat", "loosen", "tighten", "change_size", "change_type", "keep", "stop"}[m]
}

// A Step is one node of the decision tree.
type Step struct {
	Move    Move
	Setting Setting // zero for Keep and Stop
	// Solves is the chance that it is comfortable, given what led here.
	Solves float64
	// OverLine is the chance that it passes the stated line; PastLine tells that
	// it is over PassChance, because nothing that is left keeps under the line.
	OverLine float64
	PastLine bool
	After    []Branch // one for each outcome, comfortable first; nil at the tree's edge
}

// A Branch is what to do after one outcome.
type Branch struct {
	Outcome Outcome
	Chance  float64 // of the outcome, given what led here; those of a step sum to 1
	Next    *Step   // nil when the chance is too small to plan for
}

// Cap is the number of visits at which a course is given up.
const Cap = 12

// A Forecast is how a policy does over many simulated persons.
type Forecast struct {
	Visits       Mean      // unsolved ones count as Cap
	Changes      Mean      // of masks
	Unsolved     Mean      // share
	SolvedVisits Mean      // visits among the solved alone
	ByVisit      []float64 // share solved at or before each visit, 1 to Cap
	N            int
}

// A Mean is an average with its 95 % confidence interval.
type Mean struct{ Value, Low, High float64 }

// String is the mean with its interval: "4.6 (3.8 to 5.4)".
func (m Mean) String() string { return fmt.Sprintf("%.2g (%.2g to %.2g)", m.Value, m.Low, m.High) }

// A Reason is why a mask is not planned.
type Reason string

// The reasons, in the order in which they are looked at.
const (
	NoVent        Reason = "no_vent"         // no mask vent of its own
	NoneLeft      Reason = "none_left"       // the count is zero
	ByVomiting    Reason = "vomiting"        // vomiting, or not known
	ByHands       Reason = "cannot_take_off" // cannot take it off unaided, or not known
	ByMagnets     Reason = "magnets"         // implants, or not known
	ByBlockedNose Reason = "nose_blocked"
	ByCover       Reason = "covers_too_much" // the limit that the person set
	ByRefusal     Reason = "not_worn"        // this type was tried and not worn
)

// A RuledOut is one line of the stock and why it is not planned.
type RuledOut struct {
	Item   Item
	Reason Reason
	// Unasked says that the gate was closed because the answer is not known.
	Unasked bool
}

// A Warning is something that the reader must know of the answer.
type Warning string

// The warnings.
const (
	// LittleLeft: outcomes so unlikely under the belief that few simulated
	// persons agree with them: the answer is a wide guess.
	LittleLeft Warning = "few_agree"
	// NoGauge: neither nose width nor face length is known.
	NoGauge Warning = "no_gauge"
	// PositionUnknown: planned as on the back.
	PositionUnknown Warning = "position_unknown"
	// PullUnknown: an outcome whose strap force is not known was taken at the
	// usual one, widely.
	PullUnknown Warning = "pull_unknown"
	// NoVisitsLeft: Cap visits are used up.
	NoVisitsLeft Warning = "cap_reached"
	// UntoldGlasses: glasses are not in the model.
	UntoldGlasses Warning = "glasses_not_modelled"
)

// A Belief is what is held of a person, as chances and ranges.
type Belief struct {
	Mouth    float64               // chance that air leaves by the mouth at the highest pressure behind a nasal mask
	Bridge   [3]unit.Length        // depth of the bridge behind an average face: 10, 50, 90 %
	SoreAt   [3]unit.Pressure      // contact from which it gets sore: 10, 50, 90 %
	Refuses  map[mask.Type]float64 // chance that the type is not worn
	Agreeing float64               // effective number of simulated persons that agree with all outcomes
}
