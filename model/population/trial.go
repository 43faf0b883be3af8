package population

import (
	"math"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/root"
	"tautline/model/seal"
	"tautline/model/unit"
)

// An Outcome is what one size does on one face.
type Outcome uint8

// The outcomes.
const (
	Fits    Outcome = iota // some strap force holds the range under limit and line
	ByLine                 // what seals goes past the line
	ByShape                // no strap force seals the range
	outcomeCount
)

// A bench is one mask in one size, ready to be held to many faces.
//
// Whether a window exists is found without walking through strap forces and
// without the circuit, by three facts. Leak and contact are looked at where
// they are largest over the therapy range: the leak at its top, the contact at
// its top and at its bottom. The leak at the machine's set pressure is under the limit just
// when it is so at the mask pressure that machine and hose would deliver
// with exactly the limit leaking (more leak, less pressure: the two curves
// cross once). And the contact grows with the strap force, so the tightest
// force under the line is one root; what leaks there is tried again at a few looser forces, because
// a fixed share of the pulls can pitch the frame. A test compares with fit's own search.
type bench struct {
	t           *fit.Template
	atLimit     float64    // Pa in the mask at the top of the range, the limit leaking
	ends        [2]float64 // Pa in the mask at the ends of the range, nothing leaking
	limit, line float64    // m3/s, Pa
	between     [2]float64 // N
	// usual is a pull in the middle of an average face's window, where most
	// faces are settled at once; 0 when that face has none.
	usual float64
}

func newBench(q *fit.Question, m mask.Mask) (*bench, error) {
	c := q.Case
	c.Mask, c.Mismatch = m, nil
	if m.Type != q.Case.Mask.Type {
		c.Straps.Upper, _ = mask.UpperShare(m.Type)
	}
	if n := usualSegments / len(m.Rims); m.Type != q.Case.Mask.Type {
		c.Segments = n
	}
	t, err := fit.NewTemplate(c)
	if err != nil {
		return nil, err
	}
	b := &bench{t: t, limit: float64(q.Limit), line: float64(q.Line.Level(q.Worn)),
		between: [2]float64{q.Between[0].N(), q.Between[1].N()}}
	through := c.Mask.Vent.In(c.Gas)
	arrives := func(set unit.Pressure, leak unit.Flow) float64 {
		p, failed := c.Circuit.MaskPressure(set, c.Gas, func(p unit.Pressure) unit.Flow {
			q, _ := through.Flow(p)
			return q + leak
		})
		if failed != nil {
			err = failed
		}
		return float64(p)
	}
	b.atLimit = arrives(q.Range[1], q.Limit)
	b.ends = [2]float64{arrives(q.Range[1], 0), arrives(q.Range[0], 0)}
	b.usual = b.middle()
	return b, err
}

// middle gives the middle of an average face's window, or 0.
func (b *bench) middle() float64 {
	w, f := b.worker(), face.Average()
	w.t.Put(&f, w.p)
	tightest, under := w.tightest()
	if !under || !w.seals(tightest) {
		return 0
	}
	loosest := tightest
	for next := tightest * 0.9; next >= b.between[0] && w.seals(next); next *= 0.9 {
		loosest = next
	}
	return math.Sqrt(loosest * tightest)
}

// usualSegments is how finely a whole mask is cut, as fit.NewCase does.
const usualSegments = 96

// A worker is a bench in the hands of one goroutine.
type worker struct {
	*bench
	p *seal.Problem
}

func (b *bench) worker() worker { return worker{b, b.t.Problem()} }

// set puts the straps to a pull; false where the mask tips off.
func (w *worker) set(pull float64) (seal.Pose, bool) {
	w.t.Pull(w.p, unit.Force(pull))
	q, err := w.p.Settle()
	return q, err == nil
}

// contact gives the largest contact over the range less the line [Pa]. A mask
// that tips off presses nothing, and leaks.
func (w *worker) contact(pull float64) float64 {
	set, ok := w.set(pull)
	if !ok {
		return -w.line
	}
	top := 0.0
	for _, p := range w.ends {
		if q, err := w.p.Balance(set, set, p); err == nil {
			top = max(top, w.p.Contact(q, p))
		}
	}
	return top - w.line
}

func (w *worker) seals(pull float64) bool {
	set, ok := w.set(pull)
	if !ok {
		return false
	}
	q, err := w.p.Balance(set, set, w.atLimit)
	return err == nil && w.p.Leak(q, w.atLimit) <= w.limit
}

// looser are the shares of the tightest force that are tried as well, and
// tries how many forces are tried for a seal at all.
var looser = [...]float64{0.85, 0.7, 0.55, 0.4, 0.28, 0.2, 0.1}

const (
	tries = 6
	// edge is how exactly the tightest force under the line is found, as
	// exactly as fit closes in on a window's ends, N.
	edge = 0.01
)

// try tells what the mask does on a face.
func (w *worker) try(f *face.Face) Outcome {
	w.t.Put(f, w.p)
	if w.usual > 0 && w.seals(w.usual) && w.contact(w.usual) <= 0 {
		return Fits
	}
	tightest, under := w.tightest()
	if under && w.sealsUpTo(tightest) {
		return Fits
	}
	for i := range tries {
		share := float64(i) / (tries - 1)
		pull := w.between[1] * math.Pow(max(tightest, w.between[0])/w.between[1], share)
		if w.seals(pull) {
			return ByLine
		}
	}
	return ByShape
}

func (w *worker) sealsUpTo(tightest float64) bool {
	if w.seals(tightest) {
		return true
	}
	for _, share := range looser {
		if pull := share * tightest; pull >= w.between[0] && w.seals(pull) {
			return true
		}
	}
	return false
}

// tightest gives the largest force between the ends that keeps the contact
// under the line; false when even the loosest is past it.
func (w *worker) tightest() (pull float64, under bool) {
	lo, hi := w.between[0], w.between[1]
	atLo, atHi := w.contact(lo), w.contact(hi)
	switch {
	case atLo > 0:
		return 0, false
	case atHi <= 0:
		return hi, true
	}
	at, _, err := root.FindBetween(w.contact, lo, atLo, hi, atHi, edge/2)
	if err != nil { // the jump where the mask tips off is no root, yet bracketed
		return lo, true
	}
	return max(lo, at-edge/2), true
}
