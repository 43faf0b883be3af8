package report_test

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"tautline/kernel/report"
	"tautline/model/explain"
	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/unit"
)

// shapes are leaks over 6, 9, 12 and 15 cmH2O in L/min, each of another story.
var shapes = map[string][]float64{"opens": {0, 1, 8, 30}, "constant": {12, 15, 18, 20}, "nothing": {1, 0, 2, 1},
	"below the vent": {-10, -13, -15, -17}, "scatter": {2, 30, 4, 28}, "wild": {90, 2, 80, -20}, "one": {14}}

// askedWhy goes through shapes, types, choosers, statistics and findings.
func askedWhy(t *testing.T, each func(name string, a explain.Answer)) {
	t.Helper()
	for i, m := range mask.Types() {
		body, err := mask.Find(m, "medium")
		if err != nil {
			t.Fatal(err)
		}
		for k := range 3 {
			b, err := explain.Prepare(context.Background(), body, 15*unit.CmH2O, explain.Statistic(k+i)%4, explain.UsualPriors(), uint64(k), 60)
			if err != nil {
				t.Fatal(err)
			}
			for shape, leaks := range shapes {
				q := question(body, leaks, i, k)
				a, err := b.Explain(context.Background(), q)
				if err != nil {
					t.Fatalf("%s, %s: %v", m, shape, err)
				}
				each(fmt.Sprint(m, ", ", shape, ", ", k), a)
			}
		}
	}
}

func question(body mask.Mask, leaks []float64, i, k int) explain.Question {
	q := explain.Question{Mask: body, Which: explain.Unintentional, Chooser: explain.Chooser(k), Statistic: explain.Statistic(k+i) % 4}
	for n, leak := range leaks {
		q.Readings = append(q.Readings, explain.Reading{Pressure: unit.Pressure(15-3*float64(len(leaks)-1-n)) * unit.CmH2O, Flow: unit.Flow(leak) * unit.LPerMin})
	}
	for f := range explain.FindingCount {
		q.Seen[f] = (int(f) + i + 2*k) % (len(f.Outcomes()) + 1)
	}
	if k == 0 { // nothing seen at all
		q.Seen = explain.Seen{}
	}
	if k == 1 {
		q.Sore = []face.Site{body.Sites()[0]}
		vent := q.Mask.Vent
		q.Which = explain.TotalFlow
		for n := range q.Readings {
			flow, _ := vent.Flow(q.Readings[n].Pressure)
			q.Readings[n].Flow = max(0, q.Readings[n].Flow+flow)
		}
	}
	return q
}

// Every answer keeps to the list, to the width, shows the cautions, ends with
// what to look at afterwards, and names no number that is none.
func TestEveryExplanation(t *testing.T) {
	odd := regexp.MustCompile(`NaN|Inf|%!|\(EXTRA|  L/min|, ,|\.\.`)
	causes, flags := map[explain.Cause]bool{}, map[explain.Flag]bool{}
	askedWhy(t, func(name string, a explain.Answer) {
		text := report.ExplainText(a, nil, report.Ink{})
		// What to look at afterwards is where the mask that is worn presses.
		if after := report.ExplainAfterwards(a); strings.Contains(after, "nostril") && a.Question.Mask.Type != mask.Pillows {
			t.Errorf("%s: %s", name, after)
		}
		for line := range strings.SplitSeq(text, "\n") {
			if n := utf8.RuneCountInString(line); n > report.Width {
				t.Errorf("%s: %d columns: %s", name, n, line)
			}
		}
		flat := strings.Join(strings.Fields(text), " ")
		if bad := never.FindString(flat) + odd.FindString(flat); bad != "" {
			t.Errorf("%s says %q: %s", name, bad, flat)
		}
		if !strings.Contains(flat, "vented mask") || !strings.Contains(flat, "not a medical device") || !strings.Contains(flat, "Afterwards: read") {
			t.Errorf("%s comes without cautions or what to look at", name)
		}
		vent := strings.Contains(flat, "Look at the mask vent now")
		for _, f := range a.Flags {
			flags[f] = true
			if f == explain.BelowVent && !vent {
				t.Errorf("%s is below the vent, and does not say so first", name)
			}
		}
		causes[a.Leading().Cause] = true
		ordered(t, name, a)
	})
	if len(causes) < 5 || len(flags) < 8 {
		t.Errorf("only %d causes led and %d flags were raised: other sentences were not read", len(causes), len(flags))
	}
}

