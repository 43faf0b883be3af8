package picture

import (
	"fmt"

	"gonum.org/v1/plot/plotter"

	"tautline/model/mask"
	"tautline/model/night"
	"tautline/model/unit"
)

// careNames are the ways of looking after a cushion where room is short.
var careNames = map[mask.Care]string{mask.CareRarely: "rarely washed", mask.CareWeekly: "washed weekly", mask.CareDaily: "wiped daily"}

var careStyles = map[mask.Care]style{mask.CareRarely: styles[2], mask.CareWeekly: styles[0], mask.CareDaily: styles[1]}

// Care draws leak and lift-off over months for each way of looking after a
// cushion; one column for each interval of replacement.
func Care(a night.CareAnswer, o ...Option) *Picture {
	q := a.Question
	c := &chart{title: titled(gather(o), "care of the cushion"), panelHeight: 200,
		x: scale{title: "days since the first new cushion", low: 0, high: q.Days.Days()}}
	c.facts = []fact{{text: "Wear is assumed, not measured: no evidence for supply or refusal.", bold: true}}
	for i := 0; i < len(a.Courses); {
		j := i
		for j < len(a.Courses) && a.Courses[j].Replace == a.Courses[i].Replace {
			j++
		}
		c.cells = append(c.cells, careCell(a.Courses[i:j], q.Limit))
		i = j
	}
	c.alt = careAlt(a)
	return c.picture()
}

func careCell(courses []night.Course, limit unit.Flow) cell {
	leak := panel{title: leakTitle, least: 1, cut: true, rules: []rule{{limit.LPerMin(), "your limit " + perMinute(limit)}}}
	lift := panel{title: "lift-off, cmH2O in the mask", least: 5}
	for _, c := range courses {
		l := series{name: careNames[c.Care], style: careStyles[c.Care], joined: true}
		p := l
		for _, d := range c.Days {
			l.points = append(l.points, plotter.XY{X: d.Day.Days(), Y: d.Leak.LPerMin()})
			if d.HasLiftOff {
				p.points = append(p.points, plotter.XY{X: d.Day.Days(), Y: d.LiftOff.CmH2O()})
			}
		}
		leak.series, lift.series = append(leak.series, l), append(lift.series, p)
	}
	return cell{name: replaceName(courses[0].Replace), panels: []panel{leak, lift}}
}

func replaceName(after unit.Time) string {
	if after == 0 {
		return "cushion kept"
	}
	return "new every " + after.String()
}

func careAlt(a night.CareAnswer) string {
	text := fmt.Sprintf("Leak above and lift-off below over %s, for each habit of care. Wear is assumed.", a.Question.Days)
	for _, c := range a.Courses {
		text += fmt.Sprintf(" %s, %s: leak up to %s.", sentenceCase(careNames[c.Care]), replaceName(c.Replace), perMinute(c.Largest))
	}
	return text
}
