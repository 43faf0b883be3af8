package night

import (
	"context"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/airway"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/skin"
	"tautline/model/unit"
)

type failer interface {
	Helper()
	Fatal(...any)
}

func question(t failer, kind mask.Type, pull unit.Force) Question {
	t.Helper()
	m, err := mask.Find(kind, "medium")
	if err != nil {
		t.Fatal(err)
	}
	line, err := skin.Chosen(70 * unit.MmHg)
	if err != nil {
		t.Fatal(err)
	}
	return Question{Case: fit.NewCase(m, face.Average(), pull, named("on the back")), Pressure: 12 * unit.CmH2O,
		Limit: 10 * unit.LPerMin, Statistic: P95, Line: line, Hours: 8 * unit.Hour, Nights: 6, Seed: 1, Habits: UsualHabits()}
}

func ask(t failer, q Question) Answer {
	t.Helper()
	a, err := Ask(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// Without turns, slackening and warming a night is one balance, the one that
// fit.At gives.
func TestAStillNightIsOneFit(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		kind := rapid.SampledFrom(mask.Types()).Draw(r, "type")
		q := question(r, kind, unit.Force(rapid.Float64Range(1, 5).Draw(r, "pull")))
		q.Pressure = unit.Pressure(rapid.Float64Range(4, 18).Draw(r, "pressure")) * unit.CmH2O
		q.Seed, q.Nights = rapid.Uint64().Draw(r, "seed"), 2
		p := rapid.SampledFrom(fit.Positions()).Draw(r, "position")
		q.Habits = q.Habits.Still()
		q.Habits.Shares = []Share{{p, 1}}
		q.Case.Position = p
		a := ask(r, q)
		on, err := fit.PutOn(q.Case)
		if err != nil {
			r.Fatal(err)
		}
		want, err := on.At(q.Pressure)
		if err != nil {
			r.Fatal(err)
		}
		for _, s := range a.Example {
			if s.Leak != want.Leak || s.Mask != want.Mask || s.Stage > REM || !reflect.DeepEqual(s.Sites, want.Sites) {
				r.Fatalf("at %v: %v, where fit.At gives %v", s.From, s.Leak, want.Leak)
			}
		}
		if a.Leak[0] != want.Leak || a.Leak[4] != want.Leak || a.Turns != 0 {
			r.Fatalf("leak %v, turns %v, where fit.At gives %v", a.Leak, a.Turns, want.Leak)
		}
	})
}

// What must hold for any nights: percentiles are in order, shares add up to
// one, spells lie end to end, and nothing hangs on how many work at it.
func TestAnyNights(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		q := question(r, rapid.SampledFrom(mask.Types()).Draw(r, "type"), unit.Force(rapid.Float64Range(1, 5).Draw(r, "pull")))
		q.Seed, q.Nights = rapid.Uint64().Draw(r, "seed"), 3
		q.Hours = unit.Time(rapid.Float64Range(0.5, 9).Draw(r, "hours")) * unit.Hour
		q.Habits.TurnRate = rapid.Float64Range(0, 6).Draw(r, "turns")
		q.Habits.CutOut = rapid.Bool().Draw(r, "cut-out")
		q.Case.Hose.Pull = unit.Force(rapid.Float64Range(0, 0.5).Draw(r, "hose"))
		q.Workers = 1
		a := ask(r, q)
		q.Workers = 4
		b := ask(r, q)
		b.Question.Workers = 1
		if !reflect.DeepEqual(a, b) {
			r.Fatal("four workers give another answer than one")
		}
		orderly(r, a)
	})
}

func orderly(r *rapid.T, a Answer) {
	for i := 1; i < len(a.Leak); i++ {
		if a.Leak[i] < a.Leak[i-1] {
			r.Fatalf("percentiles out of order: %v", a.Leak)
		}
	}
	for s, b := range a.PerNight {
		if b.Low > b.Middle || b.Middle > b.High {
			r.Fatalf("%s out of order: %v", s, b)
		}
	}
	for _, parts := range [][]Part{a.Positions, a.Stages} {
		sum, above := 0.0, 0.0
		for _, p := range parts {
			sum += float64(p.Share)
			above += float64(p.Share * p.Above)
		}
		if math.Abs(sum-1) > 1e-9 || math.Abs(above-float64(a.AboveMean)) > 1e-9 {
			r.Fatalf("shares of time add up to %v, above the limit to %v, not %v", sum, above, a.AboveMean)
		}
	}
	end := unit.Time(0)
	for _, s := range a.Example {
		if math.Abs(float64(s.From-end)) > 1e-6 || s.Length <= 0 || s.Length > longest+1e-6 {
			r.Fatalf("a spell from %v for %v after one that ends at %v", s.From, s.Length, end)
		}
		if !s.Tipped && !(s.Low <= s.Mask && s.Mask <= s.High) {
			r.Fatalf("mask pressure %v outside its swing %v to %v", s.Mask, s.Low, s.High)
		}
		end = s.From + s.Length
	}
	if math.Abs(float64(end-a.Question.Hours)) > 1e-6 {
		r.Fatalf("the night ends at %v of %v", end, a.Question.Hours)
	}
}

