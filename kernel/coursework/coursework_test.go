package coursework

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/unit"
)

func lessonTasks(t testing.TB) Set {
	t.Helper()
	s, err := Lessons()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Numbers follow from the codes alone, on every machine. These were worked out
// apart from this program with Python's hashlib, from the rule in Own.
func TestOwnNumbersGolden(t *testing.T) {
	want := map[string]string{
		"strap pull pressure": "15.6 cmH2O", "strap pull straps": "3.25 N", "where it opens face": "high bridge",
		"the price after": "3.55 N", "the price before": "2.60 N", "the price pressure": "10.6 cmH2O"}
	for _, codes := range [][2]string{{"class-7", "k42"}, {" Class-7", "K42 "}} {
		c, err := NewCodes(codes[0], codes[1])
		if err != nil {
			t.Fatal(err)
		}
		seen := 0
		for _, task := range lessonTasks(t) {
			for _, o := range task.Own(c) {
				if w, ok := want[task.Name+" "+o.Name]; ok {
					seen++
					if o.Text != w {
						t.Errorf("%s, %s: %s, not %s", task.Name, o.Name, o.Text, w)
					}
				}
			}
		}
		if seen != len(want) {
			t.Errorf("%d of %d were drawn", seen, len(want))
		}
	}
}

// codesOf draws two neighbours.
func codesOf(t *rapid.T) (a, b Codes) {
	code := rapid.StringMatching(`[a-z][0-9]{1,4}`)
	one := code.Draw(t, "one")
	other := code.Filter(func(s string) bool { return s != one }).Draw(t, "other")
	return Codes{"class-7", one}, Codes{"class-7", other}
}

func TestNeighboursDiffer(t *testing.T) {
	tasks := lessonTasks(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b := codesOf(t)
		same := 0
		for _, task := range tasks {
			if task.Question(task.Own(a)) == task.Question(task.Own(b)) {
				same++
			}
		}
		if same > len(tasks)/2 {
			t.Errorf("%v and %v have %d questions alike", a, b, same)
		}
	})
}

// The right answer passes for anybody, and each slip is named.
func TestSlipsAreNamed(t *testing.T) {
	for _, task := range lessonTasks(t) {
		if task.Kind != Practice || task.Number == nil {
			continue
		}
		if task.scene.Mouth != "" {
			continue // whole breaths take long: TestMouthSlips
		}
		for i := range 30 {
			slips(t, &task, Codes{"class-7", fmt.Sprintf("k%d", i)})
		}
	}
}

func TestMouthSlips(t *testing.T) {
	tasks := lessonTasks(t)
	task, _ := tasks.Find("mouth leak")
	for _, code := range []string{"a1", "b2"} {
		slips(t, task, Codes{"class-7", code})
	}
}

type failer interface {
	Helper()
	Errorf(format string, a ...any)
	Fatal(a ...any)
}

// quantityFor gives a value in the type that a cell would have.
func quantityFor(kind *unit.Kind, si float64) any {
	v, _ := Typed(kind, si)
	return v
}

func slips(t failer, task *Task, c Codes) {
	t.Helper()
	own := task.Own(c)
	want, facts, err := task.expected(own)
	if err != nil {
		t.Fatal(err)
	}
	_, off, err := task.tolerated(own)
	if err != nil {
		t.Fatal(err)
	}
	// What Judge does, with what it works out once for all: that takes the time.
	judge := func(v any) Judgement {
		if form := task.form(v); form != InForm && form != OutOfRange {
			return Judgement{Verdict: form}
		}
		x, _, _ := Quantity(v)
		return task.mistake(x, want, off, facts)
	}
	if j, err := task.Judge(own, quantityFor(task.Number.Quantity, want)); err != nil || j.Verdict != Right {
		t.Errorf("%q, %v: the right number is judged %v, %v", task.Name, own, j, err)
	}
	expect := func(v any, verdict Verdict, cause Cause) {
		t.Helper()
		j := judge(v)
		if j.Verdict != verdict || j.Cause != cause {
			t.Errorf("%q, %v: %v is judged %v (%s), not %v", task.Name, own, v, j.Verdict, j.Cause, verdict)
		}
	}
	k := task.Number.Quantity
	one, _ := k.Factor(task.Number.Unit)
	digits := math.Pow(10, math.Floor(math.Log10(want/one))-1)
	expect(quantityFor(k, math.Round(want/one/digits)*digits*one), Right, "") // two digits, as tables print
	expect(quantityFor(k, -want), SignSlip, "")
	expect(quantityFor(k, 10*want), TenTimes, "")
	expect(quantityFor(k, want/10), TenTimes, "")
	expect(want/one, NoUnit, "")
	expect(unit.Length(want), OtherQuantity, "")
	expect("a lot", NotANumber, "")
	expect(quantityFor(k, math.NaN()), NotANumber, "")
	switch k {
	case unit.PressureKind:
		expect(quantityFor(k, want*float64(unit.CmH2O/unit.MmHg)), UnitSlip, "")
	case unit.FlowKind:
		expect(quantityFor(k, want/60), UnitSlip, "")
	}
	for _, f := range facts {
		if f.quantity != k || task.Number.is(f) || f.si < 1e-6 || math.Abs(f.si-want) <= off {
			continue
		}
		j := judge(quantityFor(k, f.si))
		if wanted := map[bool]Verdict{true: OtherSite, false: OtherCause}[f.cause == task.Number.wants]; j.Verdict != wanted && j.Verdict != OtherCause && j.Verdict != OtherSite {
			t.Errorf("%q: the %s is judged %v", task.Name, f.cause, j.Verdict)
		}
	}
}

