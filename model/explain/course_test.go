package explain

import (
	"math/rand/v2"
	"testing"

	"tautline/model/mask"
	"tautline/model/unit"
)

// timedAt makes a question of leaks in L/min, an hour apart, at one pressure.
func timedAt(b *Bank, leaks ...float64) Question {
	q := Question{Mask: b.Mask, Which: Unintentional, Statistic: b.Statistic, Chooser: PersonStepped}
	for i, leak := range leaks {
		q.Readings = append(q.Readings, Reading{Pressure: tell - unit.Pressure(i%3)*0.5*unit.CmH2O, Flow: unit.Flow(leak) * unit.LPerMin,
			Time: unit.Time(i) * unit.Hour, HasTime: true})
	}
	q.Readings[0].Pressure = tell
	return q
}

// A leak that begins at once, one that grows slowly and one that stays are told
// apart; what the times cannot tell is said to be so.
func TestCourses(t *testing.T) {
	b := bankFor(t, mask.Nasal, Mean)
	for name, c := range map[string]struct {
		leaks []float64
		want  CourseKind
	}{
		"step":    {[]float64{3, 4, 3, 3, 20, 21, 19, 20}, AtOnce},
		"slow":    {[]float64{3, 6, 9, 12, 15, 18, 21, 24, 27, 30}, Slowly},
		"steady":  {[]float64{10, 12, 9, 11, 10, 12}, Steady},
		"few":     {[]float64{3, 4, 20}, NotTellable},
		"somehow": {[]float64{2, 3, 18, 19}, AtOnce},
		"between": {[]float64{3, 7, 13, 16}, ChangesSomehow},
	} {
		got := answer(t, b, timedAt(b, c.leaks...)).Course
		if got.Kind != c.want {
			t.Errorf("%s: %s, want %s", name, got.Kind.ID(), c.want.ID())
		}
	}
	q := timedAt(b, 3, 4, 3, 3, 20, 21, 19, 20)
	for i := range q.Readings {
		q.Readings[i].Posture = NotOnSide
		if i >= 4 {
			q.Readings[i].Posture = OnSide
		}
	}
	c := answer(t, b, q).Course
	if !c.Turned || c.Last != 3*unit.Hour || c.Next != 4*unit.Hour || c.Before > 5*unit.LPerMin || c.After < 18*unit.LPerMin {
		t.Errorf("a step with the turn is told as %+v", c)
	}
	for i := range q.Readings {
		q.Readings[i].HasTime = false
	}
	if got := answer(t, b, q).Course; got != (Course{}) {
		t.Errorf("without times: %+v", got)
	}
}

// Pressure stepped up as time goes tells nothing of time.
func TestTimesThatFollowThePressureTellNothing(t *testing.T) {
	b := bankFor(t, mask.Nasal, Mean)
	q := asked(b, stepped, 0, 1, 1, 0, 2, 4, 8, 19, 38)
	for i := range q.Readings {
		q.Readings[i].Time, q.Readings[i].HasTime = unit.Time(i)*unit.Minute, true
		q.Readings[i].Pressure = unit.Pressure(5+1.25*float64(i)) * unit.CmH2O
	}
	if got := answer(t, b, q).Course; got.Kind != NotTellable {
		t.Errorf("told as %s", got.Kind.ID())
	}
}

// Scatter alone is seldom taken for a change.
func TestScatterIsNoCourse(t *testing.T) {
	b := bankFor(t, mask.Nasal, Mean)
	r, found := rand.New(rand.NewPCG(3, 3)), 0
	for range 400 {
		q := timedAt(b, 0, 0, 0, 0, 0, 0, 0, 0)
		for i := range q.Readings {
			q.Readings[i].Flow = unit.Flow(10+2.3*r.NormFloat64()) * unit.LPerMin
		}
		if b.course(&q).Kind != Steady {
			found++
		}
	}
	if found > 12 {
		t.Errorf("%d of 400 steady leaks are told to change", found)
	}
}
