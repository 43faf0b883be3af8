package uncertainty

import (
	"tautline/model/unit"
)

// An Input is one number that is drawn, for a question of type Q.
type Input[Q any] struct {
	// Parameter says what is known of the number; its Value is where it stands
	// in the question as asked.
	Parameter unit.Parameter
	Spread    Spread
	// Set puts a value (SI) into a question. The question is a copy, but what it
	// points at is shared: slices are cloned before they are changed.
	Set func(*Q, float64)
}

// A Held number is in play and not drawn.
type Held struct {
	Parameter unit.Parameter
	Why       string
}

// Lift makes the inputs of a part those of the whole that holds the part, so
// that the numbers of a fitting serve every question about one.
func Lift[Q, P any](in []Input[P], part func(*Q) *P) []Input[Q] {
	out := make([]Input[Q], len(in))
	for i, x := range in {
		out[i] = Input[Q]{x.Parameter, x.Spread, func(q *Q, v float64) { x.Set(part(q), v) }}
	}
	return out
}

// Of makes the input of a record that stands at a value (SI). The second result
// is false where it is not drawn; why says then what keeps it.
func Of[Q any](p unit.Parameter, at float64, set func(*Q, float64)) (in Input[Q], why string, drawn bool) {
	s, drawn := SpreadOf(&p, at)
	switch {
	case drawn:
	case p.Origin == unit.Stated:
		why = "stated"
	case p.Fixed != "":
		why = p.Fixed
	default:
		why = "at zero, and no likely range is given"
	}
	return Input[Q]{p.At(at), s, set}, why, drawn
}

// A Quantity is one figure of an answer. Its name is a key: whoever shows it
// has the words and the unit.
type Quantity string

// An Outcome is what one draw gives.
type Outcome struct {
	Verdict int       // in the code of the study
	Values  []float64 // SI, one for each quantity; NaN where there is none
	Tips    bool      // the mask tips off the face: no verdict and no values
}

// A Study is a question with all that is needed to ask it many times.
type Study[Q any] struct {
	Question   Q
	Inputs     []Input[Q]
	Held       []Held
	Quantities []Quantity
	// Known, when given, is what the question comes to as asked, so that it need
	// not be asked again.
	Known *Outcome
	// Ask answers one draw; it is called from several goroutines. The draw's
	// number seeds whatever else is random in the answer.
	Ask func(q Q, draw int) (Outcome, error)
	// Score, when given, answers one draw with the figures whose sensitivities
	// are wanted, quickly: it is asked some thousand times. Without it the
	// sensitivities are read from the draws themselves.
	Score  func(q Q) ([]float64, error)
	Scores []Quantity // what Score gives
	// Deciding is the place, in Scores (or Quantities without them), of the
	// figure that the verdict hangs on.
	Deciding int
}

// draw puts a row of the unit cube into a copy of the question.
func (s *Study[Q]) draw(u []float64) Q {
	q := s.Question
	for i := range s.Inputs {
		s.Inputs[i].Set(&q, s.Inputs[i].Spread.Quantile(u[i]))
	}
	return q
}

// A Plan says how many draws, and from which seed.
type Plan struct {
	Draws int
	Seed  uint64
	// Progress, when given, hears how many of the calculations are done; it is
	// called from several goroutines.
	Progress func(done, total int)
}

// DrawsRange is how many draws can be asked for.
var DrawsRange = unit.Parameter{Name: "the number of draws", Value: 200, Low: 1, High: 10000,
	Meaning: "how often the question is asked with other numbers", Fixed: "chosen",
	Origin: unit.Assumed, Source: "100 draws tell a share within 10 %, 1000 within 3 % (binomial, 95 %)"}