// What is taken for the right number must not be so near that it passes.
func TestOtherCausesDoNotPass(t *testing.T) {
	for name, causes := range map[string][]Cause{
		"vent flow": {Leak, TotalFlow}, "leak at pressure": {VentFlow, TotalFlow, SiteLeak},
		"strap pull": {StrapsSet, PerStrap, Push}, "skin at the bridge": {MeanContact, Margin, MaskPress, SetPressure},
		"mouth leak": {VentFlow, MouthAndRim, TotalFlow}} {
		tasks := lessonTasks(t)
		task, _ := tasks.Find(name)
		for _, code := range []string{"a1", "b2"} {
			own := task.Own(Codes{"class-7", code})
			_, facts, err := task.expected(own)
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range causes {
				for _, f := range facts {
					if f.cause != c || f.si < 1e-9 {
						continue
					}
					one := task.Number.one()
					digits := 2 * asPrinted(f.si/one) * one
					j, err := task.Judge(own, quantityFor(task.Number.Quantity, math.Round(f.si/digits)*digits))
					if err != nil || j.Verdict == Right {
						t.Errorf("%q %s: the %s passes (%v)", name, code, c, err)
					}
				}
			}
		}
	}
}

func TestChoices(t *testing.T) {
	tasks := lessonTasks(t)
	task, _ := tasks.Find("where it opens")
	rapid.Check(t, func(t *rapid.T) {
		c, _ := codesOf(t)
		right := 0
		for _, name := range task.Choice.Names() {
			j, err := task.Choose(task.Own(c), name, "because the rim stands off")
			if err != nil {
				t.Fatal(err)
			}
			if j.Verdict == Right {
				right++
			} else if j.Verdict != OtherSite {
				t.Errorf("%s is judged %v", name, j.Verdict)
			}
		}
		if right != 1 {
			t.Errorf("%d choices are right", right)
		}
	})
	if j, _ := task.Choose(nil, "cheeks", "so"); j.Verdict != NoReason {
		t.Error(j)
	}
	if j, _ := task.Choose(nil, "chin", "because it is so"); j.Verdict != UnknownOption {
		t.Error(j)
	}
}

// Of graded tasks no number is judged but by its form, whatever it is.
func TestGradedTellsNothing(t *testing.T) {
	for _, task := range lessonTasks(t) {
		if task.Kind != Graded || task.Number == nil {
			continue
		}
		n := task.Number
		rapid.Check(t, func(t *rapid.T) {
			j, err := task.Judge(nil, quantityFor(n.Quantity, rapid.Float64Range(n.Low, n.High).Draw(t, "x")))
			if err != nil || j.Verdict != InForm {
				t.Errorf("%v, %v", j, err)
			}
		})
		if j, _ := task.Judge(nil, quantityFor(n.Quantity, 2*n.High)); j.Verdict != OutOfRange {
			t.Errorf("%q: %v", task.Name, j)
		}
	}
}

// Hints and questions give no number of the model away.
func TestHintsHoldNoNumber(t *testing.T) {
	digit := regexp.MustCompile(`[0-9]`)
	for _, task := range lessonTasks(t) {
		if text := task.Text + strings.Join(task.Hints, " "); digit.MatchString(text) {
			t.Errorf("%q holds a digit of its own: %s", task.Name, text)
		}
		if task.Kind == Practice && len(task.Hints) < 2 {
			t.Errorf("%q has no steps of hints", task.Name)
		}
	}
}

func TestWrongFiles(t *testing.T) {
	key, err := os.ReadFile("../../testdata/coursework/key.toml")
	if err != nil {
		t.Fatal(err)
	}
	tasks := lessonTasks(t)
	for _, c := range []struct{ old, new, want string }{
		{"tautline key 1", "tautline key 9", "begins with"},
		{"weight = 1", "weight = 0", "above 0"},
		{`tolerance = "3 %"`, `tolerance = "3"`, "tolerance is"},
		{`task = "the hiss"`, `task = "the hum"`, "no graded task"},
		{`task = "the hiss"`, `task = "the price"`, "answer already"},
		{"weight = 1", "wieght = 1", "wieght is not a key"},
		{"weight = 1", "weight = = 1", "not written as TOML"},
		{`"the vent alone" = `, `"the moon" = `, "not among"},
	} {
		_, err := ReadKey("key.toml", []byte(strings.Replace(string(key), c.old, c.new, 1)), tasks)
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "key.toml") {
			t.Errorf("%s: %v", c.new, err)
		}
	}
	for _, c := range []struct{ old, new, want string }{
		{"tautline tasks 1", "tasks", "begins with"},
		{`kind = "practice"`, `kind = "exam"`, "practice or graded"},
		{`wants = "vent flow"`, `wants = "hiss"`, "wants names"},
		{"{pressure}. How much leaves through", "{presure}. How much leaves through", "{presure} is not in"},
		{`step = "0.05 N"`, `step = "0.5 N"`, "differ in"},
		{`site = "bridge"`, `site = "ear"`, "no site"},
	} {
		if _, err := Read("t.toml", []byte(strings.Replace(string(lessons), c.old, c.new, 1))); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.new, err)
		}
	}
}

func FuzzTasks(f *testing.F) {
	f.Add(lessons)
	f.Fuzz(func(t *testing.T, data []byte) {
		if s, err := Read("t.toml", data); err == nil && len(s) == 0 {
			t.Error("no tasks and no error")
		}
	})
}
