package night

import (
	"errors"
	"math"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/seal"
	"tautline/model/unit"
)

// A state is what a fitting is put on anew for; straps alone are set otherwise
// on one that is there.
type state struct {
	position int
	stage    Stage
	warm     int
}

// A bed holds the fittings of all states of a question. It does not change once
// it is made; several nights share it.
type bed struct {
	q        *Question
	fittings map[state]*fit.Fitting // nil where the mask tips off
}

func newBed(q *Question) (*bed, error) {
	b := &bed{q, map[state]*fit.Fitting{}}
	parts := 1
	if q.Habits.WarmSoftening > 0 {
		parts = len(warming)
	}
	for i, s := range q.Habits.Shares {
		if s.Share <= 0 {
			continue
		}
		for stage := range stageCount {
			for warm := range parts {
				on, err := fit.PutOn(b.at(state{i, stage, warm}))
				if errors.Is(err, seal.ErrTips) {
					on, err = nil, nil
				}
				if err != nil {
					return nil, err
				}
				b.fittings[state{i, stage, warm}] = on
			}
		}
	}
	return b, nil
}

// at gives the case of a state.
func (b *bed) at(s state) fit.Case {
	c, h := b.q.Case, &b.q.Habits
	p := h.Shares[s.position].Position
	if p.Name == c.Position.Name {
		p = c.Position // its numbers may be stated otherwise
	}
	if h.CutOut {
		p.Shove *= unit.Force(h.CutOutLeaves)
	}
	if s.stage == REM && p.JawBack > 0 {
		p.JawBack += h.JawREM
	}
	p.JawBack += h.JawDrop
	c.Hose.Toward = hangs(c.Hose.Toward, p)
	c.Position = p
	if h.WarmSoftening > 0 {
		c.Mask.Cushion.Stiffness *= unit.Foundation(1 - float64(h.WarmSoftening)*warmth(s.warm))
	}
	return c
}

// hangs gives where an unsupported hose pulls: as stated, which is towards the
// feet, on the back or sitting; on a side it hangs towards the mattress.
// Assumed: it hangs by its weight.
func hangs(stated unit.Angle, p fit.Position) unit.Angle {
	switch p.ShoveSite {
	case face.CheekLeft:
		return 0
	case face.CheekRight:
		return math.Pi
	}
	return stated
}

// sleep goes through one night, spell by spell.
func (b *bed) sleep(night int) ([]Spell, error) {
	q, h := b.q, &b.q.Habits
	p := q.plan(night)
	lips := q.stream(night, 4)
	var tone float64
	edges := p.edges(h, q.Hours)
	turn, stage, warm := 0, 0, 0
	spells := make([]Spell, 0, len(edges))
	for i, from := range edges {
		to := q.Hours
		if i+1 < len(edges) {
			to = edges[i+1]
		}
		turned, before := false, stage
		for turn+1 < len(p.turns) && p.turns[turn+1].at <= from {
			turn, turned = turn+1, true
		}
		for stage+1 < len(p.stages) && p.stages[stage+1].at <= from {
			stage++
		}
		for h.WarmSoftening > 0 && warm+1 < len(warming) && unit.Time(warming[warm+1])*h.WarmTime <= from {
			warm++
		}
		if i == 0 || turned || stage != before {
			tone = float64(h.ToneSpread) * lips.NormFloat64()
		}
		now := p.turns[turn]
		s := Spell{From: from, Length: to - from, Position: h.Shares[now.position].Position.Name,
			Stage: p.stages[stage].stage, Turned: turned}
		s.Straps = b.pull(&p, (from+to)/2, turn)
		s.Left = unit.Fraction(min(max(float64(q.Case.Straps.Left)+now.left, 0), 1))
		s.Tone = h.tone(s.Stage, tone)
		if err := b.balance(&s, b.fittings[state{now.position, s.Stage, warm}]); err != nil {
			return nil, err
		}
		spells = append(spells, s)
	}
	return spells, nil
}

// pull gives what is left of the straps' pull at a time of the night.
//
//	F = F0 * evening * (1 - A (1 - exp(-t/tau)) - slip * turns)
//
// inputs: time [s], turns so far; result: sum of pulls [N] as set at zero
// pressure; down to 5 % of the stated pull. Source: assumed. Example: 3 N after
// eight hours and ten turns, with the usual habits: 2.7 N.
func (b *bed) pull(p *plan, t unit.Time, turns int) unit.Force {
	h := &b.q.Habits
	lost := p.slack*(1-math.Exp(-float64(t/h.SlackTime))) + float64(h.Slip)*float64(turns)
	return b.q.Case.Total() * unit.Force(p.pull*max(0.05, 1-lost))
}

// balance fills in what a spell comes to.
func (b *bed) balance(s *Spell, on *fit.Fitting) error {
	if on == nil {
		s.Tipped = true
		return nil
	}
	straps := on.Case.Straps
	straps.Pull, straps.Left = s.Straps, s.Left
	on, err := on.WithStraps(straps)
	var p fit.Point
	if err == nil {
		p, err = on.Balanced(b.q.Pressure, b.mouth(s.Tone))
	}
	if errors.Is(err, seal.ErrTips) {
		s.Tipped = true
		return nil
	}
	if err != nil {
		return err
	}
	s.Mask, s.Leak, s.Sites = p.Mask, p.Leak, p.Sites
	if m := b.mouth(s.Tone); m != nil {
		s.Mouth = m(p.Mask)
	}
	s.Margin = unit.Pressure(math.Inf(1))
	for _, at := range p.Sites {
		s.Margin = min(s.Margin, at.Margin)
	}
	s.Low, s.High = b.swing(s, p.Vent+p.Leak+s.Mouth)
	return nil
}

// tone gives how hard lips and jaw close, from what was drawn for this while.
func (h *Habits) tone(stage Stage, drawn float64) unit.Fraction {
	mean := 1.0
	if stage == REM {
		mean = float64(h.ToneREM)
	}
	return unit.Fraction(max(0, mean+drawn))
}

// mouth gives the mouth's leak at a tone; nil when it is closed.
func (b *bed) mouth(tone unit.Fraction) func(unit.Pressure) unit.Flow {
	if b.q.Mouth == nil {
		return nil
	}
	return func(p unit.Pressure) unit.Flow { return b.q.Mouth.Leak(p, tone) }
}

// swing gives the mask pressure while breathing in and while breathing out: the
// hose loses more when the breath is drawn through it, less when it comes back.
//
//	p = p0 - loss(Q + V/x) + loss(Q), and with Q - V/(1-x) for breathing out
//
// inputs: flow out of the mask [m3/s], minute ventilation V, share x of the
// breath spent breathing in; result: pressures [Pa]; quasi-static, so that the
// leak's own change over a breath is left out. Source: minute ventilation
// Douglas et al. 1982. Example: 12 cmH2O, 45 L/min, NREM: 11.4 to 12.4 cmH2O.
func (b *bed) swing(s *Spell, out unit.Flow) (low, high unit.Pressure) {
	c, h := b.q.Case.Circuit, &b.q.Habits
	if c.Compensates {
		return s.Mask, s.Mask
	}
	v, x := h.VentilationNREM, unit.Flow(h.InspiredTime)
	if s.Stage == REM {
		v = h.VentilationREM
	}
	now := c.Loss(out, b.q.Case.Gas)
	low = s.Mask + now - c.Loss(out+v/x, b.q.Case.Gas)
	return low, s.Mask + now - c.Loss(out-v/(1-x), b.q.Case.Gas)
}
