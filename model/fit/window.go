package fit

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/floats"

	"tautline/model/face"
	"tautline/model/seal"
	"tautline/model/unit"
)

func length(m float64) unit.Length { return unit.Length(m) }

const (
	// looks is how many strap forces a window is first looked for at.
	looks = 28
	// pressures is how many pressures of the therapy range are tried.
	pressures = 5
	// edge is how exactly a window's ends are found.
	edge = 0.01 * unit.N
)

// a trial is what one strap force does over the whole therapy range.
type trial struct {
	pull        unit.Force
	leak        unit.Flow     // largest
	leakSite    face.Site     // where most of it escapes
	contact     unit.Pressure // largest
	contactSite face.Site
}

func (t trial) seals(q *Question) bool     { return t.leak <= q.Limit }
func (t trial) underLine(q *Question) bool { return t.contact <= q.Line.Level(q.Worn) }
func (t trial) good(q *Question) bool      { return t.seals(q) && t.underLine(q) }

// try sets the straps to a pull and goes through the therapy range.
func (q *Question) try(f *Fitting, pull unit.Force) (trial, error) {
	t := trial{pull: pull}
	s := f.Case.Straps
	s.Pull = pull
	g, err := f.WithStraps(s)
	if errors.Is(err, seal.ErrTips) { // too loose to hold the mask at all
		t.leak = unit.Flow(math.Inf(1))
		return t, nil
	}
	if err != nil {
		return t, err
	}
	range_ := floats.Span(make([]float64, pressures), float64(q.Range[0]), float64(q.Range[1]))
	for _, set := range range_ {
		mask, pose, err := g.arrive(unit.Pressure(set))
		if errors.Is(err, seal.ErrTips) {
			t.leak = unit.Flow(math.Inf(1))
			continue
		}
		if err != nil {
			return t, err
		}
		t.look(g, pose, mask)
	}
	return t, nil
}

// look takes note of the worst leak and the largest contact.
func (t *trial) look(g *Fitting, pose seal.Pose, mask unit.Pressure) {
	var leaks [face.SiteCount]float64
	total := 0.0
	for i := range g.problem.Segments {
		st := g.problem.State(i, pose, float64(mask))
		site := g.problem.Segments[i].Site
		leaks[site] += st.Leak
		total += st.Leak
		if c := unit.Pressure(st.Contact); c > t.contact {
			t.contact, t.contactSite = c, site
		}
	}
	if unit.Flow(total) > t.leak {
		t.leak, t.leakSite = unit.Flow(total), face.Site(floats.MaxIdx(leaks[:]))
	}
}

// window looks for the strap forces that seal the range under the line. It
// tries forces from loose to tight, takes the longest run that does both and
// closes in on its ends.
func (q *Question) window(ctx context.Context, f *Fitting) (Window, error) {
	w := Window{Holds: q.settings()}
	w.Holds.Straps, w.Holds.Pressure = 0, 0
	pulls := floats.LogSpan(make([]float64, looks), float64(q.Between[0]), float64(q.Between[1]))
	trials := make([]trial, looks)
	for i, pull := range pulls {
		if err := ctx.Err(); err != nil {
			return w, err
		}
		var err error
		if trials[i], err = q.try(f, unit.Force(pull)); err != nil {
			return w, err
		}
	}
	last := trials[looks-1]
	w.LeakSite, w.LeastLeak = last.leakSite, last.leak
	e := edges{q: q, f: f, trials: trials}
	w.OpenAbove, w.OpenBelow = last.good(q), trials[0].good(q)
	w.Low, w.High, w.Exists = e.run(trial.good)
	w.SealsFrom, _, w.Seals = e.run(trial.seals)
	_, w.LineUntil, w.UnderLine = e.run(trial.underLine)
	if w.Seals && e.err == nil {
		at, err := q.try(f, w.SealsFrom)
		if err != nil {
			return w, err
		}
		w.TopSite, w.TopAtSeal = at.contactSite, at.contact
	}
	return w, e.err
}

// edges finds where runs of good trials begin and end.
type edges struct {
	q      *Question
	f      *Fitting
	trials []trial
	err    error
}

// run gives the longest run of forces that pass, ends included.
func (e *edges) run(pass func(trial, *Question) bool) (low, high unit.Force, found bool) {
	first, count := 0, 0
	for i := 0; i < looks; {
		n := 0
		for i+n < looks && pass(e.trials[i+n], e.q) {
			n++
		}
		if n > count {
			first, count = i, n
		}
		i += n + 1
	}
	if count == 0 {
		return e.narrow(pass)
	}
	low, high = e.trials[first].pull, e.trials[first+count-1].pull
	if first > 0 {
		low = e.close(pass, e.trials[first-1].pull, low)
	}
	if end := first + count; end < looks {
		high = e.close(pass, e.trials[end].pull, high)
	}
	return low, high, true
}

// narrow looks between the tries for a run too short to be met by one: the
// loosest force that seals may still lie under the line.
func (e *edges) narrow(pass func(trial, *Question) bool) (low, high unit.Force, found bool) {
	for i := 1; i < looks; i++ {
		a, b := e.trials[i-1], e.trials[i]
		if a.seals(e.q) || !b.seals(e.q) || !a.underLine(e.q) || b.underLine(e.q) {
			continue
		}
		low = e.close(trial.seals, a.pull, b.pull)
		high = e.close(trial.underLine, b.pull, a.pull)
		if low <= high {
			return low, high, true
		}
	}
	return 0, 0, false
}

// close halves the way from a force that fails to one that passes and gives
// the nearest that passes.
func (e *edges) close(pass func(trial, *Question) bool, fails, passes unit.Force) unit.Force {
	for math.Abs(float64(passes-fails)) > float64(edge) && e.err == nil {
		middle := (fails + passes) / 2
		t, err := e.q.try(e.f, middle)
		if err != nil {
			e.err = err
			return passes
		}
		if pass(t, e.q) {
			passes = middle
		} else {
			fails = middle
		}
	}
	return passes
}

// judge puts one strap force against the window.
func (w *Window) judge(pull unit.Force) Verdict {
	switch {
	case !w.Exists && !w.Seals:
		return EmptyByShape
	case !w.Exists:
		return EmptyByLine
	case pull < w.Low-edge:
		return Opens
	case pull > w.High+edge:
		return TooTight
	}
	return Holds
}
