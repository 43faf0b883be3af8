package fit

import (
	"context"
	"errors"
	"math"

	"tautline/model/face"
	"tautline/model/seal"
	"tautline/model/unit"
)

// A Brief is the short form of an answer, for asking the same question many
// times with other numbers: what stands at the top of the therapy range, and
// how the whole range compares with limit and line.
type Brief struct {
	Leak       unit.Flow     // at the highest pressure of the range
	Contact    unit.Pressure // largest over all sites there
	Site       face.Site     // where that is
	LiftOff    unit.Pressure // mask pressure; the highest looked at where none was found
	HasLiftOff bool
	// Closeness is how near the straps come to limit or line over the whole
	// range, whichever is nearer: 0 at it, positive past it. See Closeness.
	Closeness float64
}

// Tipping is the brief of a mask that tips off the face, for comparing draws:
// nothing presses, and all that a machine gives escapes.
func Tipping(q *Question) Brief {
	leak := q.Case.Circuit.MaxFlow
	return Brief{Leak: leak, HasLiftOff: true, Closeness: Closeness(q, leak, 0)}
}

// Closeness compares a leak and a contact with what the question states.
//
//	max( ln((leak + 1 L/min)/(limit + 1 L/min)), ln(contact/line) )
//
// The L/min keeps a seal without a leak from counting as endlessly better than
// one with a trace. Result: pure number; 0.1 is about 10 % past.
func Closeness(q *Question, leak unit.Flow, contact unit.Pressure) float64 {
	const trace = 1 * unit.LPerMin
	byLeak := math.Log(float64((leak + trace) / (q.Limit + trace)))
	if contact <= 0 {
		return byLeak
	}
	return math.Max(byLeak, math.Log(q.Line.Load(contact, q.Worn)))
}

// Briefly answers a question in short, without looking for a window.
func Briefly(q Question) (Brief, error) {
	f, err := PutOn(q.Case)
	if err != nil {
		return Brief{}, err
	}
	return q.brief(f)
}

// Judge answers a question in short and looks for its window as well.
func Judge(ctx context.Context, q Question) (Brief, Window, Verdict, error) {
	f, err := PutOn(q.Case)
	if err != nil {
		return Brief{}, Window{}, 0, err
	}
	b, err := q.brief(f)
	if err != nil {
		return b, Window{}, 0, err
	}
	w, err := q.window(ctx, f)
	return b, w, w.judge(q.Case.Total()), err
}

func (q *Question) brief(f *Fitting) (b Brief, err error) {
	limits, err := f.Limits()
	if err != nil {
		return b, err
	}
	b.LiftOff, b.HasLiftOff = limits.LiftOff, limits.HasLiftOff
	mask, pose, err := f.arrive(q.Range[1])
	if err != nil {
		return b, err
	}
	var top trial
	top.look(f, pose, mask)
	b.Leak, b.Contact, b.Site = top.leak, top.contact, top.contactSite
	over, err := q.try(f, f.Case.Total())
	if err == nil && math.IsInf(float64(over.leak), 1) {
		err = seal.ErrTips
	}
	b.Closeness = Closeness(q, over.leak, over.contact)
	return b, err
}

// BriefOrTipping is Briefly with a number also for a mask that tips off.
func BriefOrTipping(q Question) (Brief, error) {
	b, err := Briefly(q)
	if errors.Is(err, seal.ErrTips) {
		return Tipping(&q), nil
	}
	return b, err
}
