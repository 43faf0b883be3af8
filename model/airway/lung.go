package airway

import (
	"errors"

	"tautline/model/unit"
	"tautline/model/vent"
)

const (
	douglas = "N. J. Douglas et al., Thorax 1982;37:840-4"
	sleeper = "ordinary sleep, from memory"
)

// The records of breathing. Minute volume, rate and inspiring share are those
// that the washout of a mask goes by.
var (
	MinuteVolume    = fromVent("minute volume")
	BreathRate      = fromVent("breathing rate")
	InspiringShare  = fromVent("inspiring share")
	REMMinuteVolume = unit.Parameter{Name: "minute volume, REM", Symbol: "VE", Unit: "L/min",
		Value: 6.46, Low: 3, High: 20, Likely: [2]float64{4.5, 9}, Origin: unit.Read, Source: douglas + ", REM sleep",
		Meaning: "gas breathed out per minute in REM sleep"}
	ComplianceRecord = unit.Parameter{Name: "compliance", Symbol: "C", Unit: "L/cmH2O",
		Value: 0.075, Low: 0.01, High: 0.3, SD: 0.015, Origin: unit.Memory, Source: "0.05 to 0.1 L/cmH2O, " + sleeper,
		Meaning: "volume per pressure of lung and chest together"}
	AirwayRecord = unit.Parameter{Name: "airway resistance", Symbol: "Raw", Unit: "cmH2O s/L",
		Value: 2.8, Low: 0.2, High: 50, SD: 0.7, Origin: unit.Memory,
		Source:  "4 to 6 cmH2O s/L with the nose, " + sleeper + "; the nose's 2.2 taken off",
		Meaning: "pressure per flow below the nose"}
)

// fromVent takes a record from the package that holds it.
func fromVent(name string) unit.Parameter {
	for _, p := range vent.Parameters() {
		if p.Name == name {
			return p
		}
	}
	panic("airway: no record " + name)
}

// Breathing is how a person breathes: a lung of one compartment and an effort
// that draws. The zero value does not breathe; take Sleeping and change what
// differs.
type Breathing struct {
	Rate      float64         // breaths per second
	Minute    unit.Flow       // minute volume that the effort aims at
	Inspiring unit.Fraction   // Ti/Ttot, share of a cycle that the effort takes
	Lung      unit.Compliance // lung and chest wall
	Airway    unit.Resistance // below the nose
}

// Sleeping is quiet breathing in non-REM sleep.
func Sleeping() Breathing {
	return Breathing{Rate: BreathRate.Value / 60, Minute: unit.Flow(MinuteVolume.SI()),
		Inspiring: unit.Fraction(InspiringShare.SI()), Lung: unit.Compliance(ComplianceRecord.SI()),
		Airway: unit.Resistance(AirwayRecord.SI())}
}

// SleepingREM is the same in REM sleep, which breathes less.
func SleepingREM() Breathing {
	b := Sleeping()
	b.Minute = unit.Flow(REMMinuteVolume.SI())
	return b
}

// Cycle is the time from one breath to the next.
func (b Breathing) Cycle() unit.Time { return unit.Time(1 / b.Rate) }

// Tidal is the volume of one breath that the effort aims at.
func (b Breathing) Tidal() unit.Volume { return unit.Volume(float64(b.Minute) / b.Rate) }

// Check refuses breathing outside the range that the model holds for.
func (b Breathing) Check() error {
	return errors.Join(MinuteVolume.Check(float64(b.Minute)), BreathRate.Check(b.Rate*60),
		InspiringShare.Check(float64(b.Inspiring)), ComplianceRecord.Check(float64(b.Lung)),
		AirwayRecord.Check(float64(b.Airway)))
}
