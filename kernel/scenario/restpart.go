package scenario

import (
	"strings"

	"tautline/model/circuit"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/gas"
	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/skin"
	"tautline/model/unit"
)

var careWords = []string{"weekly", "daily", "rarely"}

// cushion reads how long the cushion has been used and how it was cared for.
func (r *reader) cushion(top *section) {
	s, _ := top.section("cushion")
	r.inputs.add(mask.WearLimit, mask.WearTime, mask.WearSoftening, mask.WearReach)
	if v, ok := s.quantity("age", unit.TimeKind, mask.WearLimit.Name); ok {
		r.q.Case.Cushion.Days = unit.Time(v)
	}
	if w, ok := s.word("care", careWords); ok {
		r.q.Case.Cushion.Care = map[string]mask.Care{"weekly": mask.CareWeekly, "daily": mask.CareDaily, "rarely": mask.CareRarely}[w]
	}
	s.done()
}

func positionNames() []string {
	var names []string
	for _, p := range fit.Positions() {
		names = append(names, p.Name)
	}
	return names
}

func (r *reader) posture(top *section) {
	s, _ := top.section("posture")
	p := &r.q.Case.Position
	if w, ok := s.word("position", positionNames()); ok {
		*p, _ = fit.FindPosition(w)
	} else if !s.has("position") {
		s.missing("position", `position = "on the back", "sitting", "on the left side" or "on the right side"`)
	}
	r.inputs.add(p.Parameters()...)
	if v, ok := s.quantity("pressing", unit.FractionKind, "weight pressing"); ok {
		p.Pressing = unit.Fraction(v)
	}
	if v, ok := s.quantity("hanging", unit.FractionKind, "weight hanging on the bridge"); ok {
		p.Hanging = unit.Fraction(v)
	}
	if v, ok := s.quantity("slackening", unit.FractionKind, "strap slackening"); ok {
		p.Slackening = unit.Fraction(v)
	}
	if v, ok := s.quantity("jaw_back", unit.LengthKind, "jaw falling back"); ok {
		p.JawBack = unit.Length(v)
	}
	if v, ok := s.quantity("shove", unit.ForceKind, "bed pillow's push"); ok {
		p.Shove = unit.Force(v)
	}
	if id, ok := s.word("shove_site", siteIDs(r.q.Case.Mask.Sites())); ok {
		p.ShoveSite, _ = face.ParseSite(id)
	}
	s.done()
}

func (r *reader) pressure(top *section) {
	s, _ := top.section("pressure")
	low, high := fit.SetPressureRange, fit.SetPressureRange
	low.Name, low.Meaning = "therapy range, low", "lowest set pressure that will be met"
	high.Name, high.Meaning = "therapy range, high", "highest set pressure that will be met"
	r.inputs.add(fit.SetPressureRange)
	if v, ok := s.quantity("set", unit.PressureKind, fit.SetPressureRange.Name); ok {
		r.q.Pressure = unit.Pressure(v)
	} else if !s.has("set") {
		s.missing("set", `set = "12 cmH2O", the pressure at the machine`)
	}
	if v, ok := s.pair("range", unit.PressureKind, &fit.SetPressureRange); ok {
		r.q.Range = [2]unit.Pressure{unit.Pressure(v[0]), unit.Pressure(v[1])}
		r.inputs.add(low.With(v[0]), high.With(v[1]))
		if v[0] > v[1] || v[0] <= 0 {
			s.wrong("range", "goes from %s to %s: write the lower one first, above zero", r.q.Range[0], r.q.Range[1])
		}
	} else if !s.has("range") {
		s.missing("range", `range = ["4 cmH2O", "20 cmH2O"], the lowest and the highest pressure of the therapy`)
	}
	s.done()
}

func (r *reader) limit(top *section) {
	s, _ := top.section("limit")
	r.inputs.add(fit.LimitRecord)
	if v, ok := s.quantity("leak", unit.FlowKind, fit.LimitRecord.Name); ok {
		r.q.Limit = unit.Flow(v)
	} else if !s.has("leak") {
		s.missing("leak", `leak = "24 L/min", the unintentional leak that is still let pass`)
	}
	r.line(s)
	if s.has("worn") {
		r.inputs.add(fit.WornRecord)
	}
	if v, ok := s.quantity("worn", unit.TimeKind, fit.WornRecord.Name); ok {
		r.q.Worn = unit.Time(v)
	} else if r.q.Line.TakesTime() && !s.has("worn") {
		s.missing("worn", `worn = "7 h": the line "`+r.q.Line.Name+`" falls with the time worn`)
	}
	s.done()
}

// line reads a reference line: one's own pressure, or a published line's name.
func (r *reader) line(s *section) {
	var names []string
	for _, l := range skin.Lines() {
		names = append(names, l.Name)
	}
	text, isText := s.values["line"].(string)
	switch {
	case !s.has("line"):
		s.known = append(s.known, "line")
		s.missing("line", `line = "70 mmHg", or a published one: "`+strings.Join(names, `", "`)+`"`)
	case isText && !strings.ContainsAny(text, "0123456789"):
		if w, ok := s.word("line", names); ok {
			r.q.Line, _ = skin.FindLine(w)
			r.inputs.add(skin.RecordsOf(w)...)
		}
	default:
		r.inputs.add(fit.LineRecord)
		v, ok := s.quantity("line", unit.PressureKind, fit.LineRecord.Name)
		if !ok {
			return
		}
		var err error
		if r.q.Line, err = skin.Chosen(unit.Pressure(v)); err != nil {
			s.wrong("line", "cannot be used: %v", err)
		}
	}
}

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

func (r *reader) gas(top *section) {
	s, _ := top.section("gas")
	for _, p := range gas.Parameters() {
		if p.Name != "ambient pressure" { // the altitude stands for it
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
