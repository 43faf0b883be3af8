package words

import (
	"fmt"

	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/model/airway"
	"tautline/model/fit"
	"tautline/model/unit"
)

// A Breath is what whole breaths behind a mask come to. All its numbers can be
// read by name: b.Mouth, b.Leak, b.Swing, b.Estimate("whole breath").Leak.
type Breath struct {
	airway.Result
	question fit.Question
	extra    []picture.Option
}

// A BreathSetting is one thing that is set when breaths are followed.
type BreathSetting struct {
	name string
	set  func(*airway.Setup)
}

// String names the setting.
func (s BreathSetting) String() string { return s.name }

// Breath follows whole breaths at a set pressure: how much leaves by the mouth
// and when, how the mask pressure swings, what is left of a breath in the mask,
// and what a machine's leak figure would read.
//
// Equation: at each instant what machine and hose deliver is what mask vent, seal, nose and mouth take; the lung's volume follows from one instant to the next
// Unit: a pressure, such as 12*CmH2O
// Example: fit.Breath(12*CmH2O, ChinStrap())
func (f Fitting) Breath(set unit.Pressure, settings ...BreathSetting) Breath {
	s := airway.NewSetup(airway.Constant(set))
	c := f.model().Case
	s.Mouth = s.Mouth.Behind(c.Mask.Type)
	for _, with := range settings {
		if with.set != nil {
			with.set(&s)
		}
	}
	r, err := airway.Run(f.on, s)
	check(err)
	return Breath{Result: r, question: fit.Question{Case: c}}
}

// mouthOpen lets the jaw drop: the lips rest apart, and behind an oronasal mask
// the chin leaves the rim.
//
// Example: fit.Breath(12*CmH2O, MouthOpen())
func mouthOpen() BreathSetting {
	return BreathSetting{"mouth open", func(s *airway.Setup) { s.Mouth.Open = true }}
}

// palateShut shuts the palate, so that nothing reaches the lips.
//
// Example: fit.Breath(12*CmH2O, PalateShut())
func palateShut() BreathSetting {
	return BreathSetting{"palate shut", func(s *airway.Setup) { s.Mouth.Palate = false }}
}

// lips sets the pressure behind them above which resting lips part.
//
// Unit: a pressure; 3.9 cmH2O for the upper and 8.6 cmH2O for the lower lip are published
// Example: fit.Breath(12*CmH2O, Lips(8*CmH2O))
func lips(closing unit.Pressure) BreathSetting {
	check(airway.LipsRecord.Check(float64(closing)))
	return BreathSetting{"lips part at " + report.Airway(closing), func(s *airway.Setup) { s.Mouth.Lips = closing }}
}

// chinStrap puts on a chin strap, which adds to the pressure at which the lips
// part. It does not seal them.
//
// Example: fit.Breath(12*CmH2O, ChinStrap())
func chinStrap() BreathSetting {
	return BreathSetting{"chin strap", func(s *airway.Setup) { s.Mouth = s.Mouth.WithChinStrap() }}
}

// expiration sets a lower pressure for breathing out: the one that Breath is
// asked at is then the upper of two levels.
//
// Unit: a pressure, such as 4*CmH2O
// Example: fit.Breath(14*CmH2O, Expiration(4*CmH2O))
func expiration(lower unit.Pressure) BreathSetting {
	return BreathSetting{"expiration " + report.Airway(lower), func(s *airway.Setup) {
		s.Source = airway.TwoLevels(lower, s.Source.Inspiration)
	}}
}

// mouthLeaked says for how long the mouth has leaked already: the nose swells
// with it.
//
// Unit: a time, such as 10*Minute
// Example: fit.Breath(12*CmH2O, MouthLeaked(10*Minute))
func mouthLeaked(t unit.Time) BreathSetting {
	check(airway.LeakedRecord.Check(float64(t)))
	return BreathSetting{"mouth has leaked for " + t.String(), func(s *airway.Setup) { s.Nose = s.Nose.After(t, 1) }}
}

// remSleep breathes as in REM sleep, which is less.
//
// Example: fit.Breath(12*CmH2O, REM())
func remSleep() BreathSetting {
	return BreathSetting{"REM sleep", func(s *airway.Setup) { s.Breathing = airway.SleepingREM() }}
}

// testLeak adds a hole beside the seal, as one is fitted at the bench, given by
// its flow at 10 cmH2O and by when it is open: "throughout", "inspiration" or
// "expiration".
//
// Unit: a flow, such as 20*LPerMin
// Example: fit.Breath(12*CmH2O, TestLeak(20*LPerMin, "inspiration"))
func testLeak(at10 unit.Flow, when string) BreathSetting {
	check(airway.TestLeakRecord.Check(float64(at10)))
	var known []string
	for _, w := range airway.Whens() {
		if known = append(known, string(w)); string(w) == when {
			return BreathSetting{"test leak " + report.Flow(at10) + ", " + when,
				func(s *airway.Setup) { s.TestLeak = airway.TestLeak{At10: at10, When: w} }}
		}
	}
	panic(unknown("part of a breath", when, known))
}

// Estimate gives what one estimator would read, by its name in the table.
//
// Example: fit.Breath(12*CmH2O).Estimate("whole breath").Leak
func (b Breath) Estimate(name string) airway.Estimate {
	var known []string
	for _, e := range b.Estimates {
		if string(e.By) == name {
			return e
		}
		known = append(known, string(e.By))
	}
	panic(unknown("estimator", name, known))
}

// Sentence says what the breaths come to.
func (b Breath) Sentence() string {
	return report.BreathSentence(b.Result, b.question.Case.Position.Name)
}

// String is the answer as text: the sentences and the tables.
func (b Breath) String() string { return b.sheet().text() }

// Mimebundle shows the sentences, the traces and the tables.
func (b Breath) Mimebundle() map[string]any { return b.sheet().bundle() }

func (b Breath) sheet() sheet {
	if len(b.Samples) == 0 {
		panic(fmt.Errorf("this breath is empty; make one with fit.Breath(12*CmH2O)"))
	}
	sentences := append([]string{b.Sentence()}, report.BreathWhy(b.Result)...)
	return sheet{
		caution:   true,
		sentences: append(sentences, report.EstimateSentence(b.Result), report.BreathAfterwards(b.Result)),
		pictures: []*picture.Picture{picture.Breath(b.Result,
			append([]picture.Option{picture.Named(report.CaseName(b.question))}, b.extra...)...)},
		tables: []table{
			{caption: "Unintentional leak as each estimator would read it", head: 2, rows: report.EstimateRows(b.Result)},
			{caption: "Means over whole breaths", rows: report.BreathRows(b.Result)},
		},
	}
}
