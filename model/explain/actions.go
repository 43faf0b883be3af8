package explain

import (
	"math"

	"tautline/model/face"
	"tautline/model/unit"
)

// an effect is what share of a cause's leak an action leaves, from and to; nil
// where the action does nothing. All assumed (common practice, no source),
// save for straps and cushion, which the seal model answers draw by draw.
type effect map[Cause][2]float64

var effects = map[ActionKind]effect{
	LookAtVent:    {BlockedVent: {0, 0.2}},
	CheckSetting:  {WrongVent: {0, 0.2}},
	CheckAssembly: {HoleElsewhere: {0, 0.15}},
	CleanAll:      {ConstantGap: {0.7, 1}, WornCushion: {0.8, 1}},
	ReseatMask:    {ConstantGap: {0.4, 1}, LiftOff: {0.4, 1}, WornCushion: {0.7, 1}, SideSleeping: {0.7, 1}},
	SupportHose:   {LiftOff: {0.6, 1}, ConstantGap: {0.8, 1}, SideSleeping: {0.6, 1}, WornCushion: {0.8, 1}},
	CloseLips:     {MouthOpening: {0.1, 0.7}},
	SupportOnSide: {SideSleeping: {0.2, 0.8}},
	StepStraps:    {ConstantGap: {0.85, 1}},
	NewCushion:    {ConstantGap: {0.9, 1}},
}

// worthIt is the chance of helping from which an action is listed.
const worthIt = 0.08

// always are the steps that are never left out, cheap and free of skin cost.
var always = map[ActionKind]bool{LookAtVent: true, CheckAssembly: true, ReseatMask: true}

// actions lists what to try in bedside order, with what each is expected to do
// to the leak at the highest pressure.
func (b *Bank) actions(p *posterior, a *Answer) []Action {
	drawn := b.sampled(p)
	var out []Action
	for k := LookAtVent; k <= NewCushion; k++ {
		if effects[k] == nil {
			continue
		}
		act := b.action(p, k, drawn)
		if always[k] || float64(act.Helps) >= worthIt {
			out = append(out, act)
		}
	}
	if a.Question.Seen[OxygenAdded] == 1 {
		out = inOrder(out, Action{Kind: CheckOxygen})
	}
	rim := p.after[LiftOff] + p.after[ConstantGap]
	if rim >= 0.2 { // shape: another size or type, without a figure
		out = inOrder(out, Action{Kind: CheckSize})
		out = inOrder(out, Action{Kind: OtherSize, SkinCost: true}, Action{Kind: OtherType, SkinCost: true})
	}
	if a.Causes[0].Cause == NothingUnusual {
		out = append(out, Action{Kind: Leave})
	}
	return out
}

// inOrder puts actions where the bedside order wants them.
func inOrder(list []Action, more ...Action) []Action {
	for _, m := range more {
		at := 0
		for at < len(list) && list[at].Kind < m.Kind {
			at++
		}
		list = append(list[:at], append([]Action{m}, list[at:]...)...)
	}
	return list
}

// a possibility is one draw of one cause with its weight in the answer.
type possibility struct {
	cause  Cause
	draw   *draw
	now    float64 // leak at the highest pressure, base included, m3/s
	base   float64
	weight float64
	u      float64 // evenly spread over the draws of a cause: where in an effect's range
}

// sampled lists the draws that count, over all causes.
func (b *Bank) sampled(p *posterior) (out []possibility) {
	const least = 1e-3
	base := float64(b.Priors.Noise.Base) * math.Pow(float64(b.Top/(10*unit.CmH2O)), b.Priors.Noise.BaseRise)
	for c := range CauseCount {
		n := 0
		for k := range p.share[c] {
			w := p.after[c] * p.share[c][k]
			if w < least/float64(len(b.draws[c])) {
				continue
			}
			d := &b.draws[c][k]
			// The golden section spreads any number of draws evenly.
			_, u := math.Modf(float64(n) * 0.6180339887498949)
			n++
			out = append(out, possibility{c, d, base + p.weights[c][k].size*d.shape[b.top], base, w, u})
		}
	}
	return out
}

// leaves gives the share of its leak that an action leaves a possibility.
func (k ActionKind) leaves(x *possibility) float64 {
	if d := x.draw.seal; d != nil {
		switch {
		case k == StepStraps:
			return d.step
		case k == NewCushion && x.cause == WornCushion:
			// Where the lip is misshapen a new one mends that as well.
			return d.change
		}
	}
	r, ok := effects[k][x.cause]
	if !ok {
		return 1
	}
	return r[0] + (r[1]-r[0])*x.u
}

func (b *Bank) action(p *posterior, k ActionKind, drawn []possibility) Action {
	a := Action{Kind: k, Predicted: true, SkinCost: k == StepStraps}
	now, after := make([]sample, len(drawn)), make([]sample, len(drawn))
	total, helps := 0.0, 0.0
	for i := range drawn {
		x := &drawn[i]
		then := x.base + (x.now-x.base)*k.leaves(x)
		now[i], after[i] = sample{x.now, x.weight}, sample{then, x.weight}
		total += x.weight
		if math.Abs(then) < math.Abs(x.now)*2/3 {
			helps += x.weight
		}
	}
	a.Now, a.After, a.Helps = spanOf(now), spanOf(after), unit.Fraction(helps/total)
	if k == StepStraps {
		a.Contact, a.Site = b.skinCost(p)
	}
	return a
}

func spanOf(s []sample) Span {
	q := quantiles(s, 0.1, 0.5, 0.9)
	return Span{unit.Flow(q[0]), unit.Flow(q[1]), unit.Flow(q[2])}
}

// skinCost tells what one step of the straps adds to the largest contact
// pressure, over the seals that count.
func (b *Bank) skinCost(p *posterior) (out [3]unit.Pressure, at face.Site) {
	var all []sample
	var by [face.SiteCount]float64
	for _, c := range []Cause{LiftOff, WornCushion} {
		for k, w := range flattened(p.share[c]) {
			if d := b.draws[c][k].seal; d != nil {
				all = append(all, sample{d.press, w})
				by[d.worst] += w
			}
		}
	}
	if len(all) == 0 {
		return out, at
	}
	for i, q := range quantiles(all, 0.1, 0.5, 0.9) {
		out[i] = unit.Pressure(q)
	}
	for s := range by {
		if by[s] > by[at] {
			at = face.Site(s)
		}
	}
	return out, at
}
