package report

import (
	"fmt"

	"tautline/model/fit"
	"tautline/model/unit"
)

// VerdictSentence is the one sentence of an answer: what happens at the
// highest pressure of the therapy range, or why no strap setting will do.
func VerdictSentence(a fit.Answer) string {
	q, w, top := a.Question, a.Window, a.Top
	where, high := capital(q.Case.Position.Name), Airway(q.Range[1])
	line := lineWords(q)
	switch a.Verdict {
	case fit.EmptyByShape:
		s := fmt.Sprintf("%s no strap setting holds %s: even at %s, the tightest looked at, %s pass the cushion, most at %s.",
			where, high, Pull(q.Between[1]), Flow(w.LeastLeak), Both(top, w.LeakSite))
		if q.Case.Face.Beard[w.LeakSite] > shortBeard {
			return s + " Hair under the cushion keeps a gap that no strap closes; try a type that does not sit on it."
		}
		return s + " It is shape, and straps cannot cure it; try size or type."
	case fit.EmptyByLine:
		if !w.Seals {
			break
		}
		return fmt.Sprintf("%s no strap setting holds %s with %s below %s: sealing takes %s, which puts %s there. Try size or type.",
			where, high, Both(top, w.TopSite), line, Pull(w.SealsFrom), Contact(w.TopAtSeal))
	case fit.TooTight:
		site, contact := Worst(top)
		s := fmt.Sprintf("%s it holds %s, but tighter than it needs: %s on %s, past %s.",
			where, high, Contact(contact), Both(top, site), line)
		return s + fmt.Sprintf(" The leak stays under %s down to %s.", Flow(q.Limit), Pull(w.Low))
	case fit.Opens:
		s := fmt.Sprintf("%s at %s it opens first at %s: about %s, besides %s through the mask vent, which belongs there.",
			where, high, Both(top, top.OpensFirst), Flow(top.Leak), Flow(top.Vent))
		if top.Leak > q.Limit {
			s += fmt.Sprintf(" Your limit is %s.", Flow(q.Limit))
		}
		return s + sag(top)
	case fit.Holds:
		site, margin := weakest(top)
		if top.Leak < trace {
			return fmt.Sprintf("%s it holds up to %s: hardly any air passes the cushion, besides %s through the mask vent, which belongs there. Weakest: %s, with %s to spare.",
				where, high, Flow(top.Vent), Both(top, site), Airway(margin))
		}
		return fmt.Sprintf("%s it holds up to %s within your limit: about %s pass the cushion, under your %s, besides %s through the mask vent, which belongs there. Weakest: %s.",
			where, high, Flow(top.Leak), Flow(q.Limit), Flow(top.Vent), Both(top, site))
	}
	return PointSentence(top, q.Case.Position.Name)
}

// shortBeard is the length up to which hair hardly leaks (Floyd et al. 2018,
// see face.HairGap).
const shortBeard = 1.6 * unit.Mm

// sag says how much of the set pressure a large leak leaves.
func sag(p fit.Point) string {
	if p.Mask >= 0.9*p.Set {
		return ""
	}
	return fmt.Sprintf(" Only %s of the %s arrive at the mask.", bedside(p.Mask.CmH2O()), Airway(p.Set))
}

// lineWords names the reference line that the user chose.
func lineWords(q fit.Question) string {
	level := Contact(q.Line.Level(q.Worn))
	if _, own := ownLine(q); own {
		return "your " + level + " line"
	}
	if q.Line.TakesTime() {
		return fmt.Sprintf("the %s line (%s after %s)", q.Line.Name, level, q.Worn)
	}
	return fmt.Sprintf("the %s line (%s)", q.Line.Name, level)
}

// ownLine tells a line of the user's own from a published one.
func ownLine(q fit.Question) (unit.Pressure, bool) {
	return q.Line.Level(q.Worn), q.Line.Source == "chosen by the user"
}

