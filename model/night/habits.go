package night

import (
	"fmt"

	"tautline/model/fit"
	"tautline/model/unit"
)

// Habits is how somebody sleeps and what mask, straps and bed do meanwhile. Each
// number has a record of the same name.
type Habits struct {
	Shares []Share // of the positions; they need not add up to one

	TurnRate   float64 // an hour
	TurnSpread float64 // from night to night, as a share of the rate

	Cycle, CycleSpread, FirstREM, LaterREM unit.Time
	VentilationNREM, VentilationREM        unit.Flow
	InspiredTime                           unit.Fraction
	ToneREM, ToneSpread                    unit.Fraction
	JawREM                                 unit.Length
	JawDrop                                unit.Length // by a mouth that stays open, behind a mask over the mouth

	Slack       unit.Fraction
	SlackTime   unit.Time
	SlackSpread float64
	Slip        unit.Fraction
	Evening     float64
	Askew       unit.Fraction

	WarmSoftening unit.Fraction
	WarmTime      unit.Time

	CutOut       bool // the bed pillow has a cut-out for the mask
	CutOutLeaves unit.Fraction
}

// A Share is the part of the night that is spent in a position.
type Share struct {
	Position fit.Position
	Share    unit.Fraction
}

// UsualHabits gives the records' values: on the back and on both sides alike.
func UsualHabits() Habits {
	back := unit.Fraction(BackShare.SI())
	side := (1 - back) / 2
	return Habits{Shares: []Share{{named("on the back"), back}, {named("on the left side"), side}, {named("on the right side"), side}},
		TurnRate: TurnRate.Value, TurnSpread: TurnRate.SD / TurnRate.Value,
		Cycle: unit.Time(CycleLength.SI()), CycleSpread: unit.Time(CycleLength.SD) * unit.Minute,
		FirstREM: unit.Time(FirstREM.SI()), LaterREM: unit.Time(LaterREM.SI()),
		VentilationNREM: unit.Flow(VentilationNREM.SI()), VentilationREM: unit.Flow(VentilationREM.SI()),
		InspiredTime: unit.Fraction(InspiredTime.SI()), ToneREM: unit.Fraction(ToneREM.SI()),
		ToneSpread: unit.Fraction(ToneSpread.SI()), JawREM: unit.Length(JawREM.SI()),
		Slack: unit.Fraction(Slack.SI()), SlackTime: unit.Time(SlackTime.SI()), SlackSpread: SlackSpread.SI(),
		Slip: unit.Fraction(Slip.SI()), Evening: Evening.SI(), Askew: unit.Fraction(Askew.SI()),
		WarmSoftening: unit.Fraction(WarmSoftening.SI()), WarmTime: unit.Time(WarmTime.SI()),
		CutOutLeaves: unit.Fraction(CutOutLeaves.SI())}
}

// Still gives nights in which nothing happens: no turn, no slackening, no
// warming, every night alike. What is left is the position and, where the mouth
// opens, the stage.
func (h Habits) Still() Habits {
	h.TurnRate, h.TurnSpread, h.Slack, h.Slip, h.SlackSpread, h.Evening, h.Askew = 0, 0, 0, 0, 0, 0, 0
	h.WarmSoftening, h.JawREM, h.ToneSpread = 0, 0, 0
	return h
}

func named(position string) fit.Position {
	p, _ := fit.FindPosition(position)
	return p
}

func (h *Habits) check() error {
	sum := unit.Fraction(0)
	for _, s := range h.Shares {
		if !(s.Share >= 0 && s.Share <= 1) {
			return fmt.Errorf("the share of the night %s is %s: it lies between 0 and 100 %%", s.Position.Name, s.Share)
		}
		sum += s.Share
	}
	if !(sum > 0) {
		return fmt.Errorf("no position of the night has any share: state one, such as on the back")
	}
	for _, c := range []struct {
		record unit.Parameter
		si     float64
	}{
		{TurnRate, h.TurnRate}, {CycleLength, float64(h.Cycle)}, {FirstREM, float64(h.FirstREM)}, {LaterREM, float64(h.LaterREM)},
		{VentilationNREM, float64(h.VentilationNREM)}, {VentilationREM, float64(h.VentilationREM)},
		{InspiredTime, float64(h.InspiredTime)}, {ToneREM, float64(h.ToneREM)}, {ToneSpread, float64(h.ToneSpread)}, {JawREM, float64(h.JawREM)},
		{Slack, float64(h.Slack)}, {SlackTime, float64(h.SlackTime)}, {SlackSpread, h.SlackSpread}, {Slip, float64(h.Slip)},
		{Evening, h.Evening}, {Askew, float64(h.Askew)}, {WarmSoftening, float64(h.WarmSoftening)},
		{WarmTime, float64(h.WarmTime)}, {CutOutLeaves, float64(h.CutOutLeaves)},
	} {
		if err := c.record.Check(c.si); err != nil {
			return err
		}
	}
	return nil
}
