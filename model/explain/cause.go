// Package explain asks why a patient's mask leaks: from a handful of readings
// (pressure and flow) and what was seen at the bedside it gives each cause a
// probability, what the readings would look like under each, which causes the
// data cannot tell apart, and what to look at next.
//
// It works by simulation. For each cause, leak curves are drawn from the models
// of seal, vent and mouth (a Bank); each curve is weighed by how well it meets
// the readings, the size of the leak and the vent's tolerance integrated out;
// the sums of the weights are the evidence for the causes. Nothing is proved by
// it: it is a comparison of stories, and a probability is never a diagnosis.
package explain

// A Cause is one story about where the flow goes.
type Cause int

// The causes.
const (
	ConstantGap    Cause = iota // a gap at the rim that no pressure changes: a fold, hair, a tube
	HoleElsewhere               // port cap off, cracked elbow, humidifier lid
	LiftOff                     // a site of the seal that opens as pressure rises
	MouthOpening                // air that leaves through the mouth, around no seal
	WornCushion                 // a limp flap that follows the skin no longer
	WrongVent                   // the wrong vent curve, or the wrong mask setting on the machine
	BlockedVent                 // the mask vent passes less than it should
	SideSleeping                // leaks while the person lies on the side
	NothingUnusual              // what every seal lets through
	CauseCount                  // how many causes there are; not a cause
)

var causeIDs = [CauseCount]string{"constant_gap", "hole_elsewhere", "lift_off", "mouth_opening",
	"worn_cushion", "wrong_vent", "blocked_vent", "side_sleeping", "nothing_unusual"}

// ID is the cause's name in files: "mouth_opening".
func (c Cause) ID() string { return causeIDs[c] }

// Causes lists all causes in the order above.
func Causes() []Cause {
	all := make([]Cause, CauseCount)
	for i := range all {
		all[i] = Cause(i)
	}
	return all
}

// byCause holds one number for each cause.
type byCause [CauseCount]float64