// WindowSentence says the fit window, or why there is none.
func WindowSentence(q fit.Question, w fit.Window) string {
	over := fmt.Sprintf("from %s to %s", Airway(q.Range[0]), Airway(q.Range[1]))
	if q.Range[0] == q.Range[1] {
		over = "at " + Airway(q.Range[0])
	}
	keeps := fmt.Sprintf("keeps the leak under %s %s with no site past %s", Flow(q.Limit), over, lineWords(q))
	switch {
	case w.Exists && w.OpenBelow && w.OpenAbove:
		return fmt.Sprintf("Fit window: any strap force from %s to %s, all that was looked at, %s.", Pull(q.Between[0]), Pull(q.Between[1]), keeps)
	case w.Exists && w.OpenBelow:
		return fmt.Sprintf("Fit window: a strap force up to %s %s (%s is the loosest looked at).", Pull(w.High), keeps, Pull(q.Between[0]))
	case w.Exists && w.OpenAbove:
		return fmt.Sprintf("Fit window: a strap force from %s on %s (%s is the tightest looked at).", Pull(w.Low), keeps, Pull(q.Between[1]))
	case w.Exists:
		return fmt.Sprintf("Fit window: a strap force from %s to %s %s.", Pull(w.Low), Pull(w.High), keeps)
	case w.Seals && w.UnderLine:
		return fmt.Sprintf("No fit window: sealing %s takes %s, and the skin stays under %s only up to %s.", over, Pull(w.SealsFrom), lineWords(q), Pull(w.LineUntil))
	case w.Seals:
		return fmt.Sprintf("No fit window: %s is passed at every strap force looked at.", lineWords(q))
	}
	return fmt.Sprintf("No fit window: no strap force up to %s keeps the leak under %s %s.", Pull(q.Between[1]), Flow(q.Limit), over)
}

// LoadSentence says the largest contact as a multiple of the line that the user
// chose, with the time worn beside it where the line takes one.
func LoadSentence(a fit.Answer) string {
	q := a.Question
	site, contact := Worst(a.Top)
	s := fmt.Sprintf("At %s the skin carries most at %s: %s, %s times %s.", Airway(a.Top.Set), Both(a.Top, site),
		Contact(contact), bedside(q.Line.Load(contact, q.Worn)), lineWords(q))
	if q.Line.Name == capillaryLine {
		s += " Every rightly tightened bridge lies above that one: it marks the pressure in a capillary and is no limit for a face."
	}
	return s
}

// capillaryLine is the published line that empties nearly every window.
const capillaryLine = "capillary"

// SplitSentence says what straps can and cannot cure of the mismatch; the point
// tells whether left and right are alike.
func SplitSentence(s fit.Split, p fit.Point) string {
	worst := Both(p, s.Worst)
	if s.Total < 0.3*unit.Mm {
		return "Rim and face match all round: whatever leaks here is a matter of force."
	}
	if s.Straps < 0.1*s.Total {
		return fmt.Sprintf("Straps can remove hardly any of the %s between rim and face: it is shape, and the rim stands off most at %s.", Depth(s.Total), worst)
	}
	return fmt.Sprintf("Straps can remove %s of the %s between rim and face; %s is shape, and the rim stands off most at %s.",
		bedside(s.Straps.Mm()), Depth(s.Total), Depth(s.Shape), worst)
}

// SplitRows lists the parts of the mismatch, each with what changes it.
func SplitRows(s fit.Split, p fit.Point) [][3]string {
	return [][3]string{
		{"uneven by, in all", Depth(s.Total), "size, type"},
		{"of that, straps can take up", Depth(s.Straps), "moving and tilting the mask"},
		{"left as shape", Depth(s.Shape), "cushion, size, type"},
		{"stands off most at", Both(p, s.Worst), "look here first"},
	}
}

// SplitAfter says what to look at once straps or mask were changed.
const SplitAfter = "Shape that remains is not yet a leak: the cushion follows a few millimetres of it. Look where air comes out with the pressure on, and at the skin of the places that stand proud."

// DoubtSentence says what a guessed strap force leaves open; empty when the
// force was measured.
func DoubtSentence(a fit.Answer) string {
	if len(a.Doubt) != 2 {
		return ""
	}
	g := a.Question.Guess
	if a.Doubt[0] == a.Verdict && a.Doubt[1] == a.Verdict {
		return fmt.Sprintf("The strap force was not measured and may be anywhere from %s to %s; the answer is the same at both ends.", Pull(g[0]), Pull(g[1]))
	}
	return fmt.Sprintf("The strap force was not measured, and the answer hangs on it: at %s %s, at %s %s. A small hanging scale would tell.",
		Pull(g[0]), doubtWords(a.Doubt[0]), Pull(g[1]), doubtWords(a.Doubt[1]))
}

func doubtWords(v fit.Verdict) string {
	switch v {
	case fit.Holds:
		return "it lies in the window"
	case fit.Opens:
		return "it leaks past the limit"
	case fit.TooTight:
		return "it passes the line"
	}
	return "there is no window"
}
