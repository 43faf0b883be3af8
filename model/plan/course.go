package plan

// A tried is one visit of a course: which candidate was meant, and what came.
type tried struct {
	candidate int
	outcome   Outcome
}

// A policy chooses the next candidate from what was tried. It sees nothing of
// the person but what was told. The second result is false when it gives up.
type policy interface {
	next(course []tried) (candidate int, ok bool)
}

// A teller wears a candidate for one visit and tells the outcome.
type teller func(candidate int) Outcome

// A run is one course from the first mask to the end.
type run struct {
	visits, changes int
	solved          bool
}

// follow lets a policy go on from what was tried, up to Cap visits in all.
func follow(p policy, t *table, course []tried, tell teller) run {
	r := run{}
	for len(course) < Cap {
		c, ok := p.next(course)
		if !ok {
			break
		}
		if n := len(course); n > 0 && t.mask(course[n-1].candidate) != t.mask(c) {
			r.changes++
		}
		o := tell(c)
		course = append(course, tried{c, o})
		r.visits++
		if o == Comfortable {
			r.solved = true
			return r
		}
	}
	return r
}
