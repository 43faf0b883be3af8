package explain

import (
	"errors"
	"fmt"
	"math"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/skin"
	"tautline/model/unit"
)

// Which says what flow the readings are.
type Which int

// The flows that machines report. Forgetting which gives a plausible wrong
// answer, so the zero value is refused.
const (
	WhichNotSaid  Which = iota
	TotalFlow           // everything that leaves: mask vent and leak
	Unintentional       // what the machine has left after taking off its own vent curve
)

// Statistic says which figure of a stretch of time a reading is.
type Statistic int

// The statistics.
const (
	StatisticNotSaid Statistic = iota // taken as a mean, and flagged
	Mean
	Median
	Percentile95
)

// Chooser says who chose the pressures.
type Chooser int

// Who chose. Only pressures that a person stepped show what pressure does: on a
// self-adjusting machine either may have come first.
const (
	ChooserNotSaid Chooser = iota
	PersonStepped
	MachineAdjusted
)

// Posture says how the person lay at a reading, as far as anybody knows.
type Posture int

// The postures.
const (
	PostureUnknown Posture = iota
	NotOnSide              // sitting or on the back
	OnSide
)

// A Reading is one pressure with the flow read at it.
type Reading struct {
	Pressure unit.Pressure // at the mask; a hose takes little at these flows
	Flow     unit.Flow     // an unintentional leak may be negative
	Time     unit.Time     // since the first reading, when HasTime
	HasTime  bool
	Posture  Posture
}

// A Question is a patient's readings with what else is known. The zero value of
// everything but Mask, Which and Readings means "don't know".
type Question struct {
	Mask      mask.Mask // with its vent
	Readings  []Reading
	Which     Which
	Statistic Statistic
	Chooser   Chooser
	Seen      Seen
	Felt      []face.Site // where air is felt, of the mask's sites
	Sore      []face.Site // where the skin is sore
	// Straps is the range that the sum of the strap pulls lies in; zero when
	// nothing is known of it. A measured pull has both ends the same.
	Straps [2]unit.Force
	// Range is the therapy range; zero: the lowest to the highest reading.
	Range [2]unit.Pressure
	Limit unit.Flow // leak limit of the user; zero when not stated
	Line  skin.Line // reference line for the skin, optional
	Worn  unit.Time // time worn, for lines that fall with it

	Priors Priors // zero: UsualPriors
	Seed   uint64
	// Draws is how many curves are drawn for each cause; zero: usual.
	Draws int
	// Only restricts the answer to some causes, for teaching and for trials;
	// empty: all.
	Only []Cause
}

// Range limits of a reading.
var (
	PressureRecord = unit.Parameter{Name: "pressure of a reading", Unit: "cmH2O", Value: 10, Low: 2, High: 40,
		Meaning: "mask pressure at which a flow was read", Origin: unit.Assumed, Source: "machines reach 4 to 40 cmH2O, from memory"}
	FlowRecord = unit.Parameter{Name: "flow of a reading", Unit: "L/min", Value: 30, Low: -60, High: 250,
		Meaning: "total flow or unintentional leak; a leak reads negative where a machine takes off too much", Origin: unit.Assumed,
		Source: "machines deliver up to about 200 L/min, from memory"}
)

// level is the contact pressure [Pa] of the user's line; 0 where none was
// stated, or where it falls with a time worn that was not.
func (q *Question) level() float64 {
	if !q.Line.IsSet() || q.Line.TakesTime() && q.Worn <= 0 {
		return 0
	}
	return float64(q.Line.Level(q.Worn))
}

// Check refuses a question that cannot be answered, naming what is wrong.
func (q *Question) Check() error {
	switch {
	case len(q.Mask.Rims) == 0:
		return errors.New("the readings need the mask that they were taken with: name its type and size")
	case q.Which != TotalFlow && q.Which != Unintentional:
		return errors.New("say whether the flows are the total flow or the unintentional leak: it cannot be guessed")
	case len(q.Readings) == 0:
		return errors.New("there are no readings: give at least one pressure with its flow")
	case q.Straps[0] > q.Straps[1]:
		return fmt.Errorf("the strap pull goes from a lower to a higher force, not from %s to %s", q.Straps[0], q.Straps[1])
	case q.Range[0] > q.Range[1]:
		return fmt.Errorf("the therapy range goes from a lower to a higher pressure, not from %s to %s", q.Range[0], q.Range[1])
	}
	for i := range q.Readings {
		if err := q.Readings[i].check(q.Which); err != nil {
			return fmt.Errorf("reading %d: %w", i+1, err)
		}
	}
	if q.Straps != [2]unit.Force{} {
		for _, f := range q.Straps {
			if err := fit.StrapRange.Check(float64(f)); err != nil {
				return err
			}
		}
	}
	return q.checkSeen()
}

func (q *Question) checkSeen() error {
	for f, k := range q.Seen {
		if k < 0 || k > len(findings[f].outcomes) {
			return fmt.Errorf("%s has no outcome %d", findings[f].id, k)
		}
	}
	for _, c := range q.Only {
		if c < 0 || c >= CauseCount {
			return fmt.Errorf("there is no cause %d", c)
		}
	}
	return nil
}

func (r *Reading) check(w Which) error {
	if err := PressureRecord.Check(float64(r.Pressure)); err != nil {
		return err
	}
	if math.IsNaN(float64(r.Flow)) {
		return errors.New("the flow is not a number")
	}
	if w == TotalFlow && r.Flow < 0 {
		return fmt.Errorf("a total flow of %s is negative: is it the unintentional leak?", r.Flow)
	}
	return FlowRecord.Check(float64(r.Flow))
}
