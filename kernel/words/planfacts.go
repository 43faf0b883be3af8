package words

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"tautline/kernel/scenario"
	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/plan"
	"tautline/model/unit"
)

// A Fact is one thing that is known of a patient before a plan.
type Fact struct {
	name string
	tell func(*plan.Question)
}

// String names the fact.
func (f Fact) String() string { return f.name }

// ticks are what is seen of a face: each stands for a range, not for a figure.
//
// Example: Ticks("narrow bridge", "glasses")
func ticks(seen ...string) Fact {
	for _, s := range seen {
		if !slices.Contains(scenario.FaceTicks(), s) {
			panic(unknown("tick", s, scenario.FaceTicks()))
		}
	}
	return Fact{listed("nothing ticked", seen), func(q *plan.Question) {
		q.Look.Ticks = nil
		for _, s := range seen {
			q.Look.Ticks = append(q.Look.Ticks, plan.Tick(s))
		}
	}}
}

func listed(none string, all []string) string {
	if len(all) == 0 {
		return none
	}
	text := all[0]
	for _, s := range all[1:] {
		text += ", " + s
	}
	return text
}

// noseWidth is what a gauge says across the nostrils.
//
// Unit: millimetres (Mm)
// Example: NoseWidth(34*Mm)
func noseWidth(width unit.Length) Fact {
	check(face.NoseRecord.Check(float64(width)))
	return Fact{"nose " + width.String() + " wide", func(q *plan.Question) { q.Look.NoseWidth = width }}
}

// pressures states the lowest and the highest pressure of the order.
//
// Unit: two pressures, such as 4*CmH2O and 16*CmH2O
// Example: Pressures(4*CmH2O, 16*CmH2O)
func pressures(low, high unit.Pressure) Fact {
	if !(low > 0 && low <= high) {
		panic(fmt.Errorf("%s goes from the lowest to the highest pressure of the order, above zero, not from %s to %s", "Pressures", low, high))
	}
	return Fact{fmt.Sprintf("%s to %s", low, high), func(q *plan.Question) { q.Range = [2]unit.Pressure{low, high} }}
}

// asked are the questions that Told answers.
var asked = map[string]func(*plan.Question) *plan.Told{
	"vomiting":        func(q *plan.Question) *plan.Told { return &q.Gates.Vomiting },
	"takes off alone": func(q *plan.Question) *plan.Told { return &q.Gates.TakesOffAlone },
	"implants":        func(q *plan.Question) *plan.Told { return &q.Gates.Implants },
	"nose blocked":    func(q *plan.Question) *plan.Told { return &q.Gates.NoseBlocked },
	"mouth open":      func(q *plan.Question) *plan.Told { return &q.Look.MouthOpen },
}

// answered are the answers; not knowing is one.
var answered = map[string]plan.Told{unknownChoice: plan.Unknown, "yes": plan.Yes, "no": plan.No}

// told answers a question about a patient: vomiting (or a full stomach, or thick
// secretions), takes off alone, implants (of whoever shares the bed as well),
// nose blocked, mouth open (asleep). The answer is yes, no or don't know.
//
// Example: Told("implants", "no")
func told(question, answer string) Fact {
	place, ok := asked[question]
	if !ok {
		panic(unknown("question", question, slices.Sorted(maps.Keys(asked))))
	}
	a, ok := answered[answer]
	if !ok {
		panic(unknown("answer", answer, []string{"yes", "no", unknownChoice}))
	}
	return Fact{question + ": " + answer, func(q *plan.Question) { *place(q) = a }}
}

// covering are the types that cover so much of a face.
var covering = map[string]mask.Type{"nostrils": mask.Pillows, "nose": mask.Nasal, "nose and mouth": mask.Oronasal}

// coversAtMost is the most of the face that a person lets be covered: nostrils,
// nose, or nose and mouth.
//
// Example: CoversAtMost("nose")
func coversAtMost(part string) Fact {
	t, ok := covering[part]
	if !ok {
		panic(unknown("part of the face", part, []string{"nostrils", "nose", "nose and mouth"}))
	}
	return Fact{"covers at most " + part, func(q *plan.Question) { q.Gates.Covers = t }}
}

// outcome is what came of a mask that was tried, with the strap force if it is
// known.
//
// Unit: newtons (N) or grams on a hanging scale (Grams)
// Example: Outcome("leaks at the bridge", Mask("nasal", "medium"), 3*N)
func outcome(what string, on Mask, pull ...unit.Force) Fact {
	o, anywhere := outcomeOf(what)
	v := plan.Visit{Type: on.Type, Size: on.Size, What: o, Anywhere: anywhere}
	switch {
	case on.Type == "":
		panic(errors.New(`this mask is empty; an outcome belongs to a mask, such as Outcome("sore", Mask("nasal", "medium"))`))
	case len(pull) > 1:
		panic(errors.New("an outcome has one strap force, the sum of all straps, such as 3*N"))
	case len(pull) == 1 && !(pull[0] > 0):
		panic(fmt.Errorf("the straps of a mask that was tried pull with more than zero, not %s; leave the force out if it is not known", pull[0]))
	case len(pull) == 1:
		v.Pull = pull[0]
	}
	return Fact{on.Name + ": " + what, func(q *plan.Question) { q.Tried = append(q.Tried[:len(q.Tried):len(q.Tried)], v) }}
}

func outcomeOf(what string) (plan.Outcome, bool) {
	o, anywhere, ok := scenario.ParseOutcome(what)
	if !ok {
		panic(unknown("outcome", what, scenario.OutcomeWords()))
	}
	return o, anywhere
}
