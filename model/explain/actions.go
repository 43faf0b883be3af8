package explain

import (
	"math"

	"tautline/model/face"
	"tautline/model/unit"
)

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
		if k == CheckOxygen || k == CheckSize || k == EvenStraps {
			continue // no figures, or figures of their own below
		}
		act := b.action(p, k, drawn, a.Question.level())
		if always[k] || float64(act.Helps) >= worthIt {
			out = append(out, act)
		}
	}
	if a.Question.Seen[OxygenAdded] == 1 {
		out = inOrder(out, Action{Kind: CheckOxygen})
	}
	if p.said[LiftOff]+p.said[ConstantGap] >= 0.2 { // shape: another size or type
		out = inOrder(out, b.instead(drawn, a.Question.level())...)
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
		for at < len(list) && list[at].Kind <= m.Kind {
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
			w := p.said[c] * p.share[c][k]
			if w < least/float64(len(b.draws[c])) {
				continue
			}
			d := &b.draws[c][k]
			u := golden(n)
			n++
			out = append(out, possibility{c, d, base + p.weights[c][k].size*d.shape[b.top], base, w, u})
		}
	}
	return out
}

// golden gives numbers from 0 to 1 that are evenly spread, however many are
// taken: the fractional parts of multiples of the golden section.
func golden(n int) float64 {
	_, u := math.Modf(float64(n) * 0.6180339887498949)
	return u
}

// leaves gives the share of its leak that a step leaves a possibility.
func (x *possibility) leaves(k ActionKind) float64 {
	if d := x.draw.seal; d != nil {
		switch {
		case k == StepStraps:
			return d.step
		case k == NewCushion && x.cause == WornCushion:
			// Where the lip is misshapen a new one mends that as well.
			return d.change
		}
	}
	return k.leaves(x.cause, x.u)
}

// helped is how much of a leak has to go for a step to count as a help.
const helped = 1.0 / 3

// expect works out a step's figures from what it leaves the possibility i.
func expect(k ActionKind, drawn []possibility, leaves func(i int) float64) Action {
	a := Action{Kind: k, Predicted: true}
	now, after := make([]sample, len(drawn)), make([]sample, len(drawn))
	total, helps := 0.0, 0.0
	for i := range drawn {
		x := &drawn[i]
		then := x.base + (x.now-x.base)*leaves(i)
		now[i], after[i] = sample{x.now, x.weight}, sample{then, x.weight}
		total += x.weight
		if math.Abs(then) < math.Abs(x.now)*(1-helped) {
			helps += x.weight
		}
	}
	a.Now, a.After, a.Helps = spanOf(now), spanOf(after), unit.Fraction(helps/total)
	return a
}

func (b *Bank) action(p *posterior, k ActionKind, drawn []possibility, line float64) Action {
	a := expect(k, drawn, func(i int) float64 { return drawn[i].leaves(k) })
	if a.SkinCost = k == StepStraps; a.SkinCost {
		b.contacts(p, line).into(&a)
	}
	return a
}

func spanOf(s []sample) Span {
	q := quantiles(s, 0.1, 0.5, 0.9)
	return Span{unit.Flow(q[0]), unit.Flow(q[1]), unit.Flow(q[2])}
}

// contacts gathers what one step of the straps does to the largest contact
// pressure, over the seals that count.
func (b *Bank) contacts(p *posterior, line float64) *contacts {
	c := contacts{line: line}
	for _, cause := range []Cause{LiftOff, WornCushion} {
		for k, w := range flattened(p.share[cause]) {
			if d := b.draws[cause][k].seal; d != nil {
				c.add(d.firmest, d.press, d.worst, w)
			}
		}
	}
	return &c
}

// contacts gather changes of the largest contact pressure and where they are.
type contacts struct {
	line               float64 // Pa, the user's; 0 for none
	all                []sample
	by                 [face.SiteCount]float64
	weight, over, then float64 // of all, and of those past the line now and then
}

// add takes the largest contact now and its change [Pa], where it then is, and
// what it counts.
func (c *contacts) add(now, change float64, at face.Site, weight float64) {
	c.all = append(c.all, sample{change, weight})
	c.by[at] += weight
	c.weight += weight
	if now > c.line {
		c.over += weight
	}
	if now+change > c.line {
		c.then += weight
	}
}

// into gives an action the middle of the changes with the 10 to 90 % range, the
// site that is most often the firmest, and the shares past the line; nothing
// when none were gathered.
func (c *contacts) into(a *Action) {
	if len(c.all) == 0 {
		return
	}
	for i, q := range quantiles(c.all, 0.1, 0.5, 0.9) {
		a.Contact[i] = unit.Pressure(q)
	}
	for s := range c.by {
		if c.by[s] > c.by[a.Site] {
			a.Site = face.Site(s)
		}
	}
	if c.line > 0 {
		a.OverNow, a.Over = unit.Fraction(c.over/c.weight), unit.Fraction(c.then/c.weight)
	}
}