// Straps that slacken more hold less: the same night, spell by spell, has no
// wider margin left at the weakest place.
func TestMoreSlackeningHoldsLess(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		q := question(r, rapid.SampledFrom(mask.Types()).Draw(r, "type"), unit.Force(rapid.Float64Range(2, 5).Draw(r, "pull")))
		q.Seed = rapid.Uint64().Draw(r, "seed")
		q.Habits.Slack = unit.Fraction(rapid.Float64Range(0, 0.1).Draw(r, "slack"))
		more := q
		more.Habits.Slack += unit.Fraction(rapid.Float64Range(0.01, 0.2).Draw(r, "more"))
		a, errA := One(q, 1)
		b, errB := One(more, 1)
		if errA != nil || errB != nil {
			r.Fatal(errA, errB)
		}
		for i := range a {
			if a[i].Tipped || b[i].Tipped {
				continue
			}
			// Once it has lifted, the leak takes mask pressure away with it.
			if b[i].Straps > a[i].Straps || b[i].Margin > max(a[i].Margin, 0)+1 {
				r.Fatalf("at %v: %v at %v, more slackened %v at %v", a[i].From, a[i].Margin, a[i].Straps, b[i].Margin, b[i].Straps)
			}
		}
	})
}

// The nights' own statistics come out as they were put in: turns an hour, time
// in each position, the share of REM sleep.
func TestNightsKeepTheirRates(t *testing.T) {
	q := question(t, mask.Nasal, 3)
	turns, rem, hours := 0.0, 0.0, 0.0
	lying := map[int]float64{}
	for n := range 3000 {
		p := q.plan(n)
		turns += float64(len(p.turns) - 1)
		hours += q.Hours.Hours()
		for i, at := range p.turns {
			end := q.Hours
			if i+1 < len(p.turns) {
				end = p.turns[i+1].at
			}
			lying[at.position] += (end - at.at).Hours()
		}
		for i, c := range p.stages {
			end := q.Hours
			if i+1 < len(p.stages) {
				end = p.stages[i+1].at
			}
			if c.stage == REM {
				rem += (end - c.at).Hours()
			}
		}
	}
	if got := turns / hours; math.Abs(got-TurnRate.Value) > 0.05 {
		t.Errorf("%.3f turns an hour, %v stated", got, TurnRate.Value)
	}
	for i, s := range q.Habits.Shares {
		if got := lying[i] / hours; math.Abs(got-float64(s.Share)) > 0.02 {
			t.Errorf("%s for %.3f of the time, %.3f stated", s.Position.Name, got, float64(s.Share))
		}
	}
	// From memory: a fifth to a quarter of an adult's sleep is REM.
	if got := rem / hours; got < 0.17 || got > 0.25 {
		t.Errorf("%.3f of the time in REM sleep", got)
	}
}

// A bed pillow's cut-out takes push off the cheek; a hose that hangs changes
// the nights; both seen on the same nights.
func TestBedPillowAndHose(t *testing.T) {
	q := question(t, mask.Oronasal, 5)
	whole := ask(t, q)
	q.Habits.CutOut = true
	cut := ask(t, q)
	if !(largest(cut, face.CheekLeft) < largest(whole, face.CheekLeft)) {
		t.Errorf("left cheek %v with a cut-out, %v without", largest(cut, face.CheekLeft), largest(whole, face.CheekLeft))
	}
	q.Case.Hose.Pull = 1
	if hung := ask(t, q); !(hung.Leak[4] > cut.Leak[4]) {
		t.Errorf("95th percentile %v with a hanging hose, %v with a supported one", hung.Leak[4], cut.Leak[4])
	}
}

func largest(a Answer, s face.Site) unit.Pressure {
	for _, at := range a.Sites {
		if at.Site == s {
			return at.Largest
		}
	}
	return 0
}

type constantMouth unit.Flow

func (m constantMouth) Leak(_ unit.Pressure, tone unit.Fraction) unit.Flow {
	return unit.Flow(m) * unit.Flow(max(0, 1-tone))
}

// What leaks through a mouth whose tone falls in REM sleep comes on top, and
// only then.
func TestMouthLeaksInREM(t *testing.T) {
	q := question(t, mask.Nasal, 4)
	q.Habits.ToneSpread = 0
	closed := ask(t, q)
	q.Mouth = constantMouth(50 * unit.LPerMin)
	open := ask(t, q)
	for i, s := range open.Example {
		if (s.Mouth > 0) != (s.Stage == REM) {
			t.Fatalf("spell %d, %s: mouth %v", i, s.Stage, s.Mouth)
		}
	}
	if !(open.Stages[1].Leak > closed.Stages[1].Leak+15*unit.LPerMin) || math.Abs(float64(open.Stages[0].Leak-closed.Stages[0].Leak)) > 1e-12 {
		t.Errorf("NREM %v to %v, REM %v to %v", closed.Stages[0].Leak, open.Stages[0].Leak, closed.Stages[1].Leak, open.Stages[1].Leak)
	}
}

