package words

import (
	"strings"
	"testing"
)

// A student answers, is told the slip by name, and reads it out.
func TestStudentAnswers(t *testing.T) {
	s := newStand(t)
	s.run(`me := Student("class-7", "k42")`, `q := me.Task("strap pull")`,
		`fit := PutOn(Mask("nasal", "medium"), Face("average"), Straps(q.Force("straps")), Position("on the back"))`,
		`at := fit.At(q.Pressure("pressure"))`)
	for cell, want := range map[string]string{
		`q.Answer(3)`:                       "no unit",
		`q.Answer(3*CmH2O)`:                 "other quantity",
		`q.Answer(-1*at.StrapAtPressure)`:   "sign",
		`q.Answer(10*at.StrapAtPressure)`:   "order of magnitude",
		`q.Answer(q.Force("straps"))`:       "wrong cause",
		`q.Answer(at.Push)`:                 "wrong cause",
		`q.Answer(at.StrapAtPressure)`:      "right",
		`me.Task("strap pull").Answer(6*N)`: "not yet",
	} {
		s.run("if got := " + cell + `.Mistake; got != "` + want + `" { panic(got) }`)
	}
	s.run(`q.Answer(at.StrapAtPressure)`, `q.Check()`, `if me.Progress().Line()[:29] != "Progress: practice 1 of 6 rig" { panic(me.Progress().Line()) }`)
}

// A check of what is not answered is no error; of what is wrong it is one. What
// a school requires fails on both.
func TestChecksAreRealErrors(t *testing.T) {
	s := newStand(t)
	s.run(`me := Student("class-7", "k42")`, `q := me.Task("the hiss")`, `q.Check()`)
	if got := s.fails(`q.Require(30*LPerMin, 3*Percent)`); !strings.Contains(got, "not answered") {
		t.Error(got)
	}
	s.run(`q.Answer(-5*LPerMin)`)
	s.fails(`q.Check()`)
	s.run(`q.Answer(31*LPerMin)`, `q.Check()`, `q.Require(31.5*LPerMin, 3*Percent)`)
	s.fails(`q.Require(40*LPerMin, 3*Percent)`)
	s.fails(`q.Require(31*CmH2O, 3*Percent)`)
	s.run(`w := me.Task("why this figure")`, `w.Choose("vent and leak", "because the vent alone passes far less")`, `w.Require("vent and leak", 0)`)
	s.fails(`w.Require("the vent alone", 0)`)
}
