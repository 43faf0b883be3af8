package report

import (
	"fmt"

	"tautline/model/mask"
	"tautline/model/night"
	"tautline/model/unit"
)

// CareLimits says what the answer rests on.
const CareLimits = "How a cushion wears is assumed, not measured: none of this is evidence for supply or refusal, " +
	"and it tells nobody when to replace anything. Look at the cushion: torn, misshapen or greasy counts, months do not."

// CareName says how a cushion is looked after.
func CareName(c mask.Care) string {
	switch c {
	case mask.CareDaily:
		return "wiped daily"
	case mask.CareRarely:
		return "rarely washed"
	}
	return "washed weekly"
}

// CarePlanName says a plan: care and replacement.
func CarePlanName(p night.CarePlan) string {
	return CareName(p.Care) + ", " + replaceWords(p.Replace)
}

func replaceWords(after unit.Time) string {
	if after == 0 {
		return "kept"
	}
	return "new every " + after.String()
}

// CareSentence says what was looked at.
func CareSentence(q night.CareQuestion) string {
	c := q.Case
	c.Cushion = mask.Wear{} // each plan begins with a new one
	return wearing(c, ", "+c.Position.Name) + fmt.Sprintf(". A new cushion followed over %s at %s set; what is wiped daily is washed weekly as well.", q.Days, Airway(q.Pressure))
}

// CareVerdict sets the plans that leak most and least against each other.
func CareVerdict(a night.CareAnswer) string {
	most, least := a.Courses[0], a.Courses[0]
	for _, c := range a.Courses {
		if c.Largest > most.Largest {
			most = c
		}
		if c.Largest < least.Largest {
			least = c
		}
	}
	first := most.Days[0].Leak
	if most.Largest-first < 0.5*unit.LPerMin {
		return fmt.Sprintf("With the assumed wear care makes next to no difference here: over %s %s leaks at the worst of times.", a.Question.Days, Some(most.Largest))
	}
	return fmt.Sprintf("With the assumed wear the leak goes from %s to at most %s (%s), and to at most %s (%s).",
		Some(first), Some(most.Largest), CarePlanName(most.CarePlan), Some(least.Largest), CarePlanName(least.CarePlan))
}

// CareAfterwards says what to look at.
const CareAfterwards = "Afterwards: press the cushion between the fingers beside a new one, run a clean finger round the flap, and note the day when it was changed."

// CareText is the whole answer as text.
func CareText(a night.CareAnswer, ink Ink) string {
	l := letter{ink: ink}
	l.para(ink.Faint(ShortCaution))
	l.gap(CareSentence(a.Question))
	l.gap(ink.Bold(CareVerdict(a)))
	l.gap(CareLimits)
	l.table("Care over "+a.Question.Days.String(), CareRows(a))
	l.gap(CareAfterwards)
	l.gap(ink.Faint(Limits + " " + Disclaimer))
	return l.String()
}

// CareRows is the table of the plans, heading first.
func CareRows(a night.CareAnswer) [][]string {
	rows := [][]string{{"care", "cushion", "cushions", "mean leak", "largest", "above limit"}, {"", "", "", "L/min", "L/min", "% of days"}}
	for _, c := range a.Courses {
		rows = append(rows, []string{CareName(c.Care), replaceWords(c.Replace), fmt.Sprint(c.Cushions),
			bedside(c.Mean.LPerMin()), bedside(c.Largest.LPerMin()), fmt.Sprintf("%.0f", c.Above.Percent())})
	}
	return rows
}
