package report

import (
	"fmt"
	"strings"

	"tautline/model/explain"
	"tautline/model/explain/trial"
)

// causeShort are the causes' names in a list, causeHead those over narrow
// columns.
var (
	causeShort = [explain.CauseCount]string{"constant gap", "hole elsewhere", "lift-off", "mouth", "worn cushion",
		"wrong curve", "blocked vent", "on the side", "nothing unusual"}
	causeHead = [explain.CauseCount]string{"gap", "hole", "lift-off", "mouth", "worn", "curve", "blocked", "side", "nothing"}
)

var conditionNames = map[string]string{
	"6_readings":                  "6 readings, 5 to 15 cmH2O",
	"9_readings":                  "9 readings, 5 to 15 cmH2O",
	"12_readings":                 "12 readings, 5 to 15 cmH2O",
	"9_readings_4_questions":      "9 readings and four questions",
	"single_pressure":             "9 readings at 15 cmH2O only",
	"single_pressure_4_questions": "the same and four questions",
}

// Trial prints how often the causes are told right.
func Trial(r trial.Report, ink Ink) string {
	var b strings.Builder
	b.WriteString(Wrap(fmt.Sprintf("%d invented patients of each kind, seed %d, mask %s, six causes equally common: %s. The four questions: dry mouth, worse on the side, cushion age, mask against the palm.",
		r.Patients, r.Seed, r.Mask, sixNames()), "") + "\n")
	for _, separate := range []bool{false, true} {
		b.WriteString("\n" + ink.Bold(kindName(separate)) + "\n")
		b.WriteString(Wrap(kindSays(separate), "") + "\n")
		fmt.Fprintf(&b, "%-29s %6s %13s %5s %6s %5s %5s\n", "", "right", "95 % interval", "aim", "calib.", "cover", "set")
		for _, s := range r.Scores {
			if s.Separate == separate {
				b.WriteString(scoreLine(s))
			}
		}
	}
	for _, s := range r.Scores {
		if s.ID == "9_readings" || s.ID == "9_readings_4_questions" {
			b.WriteString("\n" + confusion(s, ink))
		}
	}
	b.WriteString("\n" + Wrap(trialLegend, "") + "\n\n" + misses(r, ink))
	return b.String()
}

const trialLegend = "right: share of patients whose most probable cause is the true one; a tie counts by the probability that the true cause was given. " +
	"calib.: expected calibration error, the mean distance over ten bins between the leading cause's probability and how often it is the true one. " +
	"cover: share of patients whose 80 % set holds the true cause; set: its mean size. " +
	"On patients of another making 0.07 less is aimed at. " +
	"A hole elsewhere is counted as a constant gap, as the readings of both grow alike. At a single pressure nothing is aimed at: how a leak grows cannot be read there."

func sixNames() string {
	var names []string
	for _, c := range trial.Six {
		names = append(names, causeShort[c])
	}
	return strings.Join(names, ", ")
}

func kindName(separate bool) string {
	if separate {
		return "Patients of another making"
	}
	return "Patients as the model assumes them"
}

func kindSays(separate bool) string {
	if separate {
		return "Other laws and spreads than the model's, readings rounded to 1 L/min, drift, means and medians and 95th percentiles, noise with heavy tails, some answers not known."
	}
	return "Drawn from the priors, with curves of their own: noise 1.5 L/min + 8 % of the leak, vent tolerance 2 %."
}

func scoreLine(s trial.Score) string {
	aim := "   -"
	if s.Target > 0 {
		aim = fmt.Sprintf("%.2f", s.Aim())
	}
	return fmt.Sprintf("%-29s %6.3f %6.3f-%5.3f  %5s %6.3f %5.2f %5.2f\n", conditionNames[s.ID],
		s.Right.Value, s.Right.Low, s.Right.High, aim, s.Error, s.Covered.Value, s.SetSize)
}

