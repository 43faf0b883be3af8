package night

import (
	"math"
	"math/rand/v2"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"

	"tautline/model/unit"
)

// A plan is what happens in one night before any force is looked at.
type plan struct {
	pull   float64 // of the evening, as a multiple of the stated one
	slack  float64 // share lost in the end, without the turns
	turns  []turn  // the first is how the night begins
	stages []change
}

// A turn is a change of position with how the mask comes to sit after it.
type turn struct {
	at       unit.Time
	position int
	left     float64 // added to the left straps' share
}

// A change of stage.
type change struct {
	at    unit.Time
	stage Stage
}

// plan draws one night. Draws are made in a fixed order, and each sort of event
// from a stream of its own, so that changing one habit leaves the rest of the
// night as it was.
func (q *Question) plan(night int) plan {
	h := &q.Habits
	straps := q.stream(night, 0)
	p := plan{pull: math.Exp(h.Evening * straps.NormFloat64()),
		slack: float64(h.Slack) * math.Exp(h.SlackSpread*straps.NormFloat64())}
	p.turns = h.turns(q.stream(night, 1), q.stream(night, 2), q.Hours)
	p.stages = h.stages(q.stream(night, 3), q.Hours)
	return p
}

// stream is the night's own source of chance for one sort of event.
func (q *Question) stream(night int, kind uint64) *rand.Rand {
	return rand.New(rand.NewPCG(q.Seed, uint64(night)<<8|kind))
}

// turns draws the times of moving and where each movement ends. Some end where
// they began and are no turns; so the time in each position comes out as stated
// while turns come at the stated rate.
func (h *Habits) turns(when, where *rand.Rand, hours unit.Time) []turn {
	stays, sum := 0.0, 0.0
	for _, s := range h.Shares {
		sum += float64(s.Share)
	}
	for _, s := range h.Shares {
		stays += math.Pow(float64(s.Share)/sum, 2)
	}
	now := h.lie(where.Float64() * sum)
	all := []turn{{position: now, left: float64(h.Askew) * where.NormFloat64()}}
	rate := h.rate(when) / max(1-stays, 1e-9)
	if rate <= 0 || stays > 1-1e-9 {
		return all
	}
	for t := 0.0; ; {
		t += when.ExpFloat64() / rate * float64(unit.Hour)
		if t >= float64(hours) {
			return all
		}
		next, left := h.lie(where.Float64()*sum), float64(h.Askew)*where.NormFloat64()
		if next != now {
			now = next
			all = append(all, turn{unit.Time(t), now, left})
		}
	}
}

// rate draws how restless a night is: gamma distributed, as counts of turns
// spread more than chance alone would have it.
func (h *Habits) rate(r *rand.Rand) float64 {
	if h.TurnRate <= 0 || h.TurnSpread <= 0 {
		return h.TurnRate
	}
	shape := math.Pow(h.TurnSpread, -2)
	return h.TurnRate * distuv.Gamma{Alpha: shape, Beta: shape, Src: r}.Rand()
}

// lie finds the position at a place along the stated shares.
func (h *Habits) lie(at float64) int {
	last := 0
	for i, s := range h.Shares {
		if s.Share <= 0 {
			continue
		}
		last = i
		if at -= float64(s.Share); at < 0 {
			break
		}
	}
	return last
}

// stages lays cycles of NREM and then REM sleep end to end, REM longer in each.
func (h *Habits) stages(r *rand.Rand, hours unit.Time) []change {
	all := []change{{0, NREM}}
	begin := unit.Time(0)
	for k := 0; begin < hours; k++ {
		length := h.Cycle + h.CycleSpread*unit.Time(r.NormFloat64())
		length = max(length, h.Cycle/2)
		dream := min(h.FirstREM+unit.Time(k)*h.LaterREM, length/2)
		if at := begin + length - dream; at < hours && dream > 0 {
			all = append(all, change{at, REM})
		}
		if begin += length; begin < hours && dream > 0 {
			all = append(all, change{begin, NREM})
		}
	}
	return all
}

// longest is how long a spell may last; in that time the straps slacken by less
// than half a percent.
const longest = 10 * unit.Minute

// warming parts the first minutes, in multiples of the warming time; each part
// is taken at its middle, and from the last on the cushion is warm.
var warming = []float64{0, 0.5, 1.2, 2.4}

// warmth gives how far the cushion has warmed in a part, from 0 to 1.
func warmth(part int) float64 {
	if part == len(warming)-1 {
		return 1
	}
	return 1 - math.Exp(-(warming[part]+warming[part+1])/2)
}

// edges are the times at which spells begin.
func (p *plan) edges(h *Habits, hours unit.Time) []unit.Time {
	var all []unit.Time
	for t := unit.Time(0); t < hours; t += longest {
		all = append(all, t)
	}
	for _, t := range p.turns {
		all = append(all, t.at)
	}
	for _, c := range p.stages {
		all = append(all, c.at)
	}
	if h.WarmSoftening > 0 {
		for _, w := range warming {
			all = append(all, unit.Time(w)*h.WarmTime)
		}
	}
	sort.Slice(all, func(i, j int) bool { return all[i] < all[j] })
	kept := all[:0]
	for _, t := range all {
		if t < hours && (len(kept) == 0 || t > kept[len(kept)-1]) {
			kept = append(kept, t)
		}
	}
	return kept
}
