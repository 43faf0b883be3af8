package report

import (
	"fmt"

	"tautline/model/explain"
	"tautline/model/unit"
)

// ExplainStated says what the limit that was stated means for what was read, and
// what the times of the readings tell.
func ExplainStated(a explain.Answer) (out []string) {
	if q := a.Question; q.Limit > 0 {
		over := 0
		for _, v := range a.Views {
			if v.Leak > q.Limit {
				over++
			}
		}
		out = append(out, fmt.Sprintf("Past your limit of %s: %d of %s.", Flow(q.Limit), over, readings(len(a.Views))))
	}
	if s := courseWords(a.Course); s != "" {
		out = append(out, s)
	}
	return out
}

// readings counts them.
func readings(n int) string {
	if n == 1 {
		return "1 reading"
	}
	return fmt.Sprintf("%d readings", n)
}

// courseWords say what the times tell; empty where none were given.
func courseWords(c explain.Course) string {
	const apart = " The shares do not use the times."
	if c.Kind == explain.NotTellable {
		return "The times were kept but not used: it takes four readings at about one pressure, at different times, to tell what time does from what pressure does."
	}
	if c.Kind == explain.NoTimes {
		return ""
	}
	at := "At " + Airway(c.Low)
	if c.High-c.Low >= 0.05*unit.CmH2O {
		at = fmt.Sprintf("At about one pressure (%s to %s)", bedside(c.Low.CmH2O()), Airway(c.High))
	}
	way := "grew"
	if c.After < c.Before {
		way = "fell"
	}
	change := fmt.Sprintf("%s the leak %s from about %s to about %s L/min", at, way, flowText(c.Before), flowText(c.After))
	switch c.Kind {
	case explain.AtOnce:
		s := fmt.Sprintf("%s between %s and %s after the first reading, all at once.", change, sinceWords(c.Last), sinceWords(c.Next))
		if c.Turned {
			return s + " It came with the turn: the positions that were noted change there too." + apart
		}
		return s + " That would look like a turn, a mask that was moved or a mouth that fell open, and not like wear: ask what happened then." + apart
	case explain.Slowly:
		return fmt.Sprintf("%s over %s, little by little. That would look like straps that give or, over weeks, a cushion that wears, and not like a turn.", change, sinceWords(c.To-c.From)) + apart
	case explain.ChangesSomehow:
		return fmt.Sprintf("%s over %s; whether at once or little by little, %s cannot tell.", change, sinceWords(c.To-c.From), readings(c.Readings)) + apart
	}
	return fmt.Sprintf("%s, %s over %s show no change beyond their scatter.", at, readings(c.Readings), sinceWords(c.To-c.From)) + apart
}

// sinceWords says a time as one would: minutes, hours, then days.
func sinceWords(t unit.Time) string {
	switch {
	case t < 2*unit.Hour:
		return bedside(t.Minutes()) + " min"
	case t < 2*unit.Day:
		return bedside(t.Hours()) + " h"
	}
	return bedside(t.Days()) + " days"
}