// Lips that rest together part now and then, the more so in REM sleep; a chin
// strap makes it less; behind an oronasal mask nothing leaves the mouth, but an
// open one lets the jaw drop.
func TestLipsPart(t *testing.T) {
	q := question(t, mask.Nasal, 4)
	q.Pressure = 8 * unit.CmH2O
	lips := ask(t, q.WithMouth(airway.ClosedMouth()))
	held := ask(t, q.WithMouth(airway.ClosedMouth().WithChinStrap()))
	if !(lips.Mouth > held.Mouth && held.Mouth > 0) {
		t.Errorf("%v through the mouth, %v with a chin strap", lips.Mouth, held.Mouth)
	}
	if !(lips.Stages[1].Leak > lips.Stages[0].Leak) {
		t.Errorf("NREM %v, REM %v", lips.Stages[0].Leak, lips.Stages[1].Leak)
	}
	full := question(t, mask.Oronasal, 4)
	closed, open := ask(t, full.WithMouth(airway.ClosedMouth())), ask(t, full.WithMouth(airway.OpenMouth()))
	if closed.Mouth != 0 || open.Mouth != 0 || !(open.Leak[2] > closed.Leak[2]) {
		t.Errorf("oronasal: closed %v, open %v", closed.Leak, open.Leak)
	}
}

// A line that falls with the time worn is passed later in the night.
func TestALineThatFalls(t *testing.T) {
	q := question(t, mask.Nasal, 4)
	q.Line, _ = skin.FindLine("pressure-time product")
	a := ask(t, q)
	for _, s := range a.Sites {
		want := float64(s.Mean / skin.ProductLevel(8*unit.Hour))
		if math.Abs(s.Load-want) > 1e-12 {
			t.Errorf("%s: load %v, %v expected", s.Site, s.Load, want)
		}
		if s.Load > 1.2 && !(s.Over > 0 && s.Over < 1) {
			t.Errorf("%s at %v is above a line that falls for %v of the time", s.Site, s.Mean, s.Over)
		}
	}
}

func TestQuestionsAreRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Question){
		"limit":     func(q *Question) { q.Limit = 0 },
		"statistic": func(q *Question) { q.Statistic = "" },
		"line":      func(q *Question) { q.Line = skin.Line{} },
		"hours":     func(q *Question) { q.Hours = 0 },
		"nights":    func(q *Question) { q.Nights = 0 },
		"shares":    func(q *Question) { q.Habits.Shares = nil },
		"share":     func(q *Question) { q.Habits.Shares[0].Share = unit.Fraction(math.NaN()) },
		"turns":     func(q *Question) { q.Habits.TurnRate = -1 },
		"pressure":  func(q *Question) { q.Pressure = 100 * unit.CmH2O },
		"straps":    func(q *Question) { q.Case.Straps.Pull = 0 },
	} {
		q := question(t, mask.Nasal, 3)
		spoil(&q)
		if _, err := Ask(context.Background(), q); err == nil {
			t.Errorf("%s is not refused", name)
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Ask(ctx, question(t, mask.Nasal, 3)); err != context.Canceled {
		t.Errorf("an interrupted question gives %v", err)
	}
}

// Care: a cushion that is looked after leaks no more than one that is not, and
// replacing it never raises the leak's mean; the first day is a new cushion's.
func TestCare(t *testing.T) {
	q := question(t, mask.Oronasal, 3)
	a, err := Care(context.Background(), CareQuestion{Case: q.Case, Pressure: q.Pressure, Limit: q.Limit, Days: SixMonths, Plans: UsualPlans()})
	if err != nil || len(a.Courses) != 9 {
		t.Fatalf("%d courses: %v", len(a.Courses), err)
	}
	for i, c := range a.Courses {
		if c.Days[0].Age != 0 || len(c.Days) != 31 {
			t.Errorf("course %d has %d days from age %v", i, len(c.Days), c.Days[0].Age)
		}
		if i%3 > 0 && c.Mean > a.Courses[i-1].Mean+1e-12 {
			t.Errorf("%v of care leak %v, less care %v", c.CarePlan, c.Mean, a.Courses[i-1].Mean)
		}
		if i >= 3 && c.Mean > a.Courses[i-3].Mean+1e-12 {
			t.Errorf("replaced after %v leak %v, later %v", c.Replace, c.Mean, a.Courses[i-3].Mean)
		}
		if want := []int{1, 3, 7}[i/3]; c.Cushions != want {
			t.Errorf("course %d uses %d cushions, %d expected", i, c.Cushions, want)
		}
	}
}
