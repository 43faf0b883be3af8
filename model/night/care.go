package night

import (
	"context"
	"errors"
	"fmt"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// A CareQuestion is a case over months: how the cushion is cared for and when
// it is replaced. All of it rests on assumed wear, and is no evidence for supply
// or refusal.
type CareQuestion struct {
	Case     fit.Case // its position is the one looked at
	Pressure unit.Pressure
	Limit    unit.Flow
	Days     unit.Time
	Plans    []CarePlan
}

// A CarePlan is a habit of care with the age at which the cushion is replaced;
// no age means never.
type CarePlan struct {
	Care    mask.Care
	Replace unit.Time
}

// UsualPlans are the three habits of care, kept for the whole time and with a
// new cushion every three months or every month.
func UsualPlans() []CarePlan {
	var all []CarePlan
	for _, replace := range []unit.Time{0, 90 * unit.Day, 30 * unit.Day} {
		for _, care := range []mask.Care{mask.CareRarely, mask.CareWeekly, mask.CareDaily} {
			all = append(all, CarePlan{care, replace})
		}
	}
	return all
}

// SixMonths is how long care is usually looked at.
const SixMonths = 180 * unit.Day

// A CareAnswer is what each plan comes to.
type CareAnswer struct {
	Question CareQuestion
	Courses  []Course
}

// A Course is one plan over time.
type Course struct {
	CarePlan
	Days     []Worn
	Mean     unit.Flow     // leak, over the whole time
	Largest  unit.Flow     // leak
	Above    unit.Fraction // of the time above the limit
	Cushions int           // used, the first included
}

// A Worn is one day of a course.
type Worn struct {
	Day, Age   unit.Time
	Leak       unit.Flow
	LiftOff    unit.Pressure
	HasLiftOff bool
	OpensFirst face.Site
	Contact    unit.Pressure // largest round the rim
}

// every is how often a course is looked at.
const every = 6 * unit.Day

// Care follows each plan from a new cushion on.
func Care(ctx context.Context, q CareQuestion) (CareAnswer, error) {
	if err := q.check(); err != nil {
		return CareAnswer{}, err
	}
	a := CareAnswer{Question: q}
	seen := map[mask.Wear]fit.Point{} // plans meet the same cushion often
	for _, plan := range q.Plans {
		course, err := q.follow(ctx, plan, seen)
		if err != nil {
			return CareAnswer{}, err
		}
		a.Courses = append(a.Courses, course)
	}
	return a, nil
}

func (q *CareQuestion) check() error {
	if err := mask.WearLimit.Check(float64(q.Days)); err != nil {
		return err
	}
	switch {
	case !(q.Limit > 0):
		return errors.New("state a leak limit above zero, such as 24 L/min: there is no usual one")
	case q.Days < every:
		return fmt.Errorf("care is looked at over %s or more, not %s", every, q.Days)
	}
	for _, p := range q.Plans {
		if p.Replace != 0 && p.Replace < every {
			return fmt.Errorf("a cushion is replaced after %s or more, not %s", every, p.Replace)
		}
	}
	return nil
}

func (q *CareQuestion) follow(ctx context.Context, plan CarePlan, seen map[mask.Wear]fit.Point) (Course, error) {
	c := Course{CarePlan: plan, Cushions: 1}
	last := unit.Time(0)
	for day := unit.Time(0); day <= q.Days; day += every {
		if err := ctx.Err(); err != nil {
			return c, err
		}
		if plan.Replace > 0 && day-last >= plan.Replace {
			last = day
			c.Cushions++
		}
		p, err := q.worn(mask.Wear{Days: day - last, Care: plan.Care}, seen)
		if err != nil {
			return c, err
		}
		c.add(day, day-last, p, q.Limit)
	}
	n := len(c.Days)
	c.Mean /= unit.Flow(n)
	c.Above /= unit.Fraction(n)
	return c, nil
}

func (q *CareQuestion) worn(w mask.Wear, seen map[mask.Wear]fit.Point) (fit.Point, error) {
	if p, ok := seen[w]; ok {
		return p, nil
	}
	c := q.Case
	c.Cushion = w
	on, err := fit.PutOn(c)
	if err != nil {
		return fit.Point{}, err
	}
	p, err := on.At(q.Pressure)
	seen[w] = p
	return p, err
}

func (c *Course) add(day, age unit.Time, p fit.Point, limit unit.Flow) {
	w := Worn{Day: day, Age: age, Leak: p.Leak, LiftOff: p.LiftOff, HasLiftOff: p.HasLiftOff, OpensFirst: p.OpensFirst}
	for _, s := range p.Sites {
		w.Contact = max(w.Contact, s.Contact)
	}
	c.Days = append(c.Days, w)
	c.Mean += p.Leak
	c.Largest = max(c.Largest, p.Leak)
	if p.Leak > limit {
		c.Above++
	}
}
