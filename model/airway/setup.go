package airway

import (
	"errors"
	"fmt"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

// A Setup is a person breathing at a machine, behind a mask that is on already.
// The zero value breathes nothing; take NewSetup and change what differs.
type Setup struct {
	Source    Source
	Breathing Breathing
	Nose      Nose
	Mouth     Mouth
	TestLeak  TestLeak
	Breaths   int // recorded, after those that it takes to settle
}

// NewSetup is quiet sleep at a source, lips resting together.
func NewSetup(s Source) Setup {
	return Setup{Source: s, Breathing: Sleeping(), Nose: RestedNose(), Mouth: ClosedMouth(),
		Breaths: int(BreathsRecord.Value)}
}

// Check refuses a setup outside the range that the model holds for.
func (s *Setup) Check() error {
	err := errors.Join(s.Source.Check(), s.Breathing.Check(), s.Nose.Check(), s.Mouth.Check(),
		TestLeakRecord.Check(float64(s.TestLeak.At10)), BreathsRecord.Check(float64(s.Breaths)))
	if err != nil {
		return err
	}
	b := s.Breathing
	least := min(b.Inspiring, 1-b.Inspiring) * unit.Fraction(b.Cycle())
	if s.Source.TwoLevel() && float64(s.Source.Rise) > float64(least) {
		return fmt.Errorf("a rise time of %s is longer than the shorter part of a breath, %s", s.Source.Rise, unit.Time(least))
	}
	return nil
}

// worn gives the fitting as this mouth meets it: behind an oronasal mask a
// dropped jaw takes the chin away from the rim.
func (s *Setup) worn(f *fit.Fitting) (*fit.Fitting, error) {
	back := s.Mouth.JawBack()
	if back == 0 {
		return f, nil
	}
	c := f.Case
	c.Position.JawBack += back
	if c.Mismatch != nil { // stated segment by segment, it knows of no jaw
		c.Mismatch = append([]unit.Length(nil), c.Mismatch...)
		for i, g := range f.Problem().Segments {
			if g.Site == face.Chin {
				c.Mismatch[i] += back
			}
		}
	}
	return fit.PutOn(c)
}
