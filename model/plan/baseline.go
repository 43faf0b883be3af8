package plan

import (
	"math"
	"slices"

	"tautline/model/mask"
	"tautline/model/unit"
)

// A byHand is trial and error as a therapist does it: the size by the gauge, the
// usual strap force, and then one thing at a time, each waiting for a night:
//
//   - The first leak of a mask: loosened, lifted off and re-seated, as it was.
//   - A leak again: a step tighter.
//   - Sore: a step looser.
//   - A leak where a step looser was sore, or the other way round, or after two
//     steps the same way: another size, the nearest not yet tried, at most two
//     sizes of a type in a row; then the next type.
//   - Mouth leak: the oronasal type, if there is one left, else the next type.
//   - Not worn: the next type; this one is not offered again.
//   - All types through: the first that is still worn again, in the sizes left.
//
// Common practice, no source. Types go in a fixed order.
type byHand struct {
	table *table
	order []mask.Type
	// What the gauge reads, m; the mask whose size was drawn for the nearest.
	nose, length float64
	// atOnce says that re-seating takes no visit of its own: a leak is answered
	// by re-seating and a step tighter at once.
	atOnce bool
	offer  []bool // of the bank's masks, which may be tried; nil for all
}

// most steps of the straps on one mask, and sizes of one type in a row.
const (
	mostSteps = 2
	mostSizes = 2
)

func (p *byHand) next(course []tried) (int, bool) {
	if len(course) == 0 {
		return p.first(p.order, course)
	}
	last := course[len(course)-1]
	m, level := p.table.setting(last.candidate)
	switch last.outcome {
	case NotWorn, MouthLeak:
		return p.otherType(course, last.outcome == MouthLeak)
	case Sore:
		level--
	default:
		if !p.atOnce && p.leaks(course, m) == 1 && (p.offer == nil || p.offer[m]) {
			return last.candidate, true
		}
		level++
	}
	if p.worthStepping(course, m, level) {
		return p.table.candidate(m, level), true
	}
	if c, ok := p.otherSize(course, m); ok {
		return c, true
	}
	return p.otherType(course, false)
}

// leaks counts how often a mask leaked.
func (p *byHand) leaks(course []tried, m int) (n int) {
	for _, t := range course {
		if k, _ := p.table.setting(t.candidate); k == m && (t.outcome == LeaksAtBridge || t.outcome == LeaksElsewhere) {
			n++
		}
	}
	return n
}

// worthStepping tells whether a level on the mask in hand was not tried yet and
// is not the third step.
func (p *byHand) worthStepping(course []tried, m, level int) bool {
	if p.offer != nil && !p.offer[m] {
		return false
	}
	if level < p.table.lowest || level >= p.table.lowest+p.table.perMask {
		return false
	}
	on := map[int]bool{}
	for _, t := range course {
		if k, l := p.table.setting(t.candidate); k == m {
			on[l] = true
		}
	}
	return !on[level] && len(on) <= mostSteps
}

// otherSize gives the nearest size of the same type that was not tried.
func (p *byHand) otherSize(course []tried, m int) (int, bool) {
	kind := p.table.bank.masks[m].Type
	if len(p.sizesTried(course, kind)) >= mostSizes {
		return 0, false
	}
	return p.first([]mask.Type{kind}, course)
}

func (p *byHand) sizesTried(course []tried, kind mask.Type) map[int]bool {
	out := map[int]bool{}
	for _, t := range course {
		if m, _ := p.table.setting(t.candidate); p.table.bank.masks[m].Type == kind {
			out[m] = true
		}
	}
	return out
}

// otherType goes to the next type of the order, round and round.
func (p *byHand) otherType(course []tried, mouth bool) (int, bool) {
	m, _ := p.table.setting(course[len(course)-1].candidate)
	at := slices.Index(p.order, p.table.bank.masks[m].Type)
	var order []mask.Type
	if mouth {
		order = append(order, mask.Oronasal)
	}
	order = append(order, p.order[at+1:]...)
	order = append(order, p.order[:at+1]...)
	return p.first(order, course)
}

// first gives the best size by the gauge that was not tried, of the first type
// that is still worn.
func (p *byHand) first(order []mask.Type, course []tried) (int, bool) {
	for _, kind := range order {
		if p.refused(course, kind) {
			continue
		}
		best, nearest := -1, math.Inf(1)
		was := p.sizesTried(course, kind)
		for m := range p.table.bank.masks {
			k := &p.table.bank.masks[m]
			if k.Type == kind && !was[m] && (p.offer == nil || p.offer[m]) && p.off(k) < nearest {
				best, nearest = m, p.off(k)
			}
		}
		if best >= 0 {
			return p.table.candidate(best, middle), true
		}
	}
	return 0, false
}

func (p *byHand) refused(course []tried, kind mask.Type) bool {
	for _, t := range course {
		if t.outcome == NotWorn && p.table.mask(t.candidate).Type == kind {
			return true
		}
	}
	return false
}

// off is how far a mask's size is from what the gauge reads: by the nose for what
// sits on it, by the length for what goes down to the chin.
func (p *byHand) off(m *mask.Mask) float64 {
	if m.Type == mask.Oronasal {
		return math.Abs(float64(m.FitsLength - unit.Length(p.length)))
	}
	return math.Abs(float64(m.FitsNose - unit.Length(p.nose)))
}

// orders lists all orders of the types.
func orders() [][]mask.Type {
	o, n, p := mask.Oronasal, mask.Nasal, mask.Pillows
	return [][]mask.Type{{n, p, o}, {n, o, p}, {p, n, o}, {p, o, n}, {o, n, p}, {o, p, n}}
}