// confusion prints how often each true cause was taken for which.
func confusion(s trial.Score, ink Ink) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%-13s", ink.Bold(conditionNames[s.ID]+", "+strings.ToLower(kindName(s.Separate)[:1])+kindName(s.Separate)[1:]), "true \\ said")
	for _, c := range trial.Six {
		fmt.Fprintf(&b, " %8s", causeHead[c])
	}
	b.WriteString("\n")
	for k, row := range s.Confusion {
		fmt.Fprintf(&b, "%-13s", causeShort[trial.Six[k]])
		for _, n := range row {
			fmt.Fprintf(&b, " %8d", n)
		}
		b.WriteString("\n")
	}
	return b.String()
}

var targetNames = map[trial.Target]string{trial.Accuracy: "right", trial.Calibration: "calibration error",
	trial.Coverage: "cover of the 80 % set", trial.SetSize: "mean size of the 80 % set"}

// misses lists what was aimed at and not reached.
func misses(r trial.Report, ink Ink) string {
	var b strings.Builder
	for _, s := range r.Scores {
		for _, m := range s.Misses {
			b.WriteString(ink.Warn(Wrap(fmt.Sprintf("missed: %s, %s: %s is %.3f, aimed at %.2f", strings.ToLower(kindName(s.Separate)),
				conditionNames[s.ID], targetNames[m.Target], m.Got, m.Wanted), "  ")) + "\n")
		}
	}
	if b.Len() == 0 {
		return "Every aim was reached.\n"
	}
	return b.String()
}

// A TrialList is the JSON form of the trial.
type TrialList struct {
	Format   string      `json:"format"`
	Version  int         `json:"version"`
	Patients int         `json:"patients_of_each_kind"`
	Seed     uint64      `json:"seed"`
	Mask     string      `json:"mask"`
	Causes   []string    `json:"causes"`
	Scores   []TrialItem `json:"scores"`
}

// A TrialItem is one condition on one kind of patients. Aim is null where
// nothing is aimed at.
type TrialItem struct {
	Condition string      `json:"condition"`
	Kind      string      `json:"kind"`
	Readings  int         `json:"readings"`
	Aim       *float64    `json:"aim"`
	Right     [3]float64  `json:"right_low_high"`
	Leading   [3]float64  `json:"leading_right_low_high"`
	Error     float64     `json:"calibration_error"`
	Covered   [3]float64  `json:"covered_low_high"`
	SetSize   float64     `json:"set_size"`
	Effective float64     `json:"effective_draws"`
	Confusion [][]int     `json:"confusion_true_by_said"`
	Misses    []TrialMiss `json:"misses"`
}

// A TrialMiss is an aim that was not reached.
type TrialMiss struct {
	Target string  `json:"target"`
	Wanted float64 `json:"wanted"`
	Got    float64 `json:"got"`
}

// TrialJSON gives the trial as programs read it.
func TrialJSON(r trial.Report) TrialList {
	l := TrialList{Format: "tautline explain trial", Version: 1, Patients: r.Patients, Seed: r.Seed, Mask: r.Mask}
	for _, c := range trial.Six {
		l.Causes = append(l.Causes, c.ID())
	}
	three := func(e trial.Estimate) [3]float64 { return [3]float64{e.Value, e.Low, e.High} }
	for _, s := range r.Scores {
		item := TrialItem{Condition: s.ID, Kind: "matched", Readings: s.Readings, Right: three(s.Right), Leading: three(s.Most),
			Error: s.Error, Covered: three(s.Covered), SetSize: s.SetSize, Effective: s.Effective, Confusion: s.Confusion, Misses: []TrialMiss{}}
		if s.Separate {
			item.Kind = "separate"
		}
		if s.Target > 0 {
			item.Aim = finite(s.Aim())
		}
		for _, m := range s.Misses {
			item.Misses = append(item.Misses, TrialMiss{string(m.Target), m.Wanted, m.Got})
		}
		l.Scores = append(l.Scores, item)
	}
	return l
}
