package report

import (
	"fmt"
	"strings"

	"tautline/model/fit"
	"tautline/model/unit"
)

// trace is the leak that counts as leak at all in a sentence.
const trace = 0.1 * unit.LPerMin

// PointSentence says in one or two sentences what happens at one pressure, in
// a position such as "on the back".
func PointSentence(p fit.Point, position string) string {
	where := capital(position)
	if where == "" {
		where = "As put on"
	}
	s := fmt.Sprintf("%s at %s ", where, Airway(p.Set))
	site, margin := weakest(p)
	if p.Leak < trace {
		s += fmt.Sprintf("it holds: hardly any air passes the cushion, besides %s through the mask vent, which belongs there. ", Flow(p.Vent))
		s += fmt.Sprintf("Weakest: %s, with %s to spare.", Both(p, site), Airway(margin))
		return s + afterthought(p)
	}
	at, through := leakiest(p)
	both := Both(p, at)
	if through > 0.9*p.Leak || both != The(at) && 2*through > 0.9*p.Leak {
		s += fmt.Sprintf("it leaks at %s: about %s", both, Flow(p.Leak))
	} else {
		s += fmt.Sprintf("it leaks, most at %s: about %s in all", both, Flow(p.Leak))
	}
	s += fmt.Sprintf(", besides %s through the mask vent, which belongs there.", Flow(p.Vent))
	return s + afterthought(p)
}

// afterthought adds what else a person should know of the point.
func afterthought(p fit.Point) string {
	var more []string
	if p.Mask < 0.9*p.Set {
		more = append(more, fmt.Sprintf("Only %s of the %s set arrive at the mask: the flow is more than machine and hose can carry.",
			bedside(p.Mask.CmH2O()), Airway(p.Set)))
	}
	for _, w := range p.Warnings {
		if s := WarningSentence(w); s != "" {
			more = append(more, s)
		}
	}
	if len(more) == 0 {
		return ""
	}
	return " " + strings.Join(more, " ")
}

// WarningSentence says a warning.
func WarningSentence(w fit.Warning) string {
	switch w {
	case fit.Crushed:
		return "The cushion is crushed over more than half of the rim: beyond this a fold may bring the leak back; loosen."
	case fit.StrapSlack:
		return "At least one strap hangs slack."
	case fit.VentExtrapolated:
		return "The vent's flow lies outside the pressures that its curve was measured at."
	case fit.SourceLimit:
		return "The machine cannot hold the set pressure at this flow."
	case fit.BelowWashout:
		return "The mask vent passes less than washing out the breath takes: look at the vent now."
	}
	return ""
}

// OpeningSentence says when and where the seal lets go. Both pressures are
// those in the mask.
func OpeningSentence(p fit.Point) string {
	site := Both(p, p.OpensFirst)
	switch {
	case p.HasLiftOff && p.LiftOff <= 0.05*unit.CmH2O:
		return fmt.Sprintf("At %s the cushion stands off the skin from the start, so it leaks at any pressure.", site)
	case p.HasLiftOff && p.HasOnset && p.Onset < p.LiftOff:
		return fmt.Sprintf("First to open: %s. A leak begins at %s in the mask, and from %s on (lift-off) the air there pushes harder than the cushion.",
			site, Airway(p.Onset), Airway(p.LiftOff))
	case p.HasLiftOff:
		return fmt.Sprintf("First to open: %s, at %s in the mask (lift-off).", site, Airway(p.LiftOff))
	case p.HasOnset:
		return fmt.Sprintf("Weakest: %s; a leak begins at %s in the mask.", site, Airway(p.Onset))
	}
	return fmt.Sprintf("Weakest: %s; nothing opens up to 60 cmH2O, the highest pressure looked at.", site)
}

// SiteRows is the table by site, heading first: contact in mmHg (largest and
// mean), net margin in cmH2O, gap in mm, leak in L/min.
func SiteRows(p fit.Point) [][]string {
	rows := [][]string{{"site", "contact", "(mean)", "net margin", "gap", "leak"},
		{"", "mmHg", "mmHg", "cmH2O", "mm", "L/min"}}
	for _, s := range p.Sites {
		rows = append(rows, []string{s.Site.String(),
			fmt.Sprintf("%.0f", nonzero(s.Contact.MmHg())), fmt.Sprintf("%.0f", nonzero(s.ContactMean.MmHg())),
			bedside(s.Margin.CmH2O()), fmt.Sprintf("%.2f", s.Gap.Mm()), bedside(s.Leak.LPerMin())})
	}
	return rows
}

// PointRows is the table of what holds for the whole mask.
func PointRows(p fit.Point) [][]string {
	return [][]string{
		{"set pressure", Airway(p.Set)},
		{"mask pressure", Airway(p.Mask)},
		{"straps, set at zero pressure", Pull(p.StrapSet)},
		{"straps, at this pressure", Pull(p.StrapAtPressure)},
		{"push on the face", Pull(p.Push)},
		{"mask vent flow", Flow(p.Vent)},
		{"unintentional leak", Flow(p.Leak)},
	}
}
