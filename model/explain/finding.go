package explain

// A Finding is a question that is answered by looking or by a ten-second test.
// "Don't know" is always an answer, the zero value, and it changes nothing.
type Finding int

// The findings, those that a person already knows first, then what a test of
// ten seconds tells.
const (
	DryMouth       Finding = iota // yes, no: does not prove a mouth leak
	WorseOnSide                   // yes, no
	CushionAge                    // under_1_month, 1_to_3_months, 3_to_6_months, over_6_months
	CushionLooks                  // fine, worn: greasy, torn or misshapen
	StrapsFeel                    // loose, snug, tight
	OxygenAdded                   // yes, no
	AirFelt                       // at_rim, at_mouth, at_assembly, nowhere
	LipsClosed                    // for three breaths: helps, no_change
	FingerPressure                // lightly where air is felt: helps, no_change
	Reseat                        // lift off, let the cushion fill, settle: helps, no_change
	HeadTurned                    // worse, no_change
	HoseHeldUp                    // helps, no_change
	AgainstPalm                   // mask on the palm, off the patient, the vent never covered: leak_stays, leak_gone
	DampHand                      // round the rim: found_at_rim, found_elsewhere, found_nothing
	FindingCount                  // how many findings there are; not a finding
)

// DontKnow is the outcome of a finding that nobody looked at.
const DontKnow = 0

type findingText struct {
	id       string
	test     bool // a test of ten seconds, rather than something already known
	outcomes []string
}

var findings = [FindingCount]findingText{
	DryMouth:       {"dry_mouth", false, []string{"yes", "no"}},
	WorseOnSide:    {"worse_on_side", false, []string{"yes", "no"}},
	CushionAge:     {"cushion_age", false, []string{"under_1_month", "1_to_3_months", "3_to_6_months", "over_6_months"}},
	CushionLooks:   {"cushion_looks", false, []string{"fine", "worn"}},
	StrapsFeel:     {"straps_feel", false, []string{"loose", "snug", "tight"}},
	OxygenAdded:    {"oxygen_added", false, []string{"yes", "no"}},
	AirFelt:        {"air_felt", false, []string{"at_rim", "at_mouth", "at_assembly", "nowhere"}},
	LipsClosed:     {"lips_closed", true, []string{"helps", "no_change"}},
	FingerPressure: {"finger_pressure", true, []string{"helps", "no_change"}},
	Reseat:         {"reseat", true, []string{"helps", "no_change"}},
	HeadTurned:     {"head_turned", true, []string{"worse", "no_change"}},
	HoseHeldUp:     {"hose_held_up", true, []string{"helps", "no_change"}},
	AgainstPalm:    {"against_palm", true, []string{"leak_stays", "leak_gone"}},
	DampHand:       {"damp_hand", true, []string{"found_at_rim", "found_elsewhere", "found_nothing"}},
}

// ID is the finding's name in files: "lips_closed".
func (f Finding) ID() string { return findings[f].id }

// TenSeconds tells whether the finding is a test of ten seconds at the bedside.
func (f Finding) TenSeconds() bool { return findings[f].test }

// Outcomes lists the ids of what can be found; outcome k of a finding (1 for
// the first) is Outcomes()[k-1], and 0 is DontKnow.
func (f Finding) Outcomes() []string { return findings[f].outcomes }

// Findings lists all findings.
func Findings() []Finding {
	all := make([]Finding, FindingCount)
	for i := range all {
		all[i] = Finding(i)
	}
	return all
}

// ParseFinding reads a finding's id; false when there is none.
func ParseFinding(id string) (Finding, bool) {
	for f, t := range findings {
		if t.id == id {
			return Finding(f), true
		}
	}
	return 0, false
}

// ParseOutcome reads an outcome of the finding, "dont_know" included; false
// when there is no such outcome.
func (f Finding) ParseOutcome(id string) (int, bool) {
	if id == "dont_know" || id == "" {
		return DontKnow, true
	}
	for k, o := range findings[f].outcomes {
		if o == id {
			return k + 1, true
		}
	}
	return DontKnow, false
}

// Seen holds the outcome of every finding; the zero value knows nothing.
type Seen [FindingCount]int
