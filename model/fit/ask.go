package fit

import (
	"context"
	"errors"
	"fmt"

	"tautline/model/seal"
)

// Ask answers a question: the case as stated, every point of the sweep, the
// windows, the split of the mismatch, and what to try in bedside order.
func Ask(ctx context.Context, q Question) (Answer, error) {
	if err := q.Check(); err != nil {
		return Answer{}, err
	}
	base, err := PutOn(q.Case)
	if err != nil {
		return Answer{}, err
	}
	a := Answer{Question: q}
	if a.Now, err = base.At(q.Pressure); err != nil {
		return a, err
	}
	if a.Top, err = base.At(q.Range[1]); err != nil {
		return a, err
	}
	s := sweeper{q: &q, on: map[Settings]*Fitting{key(q.settings()): base}}
	if a.Rows, err = s.rows(ctx); err != nil {
		return a, err
	}
	a.Tipped = s.tipped
	if a.Window, err = q.window(ctx, base); err != nil {
		return a, err
	}
	if a.Windows, err = s.windows(ctx, a.Window); err != nil {
		return a, err
	}
	if a.Split, err = base.Split(); err != nil {
		return a, err
	}
	a.judge()
	a.Options, err = s.options(ctx, base, &a)
	return a, err
}

// Split tells what of the mismatch straps can take up.
func (f *Fitting) Split() (Split, error) {
	s, err := f.problem.Split()
	if err != nil {
		return Split{}, fmt.Errorf("the rim's mismatch cannot be split: %w", err)
	}
	return Split{Total: length(s.Total), Shape: length(s.Left), Straps: length(max(0, s.Total-s.Left)),
		Worst: f.problem.Segments[s.Worst].Site}, nil
}

// judge puts the strap force against the window.
func (a *Answer) judge() {
	pull := a.Question.Case.Total()
	a.Verdict = a.Window.judge(pull)
	if g := a.Question.Guess; g[1] > g[0] {
		a.Doubt = []Verdict{a.Window.judge(g[0]), a.Window.judge(g[1])}
	}
}

// sweeper puts the mask on once for each rim it meets and then only resets the
// straps.
type sweeper struct {
	q      *Question
	on     map[Settings]*Fitting
	tipped []Settings
}

// key leaves of the settings what a new rim depends on.
func key(s Settings) Settings {
	s.Straps, s.Pressure, s.Balance = 0, 0, 0
	return s
}

// fitting gives the fitting for some settings.
func (s *sweeper) fitting(set Settings) (*Fitting, error) {
	c, err := s.q.caseFor(set)
	if err != nil {
		return nil, err
	}
	f, ok := s.on[key(set)]
	if !ok {
		if f, err = PutOn(c); err != nil {
			return nil, err
		}
		s.on[key(set)] = f
	}
	if f.Case.Straps == c.Straps {
		return f, nil
	}
	return f.WithStraps(c.Straps)
}

// rows goes through the axes, the last one fastest.
func (s *sweeper) rows(ctx context.Context) ([]Row, error) {
	all := []Settings{s.q.settings()}
	for _, axis := range s.q.Axes {
		var next []Settings
		for _, at := range all {
			for i := range axis.len() {
				at.set(axis, i)
				next = append(next, at)
			}
		}
		all = next
	}
	if len(s.q.Axes) == 0 {
		return nil, nil
	}
	rows := make([]Row, 0, len(all))
	var now rowMaker
	for i, set := range all {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		p, err := now.point(s, set, i > 0 && sameButPressure(set, all[i-1]))
		switch {
		case errors.Is(err, seal.ErrTips):
			s.tipped = append(s.tipped, set)
		case err != nil:
			return nil, fmt.Errorf("%s: %w", set.at(), err)
		default:
			rows = append(rows, Row{set, p})
		}
	}
	return rows, nil
}

// rowMaker keeps the fitting of the last point: points that differ in pressure
// only share it and its lift-off.
type rowMaker struct {
	fitting *Fitting
	limits  Limits
	err     error
}

func (m *rowMaker) point(s *sweeper, set Settings, same bool) (Point, error) {
	if !same {
		if m.fitting, m.err = s.fitting(set); m.err == nil {
			m.limits, m.err = m.fitting.Limits()
		}
	}
	if m.err != nil {
		return Point{}, m.err
	}
	return m.fitting.at(set.Pressure, m.limits)
}

func sameButPressure(a, b Settings) bool {
	a.Pressure, b.Pressure = 0, 0
	return a == b
}

// at names a point of the sweep in an error.
func (s Settings) at() string {
	return fmt.Sprintf("at %s of strap pull and %s set", s.Straps, s.Pressure)
}

// windows finds one window for each setting that the axes vary besides straps
// and pressure.
func (s *sweeper) windows(ctx context.Context, base Window) ([]Window, error) {
	all := []Settings{s.q.settings()}
	varied := false
	for _, axis := range s.q.Axes {
		if axis.Variable == ByStraps || axis.Variable == ByPressure {
			continue
		}
		varied = true
		var next []Settings
		for _, at := range all {
			for i := range axis.len() {
				at.set(axis, i)
				next = append(next, at)
			}
		}
		all = next
	}
	if !varied {
		return []Window{base}, nil
	}
	out := make([]Window, 0, len(all))
	for _, set := range all {
		f, err := s.fitting(set)
		if errors.Is(err, seal.ErrTips) {
			continue // no strap force was tried: the stated one tips already
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", set.at(), err)
		}
		w, err := s.q.window(ctx, f)
		if err != nil {
			return nil, err
		}
		w.Holds = set
		w.Holds.Straps, w.Holds.Pressure = 0, 0
		out = append(out, w)
	}
	return out, nil
}
