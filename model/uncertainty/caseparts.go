package uncertainty

import (
	"math"
	"slices"

	"tautline/model/circuit"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/gas"
	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/unit"
	"tautline/model/vent"
)

// record finds a record in a list; the zero record where there is none.
func record(all []unit.Parameter, name string) (unit.Parameter, bool) {
	i := slices.IndexFunc(all, func(p unit.Parameter) bool { return p.Name == name })
	if i < 0 {
		return unit.Parameter{}, false
	}
	return all[i], true
}

// mask lists cushion, weight and vent.
func (l *collector) mask() {
	m := &l.c.Mask
	all := mask.Parameters(m.Type, m.Size)
	add := func(name string, at float64, set func(*mask.Mask, float64)) {
		if p, ok := record(all, name); ok {
			l.add(p, at, func(c *fit.Case, v float64) { set(&c.Mask, v) })
		}
	}
	add(mask.ContactWidth, float64(m.Width), func(m *mask.Mask, v float64) { m.Width = unit.Length(v) })
	add(mask.WallRecord, float64(m.Cushion.Stiffness), func(m *mask.Mask, v float64) { m.Cushion.Stiffness = unit.Foundation(v) })
	add(mask.Bottoming, float64(m.Cushion.Bottoming), func(m *mask.Mask, v float64) { m.Cushion.Bottoming = unit.Length(v) })
	add(mask.Stiffening, m.Cushion.Stiffening, func(m *mask.Mask, v float64) { m.Cushion.Stiffening = v })
	add(mask.FlapShare, float64(m.Cushion.FlapShare), func(m *mask.Mask, v float64) { m.Cushion.FlapShare = unit.Fraction(v) })
	add(mask.FlapReach, float64(m.Cushion.FlapReach), func(m *mask.Mask, v float64) { m.Cushion.FlapReach = unit.Length(v) })
	add(mask.WeightRecord, float64(m.Weight), func(m *mask.Mask, v float64) { m.Weight = unit.Force(v) })
	l.add(vent.Tolerance, 1, func(c *fit.Case, v float64) { c.Mask.Vent = c.Mask.Vent.Times(v) })
}

// straps lists their stiffness, which all share, and how the pull is shared
// out between the pairs.
func (l *collector) straps() {
	m := &l.c.Mask
	all := mask.Parameters(m.Type, m.Size)
	if p, ok := record(all, mask.StrapSpring); ok && len(m.Straps) > 0 {
		usual := p.SI()
		l.add(p, usual, func(c *fit.Case, v float64) {
			c.Mask.Straps = slices.Clone(c.Mask.Straps)
			for i := range c.Mask.Straps {
				c.Mask.Straps[i].Stiffness *= unit.Stiffness(v / usual)
			}
		})
	}
	for _, s := range m.Straps {
		if s.Pull > 0 {
			return // pulls stated one by one leave no share open
		}
	}
	if p, ok := record(all, mask.UpperPart); ok {
		if upper, _ := mask.UpperShare(m.Type); upper != l.c.Straps.Upper {
			p = p.With(float64(l.c.Straps.Upper))
		}
		l.add(p, float64(l.c.Straps.Upper), func(c *fit.Case, v float64) { c.Straps.Upper = unit.Fraction(v) })
	}
	left := fit.LeftRecord
	if l.c.Straps.Left != unit.Fraction(left.SI()) {
		left = left.With(float64(l.c.Straps.Left))
	}
	l.add(left, float64(l.c.Straps.Left), func(c *fit.Case, v float64) { c.Straps.Left = unit.Fraction(v) })
}

// face lists its size, its shape at every site, and what lies under the skin.
func (l *collector) face() {
	f := &l.c.Face
	if l.c.Mismatch == nil {
		l.add(face.LengthRecord, float64(f.Length), func(c *fit.Case, v float64) { c.Face.Length = unit.Length(v) })
		l.add(face.WidthRecord, float64(f.Width), func(c *fit.Case, v float64) { c.Face.Width = unit.Length(v) })
		l.add(face.NoseRecord, float64(f.NoseWidth), func(c *fit.Case, v float64) { c.Face.NoseWidth = unit.Length(v) })
	}
	l.tissueShare()
	if f.Beard != [face.SiteCount]unit.Length{} {
		l.add(face.HairGapRecord, float64(l.c.HairThickness), func(c *fit.Case, v float64) { c.HairThickness = unit.Length(v) })
	}
	for _, p := range pairs(l.c.Mask.Sites()) {
		l.shape(p)
		l.tissue(p)
	}
	l.features()
}

