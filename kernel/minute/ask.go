package minute

import (
	"context"
	"errors"

	"tautline/kernel/scenario"
	"tautline/model/explain"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/skin"
	"tautline/model/unit"
)

// A Kind is what an answer is about; what must not wait comes first.
type Kind int

// The kinds, most urgent first (common practice, no source).
const (
	Stop       Kind = iota // a danger sign: call someone
	LoadOff                // skin: no trade-off, take the load off that site
	NotVented              // no vent of its own: look before anything else
	BelowVent              // less flow than the mask vent passes
	Magnetic               // magnets near an implant
	NoMask                 // type not known: no force can be shown
	Assembly               // air at elbow, cap, hose or lid
	MouthFirst             // air at the mouth
	Loosen                 // tight and leaking: a fold may be the leak
	Reseat                 // leaking at the rim
	LetOut                 // no leak to speak of, and more load than it takes
	LookRound              // leaking, nobody knows where
	LeaveIt                // nothing to do about the leak
)

// An Answer is what the first minute gives. Fit stands behind every kind from
// Assembly on, and is empty before.
type Answer struct {
	Form   Form
	Kind   Kind
	HasFit bool
	Fit    fit.Answer
	// Why compares the stories that the reading may tell; only where it passes
	// the limit and which figure it is was said.
	HasWhy bool
	Why    explain.Answer
	Vent   unit.Flow // what the mask vent should pass at the highest pressure; 0 when the mask is not known
	// SizeTaken and PositionTaken tell what was taken because nobody knew it:
	// the middle size, and the position of four in which it leaks most.
	SizeTaken, PositionTaken bool
}

// sweepSteps is how many strap forces the picture shows.
const sweepSteps = 9

// lowest is where the therapy is taken to begin (assumed: nobody is asked for it
// in the first minute, and what holds at the highest holds there).
const lowest = 4 * unit.CmH2O

// below is the share of the mask vent's flow under which a total flow says that
// something is wrong with the vent (assumed: beyond the tolerance of a curve and
// a machine's flow sensor together).
const below = 0.85

// Ask answers a form.
func Ask(ctx context.Context, f Form) (Answer, error) {
	a := Answer{Form: f}
	if err := f.check(); err != nil {
		return a, err
	}
	size := f.Size
	if a.SizeTaken = size == ""; a.SizeTaken {
		size = "medium"
	}
	if f.Type != "" {
		m, err := mask.Find(f.Type, size)
		if err != nil {
			return a, err
		}
		a.Vent, _ = m.Vent.Flow(f.Highest)
		if a.Kind = urgent(f, a.Vent); a.Kind >= Assembly {
			if err := errors.Join(a.forces(ctx, m), a.stories(ctx, m)); err != nil {
				return a, err
			}
			a.Kind = a.step()
		}
		return a, nil
	}
	a.Kind = min(urgent(f, 0), NoMask)
	return a, nil
}

func (f *Form) check() error {
	if err := fit.SetPressureRange.Check(float64(f.Highest)); err != nil {
		return err
	}
	if !(f.Highest > 0) {
		return errors.New("the highest pressure that will be met is above zero")
	}
	if !(f.Leak >= 0) {
		return errors.New("a leak that was read is zero or more")
	}
	return fit.LimitRecord.Check(float64(f.Limit))
}

// urgent finds what is answered before any force; Assembly when there is none.
func urgent(f Form, vent unit.Flow) Kind {
	switch {
	case f.Danger == scenario.Yes:
		return Stop
	case f.Skin == Broken || f.Skin == Stays:
		return LoadOff
	case f.Vented == scenario.No:
		return NotVented
	case f.LeakIs == Total && f.Leak < below*vent:
		return BelowVent
	case f.Magnets != scenario.No && f.Implants == scenario.Yes:
		return Magnetic
	}
	return Assembly
}

