package scenario

import (
	"tautline/model/airway"
	"tautline/model/unit"
)

// breath reads who breathes behind the mask: breathing, nose, mouth and a test
// leak. Each has an ordinary sleeper's as its default.
func (r *reader) breath(top *section) {
	source := r.setup.Source
	r.setup = airway.NewSetup(source)
	r.breathing(top)
	r.nose(top)
	r.mouth(top)
	r.testLeak(top)
}

// levels reads a lower pressure for breathing out; the one that is set is then
// the upper one.
func (r *reader) levels(s *section) {
	r.setup.Source = airway.Constant(r.q.Pressure)
	lower := airway.ExpirationRecord
	r.inputs.add(lower, airway.RiseTimeRecord)
	v, ok := s.quantity("expiration", unit.PressureKind, lower.Name)
	if ok {
		r.setup.Source = airway.TwoLevels(unit.Pressure(v), r.q.Pressure)
		if unit.Pressure(v) > r.q.Pressure && r.q.Pressure > 0 {
			s.wrong("expiration", "is %s, above the %s that is set: write the lower level, or leave it out", unit.Pressure(v), r.q.Pressure)
		}
	} else if !s.has("expiration") {
		r.record(lower.Name).Value = r.q.Pressure.CmH2O() // one level
	}
	if v, ok := s.quantity("rise", unit.TimeKind, airway.RiseTimeRecord.Name); ok {
		r.setup.Source.Rise = unit.Time(v)
	}
}

func (r *reader) breathing(top *section) {
	s, _ := top.section("breathing")
	b, minute := &r.setup.Breathing, airway.MinuteVolume
	if w, ok := s.word("sleep", []string{"non-REM", "REM"}); ok && w == "REM" {
		*b, minute = airway.SleepingREM(), airway.REMMinuteVolume
	}
	r.inputs.add(minute, airway.BreathRate, airway.InspiringShare, airway.ComplianceRecord, airway.AirwayRecord, airway.BreathsRecord)
	if v, ok := s.number("rate", airway.BreathRate.Name); ok {
		b.Rate = v / 60
	}
	if v, ok := s.quantity("inspiring", unit.FractionKind, airway.InspiringShare.Name); ok {
		b.Inspiring = unit.Fraction(v)
	}
	if v, ok := s.quantity("minute_volume", unit.FlowKind, minute.Name); ok {
		b.Minute = unit.Flow(v)
	}
	r.tidal(s, minute)
	if v, ok := s.quantity("compliance", unit.ComplianceKind, airway.ComplianceRecord.Name); ok {
		b.Lung = unit.Compliance(v)
	}
	if v, ok := s.quantity("resistance", unit.ResistanceKind, airway.AirwayRecord.Name); ok {
		b.Airway = unit.Resistance(v)
	}
	if v, ok := s.number("breaths", airway.BreathsRecord.Name); ok {
		if r.setup.Breaths = int(v); v != float64(int(v)) {
			s.wrong("breaths", "is %v: write a whole number", v)
		}
	}
	s.done()
}

// tidal reads a breath's volume, which with the rate is another way to give the
// minute volume.
func (r *reader) tidal(s *section, minute unit.Parameter) {
	v, ok := s.get("tidal_volume")
	if !ok {
		return
	}
	if s.has("minute_volume") {
		s.wrong("tidal_volume", "is given, and minute_volume as well: take one of the two out")
		return
	}
	path := below(s.path, "tidal_volume")
	volume, ok := r.parse(path, "tidal_volume", v, unit.VolumeKind)
	if flow := volume * r.setup.Breathing.Rate; ok && r.state(path, minute.Name, flow) {
		r.setup.Breathing.Minute = unit.Flow(flow)
	}
}

func (r *reader) nose(top *section) {
	s, _ := top.section("nose")
	n := &r.setup.Nose
	r.inputs.add(airway.NoseRecord, airway.SwollenRecord, airway.CurvedRecord, airway.RiseRecord, airway.LeakedRecord)
	if v, ok := s.quantity("resistance", unit.ResistanceKind, airway.NoseRecord.Name); ok {
		n.Rested = unit.Resistance(v)
	}
	if v, ok := s.quantity("after_leak", unit.ResistanceKind, airway.SwollenRecord.Name); ok {
		n.Swollen = unit.Resistance(v)
	}
	if v, ok := s.quantity("curved", unit.FractionKind, airway.CurvedRecord.Name); ok {
		n.Curved = unit.Fraction(v)
	}
	if v, ok := s.quantity("rise", unit.TimeKind, airway.RiseRecord.Name); ok {
		n.Rise = unit.Time(v)
	}
	if v, ok := s.quantity("leaked", unit.TimeKind, airway.LeakedRecord.Name); ok {
		*n = n.After(unit.Time(v), 1)
	}
	s.done()
}

func (r *reader) mouth(top *section) {
	s, _ := top.section("mouth")
	m := &r.setup.Mouth
	*m = m.Behind(r.q.Case.Mask.Type)
	strap := airway.ChinStrapRecord
	strap.Value = 0 // none unless stated
	r.inputs.add(airway.LipsRecord, strap, airway.PartedRecord, airway.JawDropRecord, airway.JawHeldRecord)
	if v, ok := s.flag("open"); ok {
		m.Open = v
	}
	if w, ok := s.word("palate", []string{"open", "shut"}); ok {
		m.Palate = w == "open"
	}
	if v, ok := s.quantity("lips", unit.PressureKind, airway.LipsRecord.Name); ok {
		m.Lips = unit.Pressure(v)
	}
	r.chinStrap(s)
	if v, ok := s.quantity("parted", unit.ResistanceKind, airway.PartedRecord.Name); ok {
		m.Parted = unit.Resistance(v)
	}
	if v, ok := s.quantity("jaw_drop", unit.LengthKind, airway.JawDropRecord.Name); ok {
		m.JawDrop = unit.Length(v)
	}
	if v, ok := s.quantity("jaw_held", unit.FractionKind, airway.JawHeldRecord.Name); ok {
		m.JawHeld = unit.Fraction(v)
	}
	s.done()
}

// chinStrap reads whether one is worn, or what it adds.
func (r *reader) chinStrap(s *section) {
	name := airway.ChinStrapRecord.Name
	if on, isFlag := s.values["chin_strap"].(bool); isFlag {
		if s.flag("chin_strap"); on {
			r.setup.Mouth = r.setup.Mouth.WithChinStrap()
			*r.record(name) = airway.ChinStrapRecord
		}
		return
	}
	if v, ok := s.quantity("chin_strap", unit.PressureKind, name); ok {
		r.setup.Mouth.ChinStrap = unit.Pressure(v)
	}
}

func (r *reader) testLeak(top *section) {
	s, there := top.section("test_leak")
	r.inputs.add(airway.TestLeakRecord)
	if v, ok := s.quantity("flow", unit.FlowKind, airway.TestLeakRecord.Name); ok {
		r.setup.TestLeak = airway.TestLeak{At10: unit.Flow(v), When: airway.Throughout}
	} else if there && !s.has("flow") {
		s.missing("flow", `flow = "20 L/min", through the test leak at 10 cmH2O`)
	}
	var whens []string
	for _, w := range airway.Whens() {
		whens = append(whens, string(w))
	}
	if w, ok := s.word("when", whens); ok {
		r.setup.TestLeak.When = airway.When(w)
	}
	s.done()
}