// ordered holds the steps to the bedside order: straps never first, and never
// before what costs the skin nothing.
func ordered(t *testing.T, name string, a explain.Answer) {
	t.Helper()
	for i := 1; i < len(a.Actions); i++ {
		same := a.Actions[i].Kind == a.Actions[i-1].Kind && a.Actions[i].Size != "" // two sizes, two types
		if a.Actions[i].Kind <= a.Actions[i-1].Kind && !same {
			t.Errorf("%s: %s comes after %s", name, a.Actions[i].Kind.ID(), a.Actions[i-1].Kind.ID())
		}
	}
	if a.Actions[0].Kind != explain.LookAtVent {
		t.Errorf("%s: the first step is %s", name, a.Actions[0].Kind.ID())
	}
}

// A tie is reported as one, with what would break it.
func TestTiesAreSaid(t *testing.T) {
	ties := 0
	askedWhy(t, func(name string, a explain.Answer) {
		for _, tie := range a.Ties {
			ties++
			said := report.TieSentences(a)
			if len(said) != len(a.Ties) || !strings.Contains(said[0], "would decide: ") {
				t.Errorf("%s: %q", name, said)
			}
			for _, c := range tie.Causes {
				if c == a.Leading().Cause && !strings.HasPrefix(report.ExplainSentence(a), "A tie: ") {
					t.Errorf("%s: %s", name, report.ExplainSentence(a))
				}
			}
		}
	})
	if ties == 0 {
		t.Error("no question met a tie: its sentences were not read")
	}
}

// Every word that exists for a cause, a step or a test is there.
func TestEveryCauseHasItsWords(t *testing.T) {
	for _, c := range explain.Causes() {
		if report.CauseName(c) == "" || report.CauseShort(c) == "" || report.CauseLook(c, mask.Oronasal) == "" {
			t.Errorf("%s has no words", c.ID())
		}
	}
	for k := explain.LookAtVent; k <= explain.Leave; k++ {
		if report.ActionWords(k) == "" {
			t.Errorf("%s has no words", k.ID())
		}
	}
}

// What the times tell and what a limit means is said in every way there is.
func TestTimesAndLimitAreSaid(t *testing.T) {
	body, err := mask.Find(mask.Nasal, "medium")
	if err != nil {
		t.Fatal(err)
	}
	for want, leaks := range map[string][]float64{"all at once": {3, 4, 3, 3, 20, 21, 19, 20}, "little by little": {3, 6, 9, 12, 15, 18, 21, 24, 27, 30},
		"fell from": {30, 27, 24, 21, 18, 15, 12, 9, 6, 3}, "no change beyond": {10, 12, 9, 11}, "4 readings cannot tell": {3, 7, 13, 16}, "kept but not used": {3, 20}} {
		q := explain.Question{Mask: body, Which: explain.Unintentional, Limit: 10 * unit.LPerMin, Draws: 60}
		for i, leak := range leaks {
			q.Readings = append(q.Readings, explain.Reading{Pressure: 12 * unit.CmH2O, Flow: unit.Flow(leak) * unit.LPerMin, Time: unit.Time(i) * unit.Hour, HasTime: true})
		}
		a, err := explain.Explain(context.Background(), q)
		if err != nil {
			t.Fatal(err)
		}
		said := strings.Join(report.ExplainStated(a), " ")
		if !strings.Contains(said, want) || !strings.Contains(said, fmt.Sprintf("of %d readings", len(leaks))) || never.MatchString(said) {
			t.Errorf("%q is not said: %s", want, said)
		}
	}
}
