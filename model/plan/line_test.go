package plan

import (
	"context"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/mask"
	"tautline/model/skin"
	"tautline/model/unit"
)

// TestLineBinds: whatever the line and whatever came of what was tried, a setting
// that passes the line too often is advised only when nothing that is likely
// enough to hold keeps under it, and never as a further pull past the line.
func TestLineBinds(t *testing.T) {
	q := usualQuestion()
	w, err := q.think(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(r *rapid.T) {
		q.Line, _ = skin.Chosen(unit.Pressure(rapid.IntRange(5, 150).Draw(r, "line")) * unit.MmHg)
		p := w.policy(w.now)
		p.line = q.newBound(w.table)
		b, course := w.now, []tried(nil)
		for range rapid.IntRange(0, 3).Draw(r, "visits") {
			last := tried{rapid.IntRange(0, w.table.count()-1).Draw(r, "candidate"),
				Outcome(rapid.IntRange(int(LeaksAtBridge), int(NotWorn)).Draw(r, "outcome"))}
			course, b = append(course, last), b.after(w.table.of[last.outcome][last.candidate])
		}
		c, ok := p.choose(b, course)
		if !ok || p.line.chance(b, c) <= PassChance {
			return
		}
		for _, o := range p.open(course, mostTimes) {
			if p.line.chance(b, o) <= PassChance && w.odds(b, course, o)[Comfortable] >= worthTrying {
				r.Fatalf("advised what passes the line in %.2f, with %v under it", p.line.chance(b, c), w.setting(o))
			}
		}
		if n := len(course); n > 0 && w.table.move(course[n-1].candidate, c) == Tighten && p.line.chance(b, course[n-1].candidate) > PassChance {
			r.Fatal("a further pull where the line is passed")
		}
	})
}

// TestNothingUnderLine: when nothing keeps under the line the answer says so of
// every step, and without a line nothing is said of one.
func TestNothingUnderLine(t *testing.T) {
	q := usualQuestion()
	q.Tried = []Visit{{Type: mask.Nasal, Size: "medium", Pull: 3 * unit.N, What: LeaksAtBridge}}
	q.Line, _ = skin.Chosen(2 * unit.MmHg)
	a := planned1(t, q)
	if a.Next == nil || a.Next.Move != Stop && !a.Next.PastLine {
		t.Errorf("advised under a line that nothing keeps: %+v", a.Next)
	}
	for _, c := range a.Choices {
		if !c.PastLine {
			t.Errorf("%v is said to keep under the line, and passes it in %.2f", c.Setting, c.OverLine)
		}
	}
	q.Line = skin.Line{}
	if a := planned1(t, q); a.Next.PastLine || a.Choices[0].OverLine != 0 {
		t.Error("a line was assumed")
	}
}
