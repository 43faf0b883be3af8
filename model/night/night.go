// Package night lets a mask be slept in: simulated nights with turns, sleep
// stages, straps that slacken and a cushion that warms, and what leak and skin
// contact do meanwhile. Each night has a random stream of its own, so the
// answer hangs on the seed alone and not on how many processors share the work.
// Nobody wakes in it, takes the mask off or sets the straps anew: that would
// have to be invented.
package night

import (
	"errors"
	"fmt"
	"math"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/skin"
	"tautline/model/unit"
)

// A Question is a case slept in. Limit, statistic and line have no default.
type Question struct {
	Case     fit.Case // its position counts only for the numbers of that position
	Pressure unit.Pressure
	Limit    unit.Flow // of all that leaks unintentionally, cushion and mouth together
	// Statistic is which figure of a night's leak is held against the limit
	// when nights are counted.
	Statistic Statistic
	Line      skin.Line
	Hours     unit.Time
	Nights    int
	Seed      uint64
	Habits    Habits
	// Mouth is what the mouth lets out; nil keeps it closed, or within the mask.
	Mouth Mouth
	// Workers is how many nights are slept at once; 0 for as many as there are
	// processors. It does not change the answer.
	Workers int
	// Told, when given, hears how many nights are done, from any goroutine.
	Told func(nights int)
}

// A Mouth gives the mean leak through the mouth at a mask pressure, for a tone
// of lips and jaw of which 1 is the mean of NREM sleep. It must not fall with
// pressure. Several goroutines ask it at once.
type Mouth interface {
	Leak(mask unit.Pressure, tone unit.Fraction) unit.Flow
}

// A Statistic is a figure that stands for a night's leak.
type Statistic string

// The statistics, by the names that files use.
const (
	Mean    Statistic = "mean"
	Median  Statistic = "median"
	P95     Statistic = "95th percentile"
	Largest Statistic = "largest"
)

// Statistics lists them.
func Statistics() []Statistic { return []Statistic{Mean, Median, P95, Largest} }

// A Stage is a stage of sleep, as far as ventilation and mouth differ.
type Stage int

// The stages.
const (
	NREM Stage = iota
	REM
	stageCount
)

// String names the stage.
func (s Stage) String() string { return [...]string{"NREM", "REM"}[s] }

// A Spell is a stretch of a night in which nothing but the straps' slow
// slackening changes; the numbers are those of its middle.
type Spell struct {
	From, Length unit.Time // since the beginning of the night
	Position     string
	Stage        Stage
	Tone         unit.Fraction // of lips and jaw, 1 being the mean of NREM sleep
	Turned       bool          // a turn begins it
	Straps       unit.Force
	Left         unit.Fraction // the left straps' share of the pull
	Mask         unit.Pressure // mean over the breath
	Low, High    unit.Pressure // mean while breathing in and while breathing out
	Leak         unit.Flow     // past the cushion
	Mouth        unit.Flow     // through the mouth
	Margin       unit.Pressure // smallest net margin round the rim
	Sites        []fit.SiteState
	// Tipped is true where the straps can no longer hold the mask on the face;
	// the numbers are then not known.
	Tipped bool
}

// Total is all that leaks unintentionally.
func (s *Spell) Total() unit.Flow { return s.Leak + s.Mouth }

// A Band is how something is spread: a tenth of it lies below Low, half below
// Middle, a tenth above High.
type Band struct{ Low, Middle, High float64 }

// An Answer is what the nights come to. Fractions of time are of all nights
// together.
type Answer struct {
	Question Question
	// Leak holds the percentiles of the leak over all time of all nights, in
	// the order of Percents.
	Leak []unit.Flow
	// PerNight spreads each statistic of a night over the nights, in L/min.
	PerNight map[Statistic]Band
	// Values holds the stated statistic of each night, in the nights' order.
	Values []unit.Flow
	// Above is the share of each night above the limit, spread over nights, and
	// AboveMean its mean. Time with the mask tipped off counts as above.
	Above     Band
	AboveMean unit.Fraction
	// Over is how many nights have the statistic above the limit.
	Over int
	// Hours spreads the leak over nights along the night, in L/min.
	Hours []Hour
	// Positions and Stages part the time.
	Positions, Stages []Part
	Sites             []SiteLoad
	Top               face.Site // where the load on the skin is largest
	Turns             float64   // a night, mean
	Openings          []Opened
	Opened            float64       // turns a night that opened the seal, mean
	Tipped            unit.Fraction // of all time
	Swing             [2]unit.Pressure
	Mouth             unit.Flow // mean leak through the mouth
	// Example is the night whose statistic is nearest to the middle one, and
	// ExampleAt its number, counted from 1.
	Example   []Spell
	ExampleAt int
}

// Percents are the percentiles of Answer.Leak.
func Percents() []float64 { return []float64{5, 25, 50, 75, 95} }

// An Hour is a short stretch of the night and the leak in it over the nights.
type Hour struct {
	At   unit.Time // its middle
	Leak Band
}

// A Part is a share of the time with what it was like.
type Part struct {
	Name      string
	Share     unit.Fraction // of all time
	Leak, P95 unit.Flow     // median and 95th percentile
	Above     unit.Fraction // share of this part above the limit
}

// A SiteLoad is what the skin of one site met.
type SiteLoad struct {
	Site    face.Site
	Mean    unit.Pressure // contact, mean over all time
	Largest unit.Pressure // contact, the largest of all time
	// Load is the mean contact as a multiple of the line at the night's length.
	Load float64
	// Over is the share of time in which the contact is above the line as it
	// then stands.
	Over unit.Fraction
}

// An Opened counts the turns that opened the seal at a site.
type Opened struct {
	Site face.Site
	To   string  // the position turned to
	Each float64 // a night, mean
}

// Check refuses a question that cannot be answered, naming what is wrong.
func (q *Question) Check() error {
	if err := fit.SetPressureRange.Check(float64(q.Pressure)); err != nil {
		return err
	}
	if err := HoursRecord.Check(float64(q.Hours)); err != nil {
		return err
	}
	if err := NightsRecord.Check(float64(q.Nights)); err != nil {
		return err
	}
	switch {
	case !(q.Limit > 0) || math.IsInf(float64(q.Limit), 0):
		return errors.New("state a leak limit above zero, such as 24 L/min: there is no usual one")
	case !q.Line.IsSet():
		return errors.New("state a reference line for the skin, such as 70 mmHg: there is no usual one")
	case !known(q.Statistic):
		return fmt.Errorf("state which figure of a night is held against the limit: %q, %q, %q or %q; there is no usual one",
			Mean, Median, P95, Largest)
	}
	return q.Habits.check()
}

func known(s Statistic) bool {
	for _, k := range Statistics() {
		if s == k {
			return true
		}
	}
	return false
}
