// Package plan says which mask to try first, and what to try after each outcome.
// A belief about a person, held as many simulated persons with weights, starts
// from what is seen of the face; every outcome moves the weights, and the next
// mask and strap force are those that leave the fewest visits to expect. Nothing
// here knows a person: the answer is a forecast under assumed spreads.
package plan

import (
	"errors"
	"fmt"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/skin"
	"tautline/model/unit"
)

// A Told is what was answered to a yes-or-no question; not knowing is an answer.
type Told int

// The answers. The zero value is not knowing.
const (
	Unknown Told = iota
	Yes
	No
)

// A Tick is something seen of a face. It stands for a range, not for a figure.
type Tick string

// The ticks, in the order of looking.
const (
	NarrowBridge Tick = "narrow bridge"
	HighBridge   Tick = "high bridge"
	FlatBridge   Tick = "flat bridge"
	DeepFolds    Tick = "deep folds"
	HollowCheeks Tick = "hollow cheeks"
	SmallChin    Tick = "small chin"
	NoTeeth      Tick = "no teeth"
	BeardTrimmed Tick = "beard trimmed"
	FullBeard    Tick = "full beard"
	CrookedNose  Tick = "crooked nose"
	Tube         Tick = "tube"
	Glasses      Tick = "glasses"
)

// Ticks lists all ticks, in the order of looking.
func Ticks() []Tick {
	return []Tick{NarrowBridge, HighBridge, FlatBridge, DeepFolds, HollowCheeks, SmallChin, NoTeeth,
		BeardTrimmed, FullBeard, CrookedNose, Tube, Glasses}
}

// A Look is what is known of a face before any mask.
type Look struct {
	Ticks     []Tick
	NoseWidth unit.Length // by a gauge; 0 when not known
	Length    unit.Length // chin to the root of the nose; 0 when not known
	MouthOpen Told        // whether the mouth falls open asleep
}

// Gates are what keeps a mask out before any ranking. A gate that is not known
// keeps out as "yes" would where forgetting it could do harm.
type Gates struct {
	Vomiting      Told // vomiting, full stomach or thick secretions: no oronasal mask
	TakesOffAlone Told // takes the mask off unaided; if not, no oronasal mask
	Implants      Told // in head, eye or chest, of the patient or whoever shares the bed: no magnets
	NoseBlocked   Told // cannot breathe through the nose: oronasal only
	// Covers is the type that covers as much of the face as the person lets be
	// covered (claustrophobia); empty for no limit.
	Covers mask.Type
}

// An Item is one line of a stock: so many masks of one type and size.
type Item struct {
	Type        mask.Type
	Size        string
	Vented      bool // has a mask vent of its own; without one it is never planned
	Magnets     bool
	Reprocessed bool
	Count       int
}

// An Outcome is what came of one mask worn at one strap force.
type Outcome int

// The outcomes. When several happen at once the first of them in the order
// NotWorn, Sore, MouthLeak, leaks is told.
const (
	Comfortable    Outcome = iota // nothing to change: solved
	LeaksAtBridge                 // over the limit, mostly at bridge and nose sides
	LeaksElsewhere                // over the limit, mostly elsewhere
	Sore
	MouthLeak // would look like air leaving by the mouth
	NotWorn   // will not wear it
	OutcomeCount
)

// ID is the outcome's name in files.
func (o Outcome) ID() string {
	return [...]string{"comfortable", "leaks_at_bridge", "leaks_elsewhere", "sore", "mouth_leak", "not_worn"}[o]
}

// Outcomes lists them, comfortable first.
func Outcomes() []Outcome {
	return []Outcome{Comfortable, LeaksAtBridge, LeaksElsewhere, Sore, MouthLeak, NotWorn}
}

// A Visit is one mask tried and what came of it.
type Visit struct {
	Type mask.Type
	Size string
	Pull unit.Force // intended strap force; 0 when not known
	What Outcome
	// Anywhere says that a leak's place was not seen: What may be either leak.
	Anywhere bool
}

// A Question is one person, a stock and what was tried. Range, Limit and Line
// have no default: forgetting one would give a plausible wrong answer.
type Question struct {
	Look     Look
	Gates    Gates
	Range    [2]unit.Pressure // of the therapy, low and high
	Limit    unit.Flow        // of the unintentional leak
	Line     skin.Line        // reference line for the contact pressure
	Worn     unit.Time        // time worn, for lines that fall with it
	Position fit.Position     // as in sleep
	Stock    []Item
	Tried    []Visit // oldest first
	Spreads  Spreads // what is assumed; the zero value takes Usual
	Seed     uint64
	// People is how many simulated persons hold the belief; 0 for the usual.
	People int
}

// Check refuses a question that cannot be answered, naming what is wrong.
func (q *Question) Check() error {
	switch {
	case !(q.Range[0] > 0 && q.Range[1] >= q.Range[0]):
		return errors.New("the therapy range needs a lowest and a highest pressure, both above zero")
	case !(q.Limit > 0):
		return errors.New("the leak limit has no default: state one above zero")
	case len(q.Stock) == 0:
		return errors.New("the stock holds no mask: there is nothing to choose from")
	case q.People != 0 && (q.People < fewestPeople || q.People > mostPeople):
		return fmt.Errorf("the belief holds %d to %d simulated persons, not %d", fewestPeople, mostPeople, q.People)
	}
	if err := fit.SetPressureRange.Check(float64(q.Range[1])); err != nil {
		return err
	}
	for i, v := range q.Tried {
		if _, err := mask.Find(v.Type, v.Size); err != nil {
			return fmt.Errorf("visit %d: %w", i+1, err)
		}
		if v.What < 0 || v.What >= OutcomeCount {
			return fmt.Errorf("visit %d: the outcome is not known", i+1)
		}
	}
	return nil
}

const (
	fewestPeople = 100
	mostPeople   = 20_000
)
