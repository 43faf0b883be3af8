package plan

import "context"

// A Setup is the name of one way to set the plan against trial and error.
type Setup string

// The setups of a quality report.
const (
	AsAssumed     Setup = "as_assumed"         // persons differ as the plan assumes
	StrapsChanged Setup = "straps_changed"     // and each changes the straps once between visits
	TooWide       Setup = "spreads_too_wide"   // the plan assumes 1.6 times the spreads
	TooNarrow     Setup = "spreads_too_narrow" // the plan assumes the spreads over 1.6
	ReseatAtOnce  Setup = "reseat_at_once"     // trial and error re-seats without a visit of its own
)

// Setups lists them, those with the same belief one after the other.
func Setups() []Setup { return []Setup{AsAssumed, StrapsChanged, ReseatAtOnce, TooWide, TooNarrow} }

// offBy is the factor by which the plan's spreads are wrong in two setups.
const offBy = 1.6

// A Judged is one setup with what came of it.
type Judged struct {
	Setup Setup
	Trial
	// MostVisits and MostUnsolved are what the ratios should not pass; 0 where
	// nothing is asked.
	MostVisits, MostUnsolved float64
}

// Meets tells whether both ratios are where they should be.
func (j *Judged) Meets() bool {
	return (j.MostVisits == 0 || j.VisitsRatio.Value <= j.MostVisits) &&
		(j.MostUnsolved == 0 || j.UnsolvedRatio.Value <= j.MostUnsolved)
}

// Quality plays setups on the same simulated persons. done, when given, is told
// how many are through.
func Quality(ctx context.Context, base TrialQuestion, setups []Setup, done func(int)) ([]Judged, error) {
	var out []Judged
	base.Truth, base.shared = Usual(), &shared{}
	for i, s := range setups {
		t := base
		j := Judged{Setup: s}
		switch s {
		case AsAssumed:
			t.Faces, j.MostVisits, j.MostUnsolved = true, 0.75, 1.0/3
		case StrapsChanged:
			t.Changed, j.MostVisits = true, 0.80
		case TooWide:
			t.Spreads, j.MostVisits = Usual().Times(offBy), 1
		case TooNarrow:
			t.Spreads, j.MostVisits = Usual().Times(1/offBy), 1
		case ReseatAtOnce:
			t.AtOnce = true
		}
		var err error
		if j.Trial, err = RunTrial(ctx, t); err != nil {
			return nil, err
		}
		j.Trial.Question.shared = nil // it is large, and the result is kept
		out = append(out, j)
		if done != nil {
			done(i + 1)
		}
	}
	return out, nil
}