// tissueShare lists what turns the modulus of any tissue into a rim's.
func (l *collector) tissueShare() {
	l.add(face.FoundationShare, l.c.TissueShare, func(c *fit.Case, v float64) { c.TissueShare = v })
}

// shape draws what a tick leaves open at a pair of sites, for both together and
// for the difference. A mismatch that was given segment by segment stays.
func (l *collector) shape(p pair) {
	if l.c.Mismatch != nil {
		return
	}
	named := func(r unit.Parameter) unit.Parameter {
		r.Name += ", " + p.name
		if l.stated("deviation, " + p.left.String()) {
			r = r.With(0)
		}
		return r
	}
	l.add(named(face.ShapeGuess), 0, func(c *fit.Case, v float64) {
		c.Face.Deviation[p.left] += unit.Length(v)
		if p.two {
			c.Face.Deviation[p.left.Mirror()] += unit.Length(v)
		}
	})
	if p.two {
		l.add(named(face.SideGuess), 0, func(c *fit.Case, v float64) {
			c.Face.Deviation[p.left] += unit.Length(v / 2)
			c.Face.Deviation[p.left.Mirror()] -= unit.Length(v / 2)
		})
	}
}

// tissue draws stiffness and depth under a pair of sites; both sides move in
// the same proportion.
func (l *collector) tissue(p pair) {
	at := l.c.Face.Tissue[p.left]
	add := func(r unit.Parameter, name string, at float64, scale func(*face.Tissue, float64)) {
		if l.stated(name + ", " + p.left.String()) {
			r = r.With(at)
		}
		r.Name = name + ", " + p.name
		l.add(r, at, func(c *fit.Case, v float64) {
			scale(&c.Face.Tissue[p.left], v/at)
			if p.two {
				scale(&c.Face.Tissue[p.left.Mirror()], v/at)
			}
		})
	}
	add(*face.ModulusOf(p.left), "tissue modulus", float64(at.Modulus),
		func(t *face.Tissue, by float64) { t.Modulus *= unit.Pressure(by) })
	add(*face.ThicknessOf(p.left), "tissue thickness", float64(at.Thickness),
		func(t *face.Tissue, by float64) { t.Thickness *= unit.Length(by) })
}

// features draws how wide and how deep folds, scars and tubes are, all in the
// same proportion.
func (l *collector) features() {
	if len(l.c.Face.Features) == 0 || l.c.Mismatch != nil {
		return
	}
	add := func(name, meaning string, scale func(*face.Feature, float64)) {
		p := unit.Parameter{Name: name, Value: 1, Low: 0.1, High: 3, Meaning: meaning,
			Origin: unit.Assumed, Source: "folds and tubes are told by a tick, not measured"}
		l.add(p, 1, func(c *fit.Case, v float64) {
			c.Face.Features = slices.Clone(c.Face.Features)
			for i := range c.Face.Features {
				scale(&c.Face.Features[i], v)
			}
		})
	}
	add("feature width", "width of folds and tubes over what was told", func(f *face.Feature, by float64) { f.Width *= unit.Length(by) })
	add("feature depth", "depth of folds and tubes over what was told", func(f *face.Feature, by float64) { f.Depth *= unit.Length(by) })
}

// seal lists the numbers of the gap law.
func (l *collector) seal() {
	s := l.c.Seal
	l.add(seal.GapScale, s.GapScale, func(c *fit.Case, v float64) { c.Seal.GapScale = v })
	l.add(seal.Closing, s.Closing, func(c *fit.Case, v float64) { c.Seal.Closing = v })
	l.add(seal.FlapLifting, s.FlapLifting, func(c *fit.Case, v float64) { c.Seal.FlapLifting = v })
	l.add(seal.LossFactor, s.LossFactor, func(c *fit.Case, v float64) { c.Seal.LossFactor = v })
}

