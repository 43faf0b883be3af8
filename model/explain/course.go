package explain

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"tautline/model/unit"
)

// A Course is what the times of the readings tell: whether the leak at about
// one pressure changed while time went by, and how. It takes no part in the
// probabilities, since no law of it over time is known.
type Course struct {
	Kind CourseKind
	// Low to High is the span of the pressures that were looked at, From to To
	// that of the times, since the first reading.
	Low, High unit.Pressure
	From, To  unit.Time
	Readings  int
	// Before and After are mean leaks: of a step, before and after it; else at
	// the first and the last time, along the straight line.
	Before, After unit.Flow
	// Last and Next are the times between which a step lies; Turned tells that
	// it comes with a turn onto the side, or off it.
	Last, Next unit.Time
	Turned     bool
}

// A CourseKind says how a leak goes over time.
type CourseKind int

// The kinds.
const (
	NoTimes        CourseKind = iota // none given
	NotTellable                      // too few at about one pressure
	Steady                           // no change beyond the scatter
	AtOnce                           // a step fits clearly better than a straight line
	Slowly                           // a straight line fits clearly better than a step
	ChangesSomehow                   // it changes; at once or slowly cannot be told
)

var courseIDs = [...]string{"no_times", "not_tellable", "steady", "at_once", "slowly", "changes"}

// ID is the kind's name in files.
func (k CourseKind) ID() string { return courseIDs[k] }

// What it takes to speak of a course. The squares are of distances in standard
// deviations of a reading: by chance a straight line takes off more than 9 in
// three of a thousand cases, and a step at the best of several places seldom
// more than 12 (chi-squared distribution; the second as a rule of thumb).
const (
	fewestTimed  = 4
	lineTakesOff = 9.0
	stepTakesOff = 12.0
	clearlyLess  = 4.0
)

// timed is one reading with its time [s], leak and standard deviation [m3/s].
type timed struct {
	at, leak, sd float64
	pressure     unit.Pressure
	posture      Posture
}

// course looks at the largest group of readings at about one pressure.
func (b *Bank) course(q *Question) Course {
	var all []timed
	for i, r := range b.taken(q) {
		if q.Readings[i].HasTime {
			all = append(all, timed{float64(q.Readings[i].Time), r.leak, b.Priors.Noise.sd(r.leak), unit.Pressure(r.p), r.posture})
		}
	}
	if len(all) == 0 {
		return Course{}
	}
	group := onePressure(all)
	c := Course{Kind: NotTellable, Readings: len(group)}
	if len(group) < fewestTimed || group[0].at == group[len(group)-1].at {
		return c
	}
	c.From, c.To = unit.Time(group[0].at), unit.Time(group[len(group)-1].at)
	c.Low, c.High = group[0].pressure, group[0].pressure
	for _, x := range group {
		c.Low, c.High = min(c.Low, x.pressure), max(c.High, x.pressure)
	}
	c.judge(group)
	return c
}

// onePressure gives the most readings that lie within a span that counts as
// one pressure, by time.
func onePressure(all []timed) []timed {
	slices.SortFunc(all, func(x, y timed) int { return cmp.Or(cmp.Compare(x.pressure, y.pressure), cmp.Compare(x.at, y.at)) })
	var most []timed
	for i := range all {
		n := i
		for n < len(all) && all[n].pressure-all[i].pressure <= alike {
			n++
		}
		if n-i > len(most) {
			most = all[i:n]
		}
	}
	most = slices.Clone(most)
	slices.SortStableFunc(most, func(x, y timed) int { return cmp.Compare(x.at, y.at) })
	return most
}

// judge compares no change, a straight line and one step by least squares.
func (c *Course) judge(group []timed) {
	_, none := level(group)
	at, leak, weight := make([]float64, len(group)), make([]float64, len(group)), make([]float64, len(group))
	for i, x := range group {
		at[i], leak[i], weight[i] = x.at, x.leak, 1/(x.sd*x.sd)
	}
	start, rise := stat.LinearRegression(at, leak, weight, false)
	line := 0.0
	for i, x := range group {
		line += weight[i] * math.Pow(x.leak-start-rise*x.at, 2)
	}
	step, split := math.Inf(1), 0
	for k := 1; k < len(group); k++ {
		if group[k].at == group[k-1].at {
			continue
		}
		_, before := level(group[:k])
		if _, after := level(group[k:]); before+after < step {
			step, split = before+after, k
		}
	}
	c.Before, c.After = unit.Flow(start+rise*group[0].at), unit.Flow(start+rise*group[len(group)-1].at)
	switch {
	case none-line < lineTakesOff && none-step < stepTakesOff:
		c.Kind = Steady
	case step < line-clearlyLess:
		c.Kind = AtOnce
		before, _ := level(group[:split])
		after, _ := level(group[split:])
		c.Before, c.After = unit.Flow(before), unit.Flow(after)
		c.Last, c.Next = unit.Time(group[split-1].at), unit.Time(group[split].at)
		c.Turned = turned(group[:split], group[split:])
	case line < step-clearlyLess:
		c.Kind = Slowly
	default:
		c.Kind = ChangesSomehow
	}
}

// level gives the mean leak of some readings, and the squared distances from it
// in standard deviations.
func level(group []timed) (mean, squares float64) {
	weights := 0.0
	for _, x := range group {
		w := 1 / (x.sd * x.sd)
		mean, weights = mean+w*x.leak, weights+w
	}
	mean /= weights
	for _, x := range group {
		squares += math.Pow((x.leak-mean)/x.sd, 2)
	}
	return mean, squares
}

// turned tells whether all readings on one side of a step were taken on the
// side and all of the other were not.
func turned(before, after []timed) bool {
	all := func(group []timed, p Posture) bool {
		return !slices.ContainsFunc(group, func(x timed) bool { return x.posture != p })
	}
	return all(before, NotOnSide) && all(after, OnSide) || all(before, OnSide) && all(after, NotOnSide)
}