// Unintentional gives the leak past seal and mouth, when the figure tells.
func (a *Answer) Unintentional() (unit.Flow, bool) {
	switch a.Form.LeakIs {
	case Unintentional:
		return a.Form.Leak, true
	case Total:
		return max(0, a.Form.Leak-a.Vent), true
	}
	return 0, false
}

// forces puts the mask on the face, in the position told, or else in the one in
// which it leaks most.
func (a *Answer) forces(ctx context.Context, m mask.Mask) error {
	look, ok := face.Find(a.Form.Face)
	if !ok {
		look = face.Average()
	}
	positions := fit.Positions()
	if p, ok := fit.FindPosition(a.Form.Position); ok {
		positions = []fit.Position{p}
	}
	a.PositionTaken = len(positions) > 1
	worst, most := fit.Question{}, unit.Flow(-1)
	for _, p := range positions {
		q, err := a.question(m, look, p)
		if err != nil {
			return err
		}
		leak, err := leakAtTop(q)
		if err != nil {
			return err
		}
		if leak > most {
			worst, most = q, leak
		}
	}
	answer, err := fit.Ask(ctx, worst)
	a.Fit, a.HasFit = answer, err == nil
	return err
}

func leakAtTop(q fit.Question) (unit.Flow, error) {
	on, err := fit.PutOn(q.Case)
	if err != nil {
		return 0, err
	}
	p, err := on.At(q.Range[1])
	return p.Leak, err
}

// question is the case with the straps as they were felt: a figure to start
// from and its broad range, the widest when nobody felt them.
func (a *Answer) question(m mask.Mask, look face.Face, p fit.Position) (fit.Question, error) {
	pull, guess := felt(a.Form.Straps)
	chosen, err := skin.Chosen(a.Form.Line)
	if err != nil {
		return fit.Question{}, err
	}
	q := fit.Question{Case: fit.NewCase(m, look, pull, p), Pressure: a.Form.Highest,
		Range: [2]unit.Pressure{min(lowest, a.Form.Highest), a.Form.Highest},
		Limit: a.Form.Limit, Line: chosen, Between: fit.UsualBetween(), Guess: guess}
	q.Axes = []fit.Axis{{Variable: fit.ByStraps}}
	for i := range sweepSteps {
		q.Axes[0].Numbers = append(q.Axes[0].Numbers, 1+float64(i)*9/(sweepSteps-1))
	}
	return q, nil
}

// felt turns a word for the straps into a pull with its range.
func felt(word string) (unit.Force, [2]unit.Force) {
	feels := fit.Feels()
	all := [2]unit.Force{feels[0].Low, feels[0].High}
	middle := unit.Force(feels[0].Usual.SI())
	for i, f := range feels {
		for _, w := range f.Words {
			if w == word {
				return unit.Force(f.Usual.SI()), [2]unit.Force{f.Low, f.High}
			}
		}
		if i == len(feels)/2 {
			middle = unit.Force(f.Usual.SI())
		}
		all = [2]unit.Force{min(all[0], f.Low), max(all[1], f.High)}
	}
	return middle, all
}

// step finds the one next step, from what was seen rather than from the model:
// a person's hand at the rim knows more than an invented face.
func (a *Answer) step() Kind {
	f := a.Form
	leak, known := a.Unintentional()
	leaks := known && leak > f.Limit
	switch {
	case f.Air == AtAssembly:
		return Assembly
	case f.Air == AtMouth, leaks && f.Mouth == scenario.Yes && len(f.Air.Sites()) == 0:
		return MouthFirst
	case known && !leaks && (f.Straps == "tight" || f.Skin == Fades):
		return LetOut
	case known && !leaks:
		return LeaveIt
	case f.Straps == "tight":
		return Loosen
	case len(f.Air.Sites()) > 0:
		return Reseat
	case f.Straps == "" || f.Air == PlaceUnknown || f.Air == Nowhere:
		return LookRound
	}
	return Reseat
}
