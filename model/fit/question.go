package fit

import (
	"errors"
	"fmt"

	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/skin"
	"tautline/model/unit"
)

// A Question is a case with what is asked of it. Limit, line and range have no
// default: forgetting one would give a plausible wrong answer.
type Question struct {
	Case     Case
	Pressure unit.Pressure    // set pressure looked at where it is not swept
	Range    [2]unit.Pressure // therapy range, set pressures, low and high
	Limit    unit.Flow        // of the unintentional leak
	Line     skin.Line        // reference line for the contact pressure
	Worn     unit.Time        // time worn, for lines that fall with it
	Axes     []Axis           // what is swept: none, one or two
	// Between are the strap forces between which a window is looked for.
	Between [2]unit.Force
	// Guess is the range that the strap force may really lie in when it was
	// given as loose, snug or tight; zero when it was measured.
	Guess [2]unit.Force
}

// An Axis is one thing swept and its values.
type Axis struct {
	Variable Variable
	Numbers  []float64 // SI; of straps, balance (share of the upper pair), cushion_days and pressure
	Names    []string  // of size and position
}

func (a Axis) len() int {
	if a.Variable == BySize || a.Variable == ByPosition {
		return len(a.Names)
	}
	return len(a.Numbers)
}

// UsualBetween are strap forces from looser than loose to tighter than tight.
func UsualBetween() [2]unit.Force { return [2]unit.Force{0.5 * unit.N, 15 * unit.N} }

// Check refuses a question that cannot be answered, naming what is wrong.
func (q *Question) Check() error {
	if err := SetPressureRange.Check(float64(q.Pressure)); err != nil {
		return err
	}
	for _, p := range q.Range {
		if err := SetPressureRange.Check(float64(p)); err != nil {
			return fmt.Errorf("therapy range: %w", err)
		}
	}
	switch {
	case !(q.Range[0] > 0 && q.Range[0] <= q.Range[1]):
		return fmt.Errorf("the therapy range goes from a lower to a higher pressure above zero, not from %s to %s", q.Range[0], q.Range[1])
	case !(q.Limit > 0):
		return errors.New("state a leak limit above zero, such as 24 L/min: there is no usual one")
	case !q.Line.IsSet():
		return errors.New("state a reference line for the skin, such as 70 mmHg: there is no usual one")
	case q.Line.TakesTime() && !(q.Worn > 0):
		return fmt.Errorf("the line %q falls with the time worn: state that time, such as 7 h", q.Line.Name)
	case len(q.Axes) > 2:
		return errors.New("sweep one or two things at a time")
	case len(q.Axes) == 2 && q.Axes[0].Variable == q.Axes[1].Variable:
		return fmt.Errorf("%s is swept twice", q.Axes[0].Variable)
	case !(q.Between[0] > 0 && q.Between[0] < q.Between[1]):
		return fmt.Errorf("a window is looked for from a lower to a higher strap force, not from %s to %s", q.Between[0], q.Between[1])
	}
	for _, a := range q.Axes {
		if err := a.check(&q.Case); err != nil {
			return err
		}
	}
	return nil
}

// settings gives what the case stands for before anything is swept.
func (q *Question) settings() Settings {
	return Settings{Straps: q.Case.Total(), Balance: q.Case.Straps.Upper, Size: q.Case.Mask.Size,
		Cushion: q.Case.Cushion.Days, Position: q.Case.Position.Name, Pressure: q.Pressure}
}

// set puts one value of an axis into the settings.
func (s *Settings) set(a Axis, i int) {
	switch a.Variable {
	case ByStraps:
		s.Straps = unit.Force(a.Numbers[i])
	case ByBalance:
		s.Balance = unit.Fraction(a.Numbers[i])
	case BySize:
		s.Size = a.Names[i]
	case ByCushion:
		s.Cushion = unit.Time(a.Numbers[i])
	case ByPosition:
		s.Position = a.Names[i]
	case ByPressure:
		s.Pressure = unit.Pressure(a.Numbers[i])
	}
}

// caseFor gives the case with the settings in place.
func (q *Question) caseFor(s Settings) (Case, error) {
	c := q.Case
	c.Straps.Pull, c.Straps.Upper, c.Cushion.Days = s.Straps, s.Balance, s.Cushion
	if s.Position != c.Position.Name {
		p, ok := FindPosition(s.Position)
		if !ok {
			return c, fmt.Errorf("no position %q", s.Position)
		}
		c.Position = p
	}
	if s.Size != c.Mask.Size {
		m, err := mask.Find(c.Mask.Type, s.Size)
		if err != nil {
			return c, err
		}
		c.Mask = c.Mask.Resized(m)
	}
	if err := mask.WearLimit.Check(float64(s.Cushion)); err != nil {
		return c, err
	}
	return c, nil
}

// A Window is the range of strap forces that keep the leak under the limit at
// every pressure of the therapy range with no site past the reference line.
type Window struct {
	Holds     Settings // what it was found for; Straps and Pressure are not set
	Exists    bool
	Low, High unit.Force // set when it exists
	OpenAbove bool       // it reaches the tightest force looked at
	OpenBelow bool       // it reaches the loosest force looked at

	Seals     bool       // some strap force keeps the leak under the limit
	SealsFrom unit.Force // the lowest that does
	UnderLine bool       // some strap force keeps every site under the line
	LineUntil unit.Force // the highest that does

	LeakSite  face.Site     // where it leaks most at the tightest force looked at
	LeastLeak unit.Flow     // the leak left there, at the worst pressure of the range
	TopSite   face.Site     // where the contact is largest at SealsFrom
	TopAtSeal unit.Pressure // that contact
}

// A Split tells how much of the mismatch straps can take up by moving and
// tilting the frame, and how much is shape. Each is the spread (largest minus
// smallest) round the rim.
type Split struct {
	Total, Straps, Shape unit.Length
	Worst                face.Site // where the shape that remains stands off most
}

// A Verdict is the answer in one word.
type Verdict int

// The verdicts.
const (
	Holds        Verdict = iota // within the window
	Opens                       // a window exists, the straps are below it
	TooTight                    // a window exists, the straps are above it
	EmptyByShape                // no strap force seals the range
	EmptyByLine                 // what seals goes past the line
)

// An Option is one thing to try, in bedside order, with what the model
// predicts of it at the highest pressure of the range.
type Option struct {
	Kind      OptionKind
	Predicted bool     // false: done with the hands, and the model does not see it
	Settings  Settings // what it would set
	Type      mask.Type
	Leak      unit.Flow
	Contact   unit.Pressure // largest over all sites
	Site      face.Site     // where that is
	Window    Window        // for size and type
}

// An OptionKind is a step of the bedside order.
type OptionKind int

// The steps in the order in which they are tried: free of skin cost first
// (common practice, no source).
const (
	LookAtVent OptionKind = iota
	Clean
	Reseat
	SupportHose
	CloseLips
	EvenStraps // the same pull, shared out otherwise
	StepStraps // a little tighter or looser, in pairs, up to the window
	NewCushion
	OtherSize
	OtherType
)

// An Answer is all that a sweep finds.
type Answer struct {
	Question Question
	Now      Point // the case as stated, at the stated pressure
	Top      Point // the same at the highest pressure of the range
	Rows     []Row
	Tipped   []Settings // points of the sweep left out: there the mask tips off the face
	Window   Window     // for the case as stated
	Windows  []Window   // one for each setting swept besides straps and pressure
	Split    Split
	Verdict  Verdict
	// Doubt holds the verdicts at the ends of the strap force's range when it
	// was guessed; they may differ from Verdict.
	Doubt   []Verdict
	Options []Option
}
