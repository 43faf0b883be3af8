package coursework

// A Work is what one student has done so far in a set of tasks. It lives as long
// as the notebook that made it.
type Work struct {
	Codes
	Tasks   Set
	records map[string]*Record
}

// A Record is what stands for one task.
type Record struct {
	Task   *Task
	Own    []Own
	Number Judgement // Unanswered at first
	Choice Judgement
	Value  any // the last answer by a number, as it was given
	Option string
	Reason string
	Hints  int // shown so far
}

// NewWork begins.
func NewWork(c Codes, s Set) *Work { return &Work{Codes: c, Tasks: s, records: map[string]*Record{}} }

// Record gives what stands for a task; the same one each time.
func (w *Work) Record(task string) (*Record, bool) {
	if r, ok := w.records[task]; ok {
		return r, true
	}
	t, ok := w.Tasks.Find(task)
	if !ok {
		return nil, false
	}
	r := &Record{Task: t, Own: t.Own(w.Codes)}
	w.records[task] = r
	return r, true
}

// Answer judges a number and keeps it.
func (r *Record) Answer(v any) (Judgement, error) {
	j, err := r.Task.Judge(r.Own, v)
	if err == nil {
		r.Number, r.Value = j, v
	}
	return j, err
}

// Choose judges a choice with its reason and keeps both.
func (r *Record) Choose(option, reason string) (Judgement, error) {
	j, err := r.Task.Choose(r.Own, option, reason)
	if err == nil {
		r.Choice, r.Option, r.Reason = j, option, reason
	}
	return j, err
}

// Hint gives the next hint and whether there is one; hints come one at a time.
func (r *Record) Hint() (text string, ok bool) {
	if r.Hints == len(r.Task.Hints) {
		return "", false
	}
	r.Hints++
	return r.Task.Hints[r.Hints-1], true
}

// A State is how far a task is.
type State int

// The states.
const (
	Open   State = iota // nothing answered
	Partly              // a part is missing
	Wrong               // a part has to be done again
	Done                // right, or of a graded task in form
)

// State sums up the parts.
func (r *Record) State() State {
	parts, answered, good := 0, 0, 0
	for _, p := range []struct {
		asked bool
		j     Judgement
	}{{r.Task.Number != nil, r.Number}, {r.Task.Choice != nil, r.Choice}} {
		if !p.asked {
			continue
		}
		parts++
		if p.j.Verdict != Unanswered {
			answered++
		}
		if p.j.Good() {
			good++
		}
	}
	switch {
	case answered == 0:
		return Open
	case good < answered:
		return Wrong
	case answered < parts:
		return Partly
	}
	return Done
}

// A Count is how many of one kind of task are done.
type Count struct{ Done, All int }

// Counted counts the tasks of a kind.
func (w *Work) Counted(k Kind) (c Count) {
	for _, t := range w.Tasks {
		if t.Kind != k {
			continue
		}
		c.All++
		if r, _ := w.Record(t.Name); r.State() == Done {
			c.Done++
		}
	}
	return c
}
