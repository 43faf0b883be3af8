package report

import (
	"fmt"
	"strings"

	"tautline/kernel/coursework"
)

// What is said of coursework. No sentence about an answer holds a digit: the
// right number cannot slip out where none is written.

// TaskJudgement says what can be said of an answer.
func TaskJudgement(t *coursework.Task, j coursework.Judgement) string {
	if s, ok := judgements[j.Verdict]; ok {
		return s
	}
	switch j.Verdict {
	case coursework.NoUnit:
		return "The number has no unit. Write it with one, as in " + taskExample(t) + "."
	case coursework.OtherQuantity:
		return fmt.Sprintf("Unit: the question asks for %s %s, and this is something else. Write it in %s.",
			t.Number.Quantity.Article, t.Number.Quantity.Name, t.Number.Unit)
	case coursework.UnknownOption:
		return "That cannot be chosen here. " + TaskHow(t)
	case coursework.OtherCause:
		return "A number of this patient, but of something else: it is " + causeWords[j.Cause] +
			". The question asks for another line of the table."
	}
	return ""
}

var judgements = map[coursework.Verdict]string{
	coursework.Unanswered: "Not answered yet.",
	coursework.NotANumber: "That is no number with a unit that this task could take. Look at what the question asks for, and in which unit.",
	coursework.OutOfRange: "No mask and no machine gets there: look at sign, unit and point once more.",
	coursework.NoReason:   "The choice needs its reason as well: a sentence of a few words, after the choice.",
	coursework.InForm:     "Taken down. The form is in order; whether it is right is told when the work comes back.",
	coursework.Right:      "Right. Now say aloud why it comes out so, and look at the mask and the skin before you believe any number.",
	coursework.SignSlip:   "Sign: the size is right, the sign is not. Which way does it go?",
	coursework.UnitSlip:   "Unit: this would be right if its unit were another one. Which unit stands at the number that you read?",
	coursework.TenTimes:   "Order of magnitude: the digits are right, the point is not. Could a mask or a strap do that?",
	coursework.OtherSite:  "Another site: that belongs to another place of the rim. Find the place that the question asks about.",
	coursework.NotYet:     "Not yet, and it is none of the usual slips. Were the numbers of the question used, and all of them? A hint may help.",
}

// causeWords says what a number belongs to.
var causeWords = map[coursework.Cause]string{
	coursework.VentFlow:    "the flow through the mask vent, which belongs there",
	coursework.Leak:        "the leak past the cushion all round",
	coursework.SiteLeak:    "the leak at one place of the rim only",
	coursework.TotalFlow:   "the total flow, vent and leak together",
	coursework.MouthLeak:   "the leak by the mouth",
	coursework.MouthAndRim: "the leak by mouth and cushion together",
	coursework.StrapsSet:   "the pull of the straps as they were set, without pressure",
	coursework.StrapsNow:   "the pull of all straps at pressure",
	coursework.PerStrap:    "the pull of one strap, where the sum is asked for",
	coursework.Push:        "the push on the face",
	coursework.SetPressure: "the pressure set at the machine",
	coursework.MaskPress:   "the pressure in the mask",
	coursework.Contact:     "the largest contact pressure",
	coursework.MeanContact: "the mean contact pressure",
	coursework.Margin:      "the net margin",
}

// taskWords are how cells write units.
var taskWords = map[string]string{"N": "N", "L/min": "LPerMin", "cmH2O": "CmH2O", "mmHg": "MmHg", "mm": "Mm"}

// taskExample shows how an answer is written, without a number.
func taskExample(t *coursework.Task) string {
	return "your number*" + taskWords[t.Number.Unit]
}

// TaskHow says how a task is answered.
func TaskHow(t *coursework.Task) string {
	var ways, choices []string
	if t.Number != nil {
		ways = append(ways, "q.Answer("+taskExample(t)+")")
	}
	if t.Choice != nil {
		ways = append(ways, `q.Choose("...", "because ...")`)
		choices = t.Choice.Names()
	}
	how := "Answer with " + strings.Join(ways, " and ") + ", where q stands for the name before := above."
	if len(choices) > 0 {
		how += ` You can choose "` + strings.Join(choices, `", "`) + `".`
	}
	return how
}

// TaskKind says what a task tells of an answer.
func TaskKind(t *coursework.Task) string {
	if t.Kind == coursework.Graded {
		return "Graded: only the form of the answer is looked at now."
	}
	return "Practice: you hear at once what is off. Hint() helps in steps."
}

// TaskHint says a hint.
func TaskHint(r *coursework.Record, text string, ok bool) string {
	switch {
	case ok:
		return fmt.Sprintf("Hint %d of %d: %s", r.Hints, len(r.Task.Hints), text)
	case len(r.Task.Hints) == 0:
		return "This task has no hints: graded work is your own."
	}
	return "That was the last hint. Read them again from the top, with the table beside them."
}

// TaskProgress is the line that says how far the work is.
func TaskProgress(w *coursework.Work) string {
	p, g := w.Counted(coursework.Practice), w.Counted(coursework.Graded)
	return fmt.Sprintf("Progress: practice %d of %d right; graded %d of %d handed in with the form in order.", p.Done, p.All, g.Done, g.All)
}

// TaskState says how far a task is.
func TaskState(r *coursework.Record) string {
	switch s := r.State(); {
	case s == coursework.Open:
		return "not answered yet"
	case s == coursework.Partly:
		return "a part is missing"
	case s == coursework.Wrong:
		return "to be done again"
	case r.Task.Kind == coursework.Graded:
		return "taken down"
	}
	return "right"
}

// TaskRows is the table of all tasks.
func TaskRows(w *coursework.Work) [][]string {
	rows := [][]string{{"task", "about", "kind", "state", "hints"}}
	for _, t := range w.Tasks {
		r, _ := w.Record(t.Name)
		hints := "none"
		if len(t.Hints) > 0 {
			hints = fmt.Sprintf("%d of %d", r.Hints, len(t.Hints))
		}
		rows = append(rows, []string{t.Name, t.About, string(t.Kind), TaskState(r), hints})
	}
	return rows
}

// TaskNotRight is what a failed check says.
func TaskNotRight(r *coursework.Record) string {
	switch r.State() {
	case coursework.Open:
		return fmt.Sprintf("%q is not answered", r.Task.Name)
	case coursework.Partly:
		return fmt.Sprintf("a part of %q is not answered yet. %s", r.Task.Name, TaskHow(r.Task))
	}
	for _, j := range []coursework.Judgement{r.Number, r.Choice} {
		if j.Verdict != coursework.Unanswered && !j.Good() {
			return fmt.Sprintf("%q has to be done again. %s", r.Task.Name, TaskJudgement(r.Task, j))
		}
	}
	return fmt.Sprintf("the answer to %q is not right", r.Task.Name)
}
