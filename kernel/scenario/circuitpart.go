package scenario

import (
	"tautline/model/circuit"
	"tautline/model/fit"
	"tautline/model/gas"
	"tautline/model/seal"
	"tautline/model/unit"
)

// circuit reads machine and hose; each has an ordinary one as its default.
func (r *reader) circuit(top *section) {
	s, _ := top.section("circuit")
	r.inputs.add(circuit.Parameters()...)
	c := &r.q.Case.Circuit
	if v, ok := s.quantity("hose_length", unit.LengthKind, "hose length"); ok {
		c.Hose.Length = unit.Length(v)
	}
	if v, ok := s.quantity("hose_diameter", unit.LengthKind, "hose diameter"); ok {
		c.Hose.Diameter = unit.Length(v)
	}
	if v, ok := s.number("corrugation", "corrugation"); ok {
		c.Hose.Corrugation = v
	}
	if v, ok := s.number("fittings", "fittings"); ok {
		c.Fittings = v
	}
	if v, ok := s.quantity("max_flow", unit.FlowKind, "machine's largest flow"); ok {
		c.MaxFlow = unit.Flow(v)
	}
	if v, ok := s.quantity("droop", unit.PressureKind, "machine's droop"); ok {
		c.Droop = unit.Pressure(v)
	}
	if v, ok := s.flag("compensates"); ok {
		c.Compensates = v
	}
	s.done()
}

// gas reads the state of the gas in the mask. The altitude stands for the
// ambient pressure, which nobody has at hand.
func (r *reader) gas(top *section) {
	s, _ := top.section("gas")
	for _, p := range gas.Parameters() {
		if p.Name != "ambient pressure" {
			r.inputs.add(p)
		}
	}
	g := &r.q.Case.Gas
	if v, ok := s.quantity("temperature", unit.TemperatureKind, "mask gas temperature"); ok {
		g.Temperature = unit.Temperature(v)
	}
	if v, ok := s.quantity("humidity", unit.FractionKind, "mask gas humidity"); ok {
		g.Humidity = unit.Fraction(v)
	}
	if v, ok := s.quantity("altitude", unit.LengthKind, "altitude"); ok {
		at, err := g.AtAltitude(unit.Length(v))
		if err != nil {
			s.wrong("altitude", "cannot be used: %v", err)
			return
		}
		*g = at
	}
	s.done()
}

// constants reads the numbers of the seal that no bedside has, for those who
// want the very same case in another program.
func (r *reader) constants(top *section) {
	s, _ := top.section("constants")
	r.inputs.add(seal.Parameters()...)
	r.inputs.add(fit.SegmentsRecord)
	c := &r.q.Case
	if p := r.record(fit.SegmentsRecord.Name); c.Segments != 0 {
		p.Value = float64(c.Segments)
	}
	r.gapConstants(s)
	if v, ok := s.quantity("tissue_share", unit.FractionKind, "tissue foundation share"); ok {
		c.TissueShare = v
	}
	if v, ok := s.quantity("hair", unit.LengthKind, "hair thickness"); ok {
		c.HairThickness = unit.Length(v)
	}
	if v, ok := s.number("segments", fit.SegmentsRecord.Name); ok {
		c.Segments = int(v)
		switch {
		case v != float64(int(v)):
			s.wrong("segments", "is %v: write a whole number", v)
		case c.Mismatch != nil && c.Segments*len(c.Mask.Rims) != len(c.Mismatch):
			s.wrong("segments", "is %d, and the mismatch is given for %d: take one of the two out", c.Segments, len(c.Mismatch))
		}
	}
	s.done()
}

// gapConstants reads the law of the gap.
func (r *reader) gapConstants(s *section) {
	c := &r.q.Case.Seal
	if v, ok := s.quantity("gap_scale", unit.LengthKind, seal.GapScale.Name); ok {
		c.GapScale = v
	}
	if v, ok := s.quantity("closing", unit.PressureKind, seal.Closing.Name); ok {
		c.Closing = v
	}
	if v, ok := s.quantity("flap_lifting", unit.FoundationKind, seal.FlapLifting.Name); ok {
		c.FlapLifting = v
	}
	if v, ok := s.number("loss_factor", seal.LossFactor.Name); ok {
		c.LossFactor = v
	}
}
