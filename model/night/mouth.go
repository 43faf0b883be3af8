package night

import (
	"tautline/model/airway"
	"tautline/model/mask"
	"tautline/model/unit"
)

// Lips are a mouth whose lips hold less, the lower their tone; what passes them
// is the steady leak of the airway model. The nose is as before any mouth leak:
// as it swells the mouth leaks less, so that this is on the high side.
type Lips struct {
	Mouth airway.Mouth
	Nose  airway.Nose
}

// Leak gives the mean leak through the mouth.
func (l Lips) Leak(p unit.Pressure, tone unit.Fraction) unit.Flow {
	m := l.Mouth
	m.Lips *= unit.Pressure(tone)
	return airway.MouthLeak(p, m, l.Nose)
}

// WithMouth gives the question with a mouth behind its mask. Behind a mask that
// encloses the mouth nothing leaks there; an open one lets the jaw drop instead.
func (q Question) WithMouth(m airway.Mouth) Question {
	m = m.Behind(q.Case.Mask.Type)
	q.Habits.JawDrop = m.JawBack()
	q.Mouth = nil
	if q.Case.Mask.Type != mask.Oronasal {
		q.Mouth = Lips{m, airway.RestedNose()}
	}
	return q
}