// circuit lists machine, hose and the gas in the mask.
func (l *collector) circuit() {
	k, g := &l.c.Circuit, &l.c.Gas
	add := func(all []unit.Parameter, name string, at float64, set func(*fit.Case, float64)) {
		if p, ok := record(all, name); ok {
			l.add(p, at, set)
		}
	}
	parts := circuit.Parameters()
	add(parts, "hose length", float64(k.Hose.Length), func(c *fit.Case, v float64) { c.Circuit.Hose.Length = unit.Length(v) })
	add(parts, "corrugation", k.Hose.Corrugation, func(c *fit.Case, v float64) { c.Circuit.Hose.Corrugation = v })
	add(parts, "fittings", k.Fittings, func(c *fit.Case, v float64) { c.Circuit.Fittings = v })
	add(parts, "machine's largest flow", float64(k.MaxFlow), func(c *fit.Case, v float64) { c.Circuit.MaxFlow = unit.Flow(v) })
	add(parts, "machine's droop", float64(k.Droop), func(c *fit.Case, v float64) { c.Circuit.Droop = unit.Pressure(v) })
	parts = gas.Parameters()
	add(parts, "mask gas temperature", float64(g.Temperature), func(c *fit.Case, v float64) { c.Gas.Temperature = unit.Temperature(v) })
	add(parts, "mask gas humidity", float64(g.Humidity), func(c *fit.Case, v float64) { c.Gas.Humidity = unit.Fraction(v) })
}

// positionSets sets a position's numbers by the names of their records.
var positionSets = map[string]func(*fit.Position, float64){
	"weight pressing":              func(p *fit.Position, v float64) { p.Pressing = unit.Fraction(v) },
	"weight hanging on the bridge": func(p *fit.Position, v float64) { p.Hanging = unit.Fraction(v) },
	"strap slackening":             func(p *fit.Position, v float64) { p.Slackening = unit.Fraction(v) },
	"jaw falling back":             func(p *fit.Position, v float64) { p.JawBack = unit.Length(v) },
	"bed pillow's push":            func(p *fit.Position, v float64) { p.Shove = unit.Force(v) },
}

// position lists what lying does, as far as this position has it.
func (l *collector) position() {
	for _, p := range l.c.Position.Parameters() {
		if p.Value == 0 { // this position does not have it
			continue
		}
		set := positionSets[p.Name]
		l.add(p, p.SI(), func(c *fit.Case, v float64) { set(&c.Position, v) })
	}
}

// wear lists how a used cushion has worn. The law's numbers hold for every
// case, so the cushion is set such that after the usual wear it is what the
// drawn wear would have left of it.
func (l *collector) wear() {
	w := l.c.Cushion
	if w.Days <= 0 {
		return
	}
	l.add(mask.WearTime, mask.WearTime.SI(), func(c *fit.Case, v float64) {
		c.Cushion.Days *= unit.Time(mask.WearTime.SI() / v) // only their ratio counts
	})
	add := func(p unit.Parameter, part func(*mask.Cushion) *float64) {
		l.add(p, p.SI(), func(c *fit.Case, v float64) {
			fresh := c.Mask.Cushion
			worn := c.Cushion.Apply(fresh)
			// Lost of the usual is usual*done, so drawn*done is v/usual of it.
			whole := *part(&fresh)
			usual := *part(&worn) / whole
			drawn := 1 - (1-usual)*v/p.SI()
			*part(&c.Mask.Cushion) = whole * math.Max(drawn, 0.05) / usual
		})
	}
	add(mask.WearSoftening, func(c *mask.Cushion) *float64 { return (*float64)(&c.Stiffness) })
	add(mask.WearShare, func(c *mask.Cushion) *float64 { return (*float64)(&c.FlapShare) })
	add(mask.WearReach, func(c *mask.Cushion) *float64 { return (*float64)(&c.FlapReach) })
}
