package explain

import "tautline/model/unit"

// effects are the records of what share of a cause's leak a step leaves; a
// record without a name: the step does nothing about the cause. All are assumed
// (common practice, no source). What straps, a new cushion, another size and
// another type do to a seal that opens is not here: the seal model answers that
// face by face.
var effects = func() (all [Leave + 1][CauseCount]unit.Parameter) {
	left := func(k ActionKind, c Cause, from, to float64) {
		all[k][c] = unit.Parameter{Name: "leak left by " + k.ID() + ", " + c.ID(), Value: (from + to) / 2, Low: 0, High: 1.5,
			Likely: [2]float64{from, to}, Meaning: "share of the leak of this cause that the step leaves",
			Origin: unit.Assumed, Source: "assumed; common practice says which way, no published figure found"}
	}
	left(LookAtVent, BlockedVent, 0, 0.2)
	left(CheckSetting, WrongVent, 0, 0.2)
	left(CheckAssembly, HoleElsewhere, 0, 0.15)
	left(CleanAll, ConstantGap, 0.7, 1)
	left(CleanAll, WornCushion, 0.8, 1)
	left(ReseatMask, ConstantGap, 0.4, 1)
	left(ReseatMask, LiftOff, 0.4, 1)
	left(ReseatMask, WornCushion, 0.7, 1)
	left(ReseatMask, SideSleeping, 0.7, 1)
	left(SupportHose, LiftOff, 0.6, 1)
	left(SupportHose, ConstantGap, 0.8, 1)
	left(SupportHose, SideSleeping, 0.6, 1)
	left(SupportHose, WornCushion, 0.8, 1)
	left(CloseLips, MouthOpening, 0.1, 0.7)
	left(SupportOnSide, SideSleeping, 0.2, 0.8)
	left(StepStraps, ConstantGap, 0.85, 1)
	left(NewCushion, ConstantGap, 0.9, 1)
	left(OtherSize, ConstantGap, 0.6, 1)
	left(OtherType, ConstantGap, 0.3, 1)
	left(OtherType, MouthOpening, 0.1, 0.7) // to one that holds the mouth's leak inside
	return all
}()

// Records of single numbers behind the steps.
var (
	StrapStep = fixed("small step of the straps", "N", 0.5, 0.1, 5, "by how much one small even step raises the sum of the strap pulls")
	FeltThere = fixed("air felt at a site", "", 8, 1, 100, "how many times likelier a site is the one that opens where air was felt")
	SoreThere = fixed("skin sore at a site", "", 0.3, 0.01, 1, "the same where the skin is sore: there the mask presses")
	SetAnew   = fixed("straps set anew, spread", "%", 30, 0, 150, "log-normal, of the sum of the strap pulls about what was meant when another mask is put on")
	LeakOff   = fixed("leak of the seal model, spread", "", 0.7, 0.1, 3,
		"standard deviation of the logarithm of a real leak over the seal model's: a drawn face whose leak is far from the one read counts less when another mask is put on it")
)

// fixed makes the record of an assumed number that the draws of an answer hold.
func fixed(name, units string, value, low, high float64, meaning string) unit.Parameter {
	p := assumed(name, units, value, low, high, meaning)
	p.Fixed = "moves what is said of sites and steps, not of the causes"
	return p
}

// effectRecords lists them all.
func effectRecords() []unit.Parameter {
	all := []unit.Parameter{StrapStep, FeltThere, SoreThere, SetAnew, LeakOff}
	for _, row := range effects {
		for _, p := range row {
			if p.Name != "" {
				all = append(all, p)
			}
		}
	}
	return all
}

// leaves gives the share of a cause's leak that a step leaves; u, from 0 to 1,
// says where in the likely range.
func (k ActionKind) leaves(c Cause, u float64) float64 {
	r := &effects[k][c]
	if r.Name == "" {
		return 1
	}
	return r.Likely[0] + (r.Likely[1]-r.Likely[0])*u
}
