package explain

import (
	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/unit"
)

// An Answer is what the readings say about the causes.
type Answer struct {
	Question Question // with defaults filled in
	Views    []View   // the readings as the inference took them, in the question's order
	Causes   []Result // most probable first; those asked about only
	// Set are the most probable causes that together carry 80 %.
	Set  []Cause
	Ties []Tie
	// Next is the further test of ten seconds that tells the leading two causes
	// apart best.
	Next    Next
	HasNext bool
	Actions []Action // in bedside order, those without skin cost first
	Flags   []Flag   // the first is to be answered first
	Course  Course   // what the times of the readings tell
	// Draws is how many curves were weighed, Effective how many of them really
	// count: few means that the simulation itself is a source of doubt.
	Draws, Effective float64
}

// Leading gives the most probable cause.
func (a *Answer) Leading() Result { return a.Causes[0] }

// Of gives the result of one cause; zero when it was not asked about.
func (a *Answer) Of(c Cause) Result {
	for _, r := range a.Causes {
		if r.Cause == c {
			return r
		}
	}
	return Result{Cause: c}
}

// A View is a reading taken apart.
type View struct {
	Pressure unit.Pressure
	Vent     unit.Flow // what the mask vent should pass
	Leak     unit.Flow // what is left: may be negative
	SD       unit.Flow // of the leak, by the noise assumed
}

// A Result is what is said of one cause.
type Result struct {
	Cause       Cause
	Prior       unit.Fraction // before any reading
	Probability unit.Fraction // after readings and findings
	ByReadings  unit.Fraction // after the readings alone
	Band        []BandPoint   // what readings would look like, over pressure
	Sites       []SiteShare   // lift-off, gap and worn cushion: where, most likely first
	// Effective is how many of the cause's curves count; Mismatch how far the
	// readings lie from its best curve, in standard deviations (root mean
	// square; above about 2 the cause does not look like these readings).
	Effective float64
	Mismatch  float64
}

// A BandPoint is the range in which a reading of the unintentional leak would
// be expected, 10 to 90 %. Total flow is Vent more.
type BandPoint struct {
	Pressure          unit.Pressure
	Low, Middle, High unit.Flow
	Vent              unit.Flow
}

// A SiteShare is how likely a site is the one that opens.
type SiteShare struct {
	Site  face.Site
	Share unit.Fraction
}

// A Tie is a group of causes between which the data do not decide.
type Tie struct {
	Causes []Cause
	Breaks []Break // what would decide, best first
}

// A Break is something that would break a tie.
type Break struct {
	Kind    BreakKind
	Finding Finding // of LookFor
}

// A BreakKind is a way to break a tie.
type BreakKind int

// The ways.
const (
	LookFor         BreakKind = iota // a finding not looked at yet
	AnotherPressure                  // a reading at another pressure within the order
	StepByHand                       // pressures stepped by a person within the order
)

// Next is the further test that is expected to tell most.
type Next struct {
	Finding  Finding
	Between  [2]Cause
	Bits     float64 // expected information between the two, at most 1
	Outcomes []Outcome
}

// An Outcome is what one outcome of a test would do.
type Outcome struct {
	Outcome int           // as in Seen
	Chance  unit.Fraction // that it comes out so
	After   []Result      // Cause and Probability only, most probable first
}

// An ActionKind is a step of the bedside order.
type ActionKind int

// The steps in the order in which they are tried: danger first, then what is
// free of skin cost (common practice, no source). Never "tighten" first.
const (
	LookAtVent    ActionKind = iota // open, unblocked, a vented mask at all?
	CheckOxygen                     // where it enters, and what the machine then reads
	CheckSetting                    // the mask setting on the machine and the curve used here
	CheckAssembly                   // port cap, elbow, hose, humidifier lid
	CleanAll                        // face and cushion
	CheckSize                       // the right size, by gauge
	ReseatMask                      // loosen, lift off, let fill, settle
	SupportHose
	CloseLips
	SupportOnSide // hose and bed pillow arranged for the side
	EvenStraps
	StepStraps
	NewCushion
	OtherSize
	OtherType
	Leave // nothing to do about the leak
)

var actionIDs = [...]string{"look_at_vent", "check_oxygen", "check_setting", "check_assembly", "clean",
	"check_size", "reseat", "support_hose", "close_lips", "support_on_side", "even_straps", "step_straps",
	"new_cushion", "other_size", "other_type", "leave"}

// ID is the step's name in files.
func (k ActionKind) ID() string { return actionIDs[k] }

// An Action is one thing to try, with what it is expected to do at the highest
// pressure of the range. Ranges are 10 to 90 %, over causes and draws.
type Action struct {
	Kind ActionKind
	// Predicted is false for what the model gives no figures for; Helps, Now
	// and After are then zero.
	Predicted bool
	Helps     unit.Fraction // how likely the leak falls by at least a third
	Now       Span          // unintentional leak before
	After     Span          // and after
	// SkinCost tells whether the step presses harder somewhere; Contact is the
	// change of the largest contact pressure [Pa] by the model, and Site where.
	SkinCost bool
	Contact  [3]unit.Pressure
	Site     face.Site
	// OverNow and Over are on how many of the faces the largest contact passes
	// the user's line, now and then; both zero where no line was stated.
	OverNow, Over unit.Fraction
	// Type and Size are those of OtherSize and OtherType; Tips is on how many of
	// the faces tried no such strap pull holds that mask.
	Type mask.Type
	Size string
	Tips unit.Fraction
}

// A Span is a middle value with its 10 to 90 % range.
type Span struct{ Low, Middle, High unit.Flow }

// A Flag names something that has to be said with the answer.
type Flag int

// The flags, in the order of their urgency.
const (
	BelowVent         Flag = iota // less flow than the vent passes: look at the vent now
	SelfAdjusting                 // who came first, pressure or leak, is not known
	ChooserUnknown                // not said who chose the pressures
	TooLittle                     // few readings, or hardly different pressures: a wide answer
	OnePressure                   // all readings at about one pressure
	StatisticMatters              // a median or percentile hides or shows what comes and goes
	StatisticUnknown              // not said which statistic
	OxygenShifts                  // oxygen added shifts the reported leak
	NoCauseFits                   // no cause meets the readings
	FewDraws                      // few curves count: the simulation is coarse here
	VentExtrapolated              // the vent curve was left
	PostureUnknownOne             // postures not given: side sleeping shows as scatter only
	QuietAsRead                   // nothing unusual leads: what does not show in the readings is not excluded
)

var flagIDs = [...]string{"below_vent", "self_adjusting", "chooser_unknown", "too_little", "one_pressure",
	"statistic_matters", "statistic_unknown", "oxygen_shifts", "no_cause_fits", "few_draws",
	"vent_extrapolated", "posture_unknown", "quiet_as_read"}

// ID is the flag's name in files.
func (f Flag) ID() string { return flagIDs[f] }
