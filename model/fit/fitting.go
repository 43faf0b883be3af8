package fit

import (
	"fmt"
	"math"

	"tautline/model/face"
	"tautline/model/root"
	"tautline/model/seal"
	"tautline/model/unit"
	"tautline/model/vent"
)

// A Fitting is a case put on: the straps are set and the frame has settled at
// zero pressure. It does not change; several goroutines may ask it at once.
type Fitting struct {
	Case    Case
	problem *seal.Problem
	set     seal.Pose
	vent    vent.Vent // in the mask's gas
}

// PutOn puts the mask on the face and lets it settle at zero pressure.
func PutOn(c Case) (*Fitting, error) {
	p, err := c.Problem()
	if err != nil {
		return nil, err
	}
	f := &Fitting{Case: c, problem: p, vent: c.Mask.Vent.In(c.Gas)}
	return f, f.settle()
}

func (f *Fitting) settle() (err error) {
	if f.set, err = f.problem.Settle(); err != nil {
		return fmt.Errorf("%s with %s of strap pull: %w", f.Case.Mask.Name, f.Case.Total(), err)
	}
	return nil
}

// WithStraps gives the same fitting with the straps set otherwise. The rim and
// the face stay, so it is far quicker than putting on anew.
func (f *Fitting) WithStraps(s Straps) (*Fitting, error) {
	next := &Fitting{Case: f.Case, vent: f.vent}
	next.Case.Straps = s
	if err := next.Case.check(); err != nil {
		return nil, err
	}
	p := *f.problem
	p.Straps = nil
	next.Case.addStraps(&p)
	next.problem = &p
	return next, next.settle()
}

// Problem gives the seal's own view of the fitting.
func (f *Fitting) Problem() *seal.Problem { return f.problem }

// Settled gives the frame's pose at zero pressure.
func (f *Fitting) Settled() seal.Pose { return f.set }

// Pieces gives what a balance at a mask pressure consists of, without a
// circuit: the pose and the leak.
func (f *Fitting) balance(start seal.Pose, mask unit.Pressure) (seal.Pose, unit.Flow, error) {
	q, err := f.problem.Balance(f.set, start, float64(mask))
	if err != nil {
		return q, 0, fmt.Errorf("at %s: %w", mask, err)
	}
	return q, unit.Flow(f.problem.Leak(q, float64(mask))), nil
}

// At finds the balance at a set pressure: machine, hose, vent, seal and frame
// together.
func (f *Fitting) At(set unit.Pressure) (Point, error) {
	limits, err := f.Limits()
	if err != nil {
		return Point{}, err
	}
	return f.at(set, limits)
}

// Balanced finds the balance as At does, without the pressures at which the
// seal opens, which take ten times as long. besides, when given, is what else
// flows out at a mask pressure, such as through the mouth; it must not fall
// with pressure.
func (f *Fitting) Balanced(set unit.Pressure, besides func(unit.Pressure) unit.Flow) (Point, error) {
	mask, q, err := f.arriveWith(set, besides)
	if err != nil {
		return Point{}, err
	}
	p := Point{Set: set, Mask: mask, StrapSet: f.Case.Total()}
	f.describe(&p, q)
	return p, nil
}

func (f *Fitting) at(set unit.Pressure, limits Limits) (Point, error) {
	p, err := f.Balanced(set, nil)
	if err != nil {
		return Point{}, err
	}
	p.LiftOff, p.HasLiftOff = limits.LiftOff, limits.HasLiftOff
	p.Onset, p.HasOnset = limits.Onset, limits.HasOnset
	p.OpensFirst = limits.OpensFirst
	return p, nil
}

// arrive finds the mask pressure at which what the machine and hose deliver
// equals what vent and seal let out.
func (f *Fitting) arrive(set unit.Pressure) (unit.Pressure, seal.Pose, error) {
	return f.arriveWith(set, nil)
}

// arriveWith is arrive with something besides vent and seal.
func (f *Fitting) arriveWith(set unit.Pressure, besides func(unit.Pressure) unit.Flow) (unit.Pressure, seal.Pose, error) {
	if err := SetPressureRange.Check(float64(set)); err != nil {
		return 0, seal.Pose{}, err
	}
	q := f.set
	var failed error
	demand := func(p unit.Pressure) unit.Flow {
		if p <= 0 { // asked while a root is bracketed; nothing leaks inwards here
			through, _ := f.vent.Flow(p)
			return through
		}
		next, leak, err := f.balance(q, p)
		if err != nil {
			failed = err
			return 0
		}
		q = next
		through, _ := f.vent.Flow(p)
		if besides != nil {
			through += besides(p)
		}
		return leak + through
	}
	mask, err := f.Case.Circuit.MaskPressure(set, f.Case.Gas, demand)
	if failed != nil {
		return 0, q, failed
	}
	if err != nil {
		return 0, q, err
	}
	q, err = f.problem.Balance(f.set, q, float64(mask))
	return mask, q, err
}

// describe fills in what the pose means round the rim.
func (f *Fitting) describe(p *Point, q seal.Pose) {
	mask := float64(p.Mask)
	pulls, slack := f.problem.Pulls(f.set, q)
	p.StrapAtPressure = unit.Force(pulls)
	p.Pose = Pose{unit.Length(q[0]), unit.Angle(q[1]), unit.Angle(q[2])}
	p.Push = unit.Force(f.problem.Push(q, mask))
	through, extrapolated := f.vent.Flow(p.Mask)
	p.Vent = through
	p.Segments = make([]SegmentState, len(f.problem.Segments))
	var crushed, around unit.Length
	for i := range p.Segments {
		s, st := &f.problem.Segments[i], f.problem.State(i, q, mask)
		p.Segments[i] = SegmentState{Site: s.Site, X: unit.Length(s.X), Y: unit.Length(s.Y),
			Length: unit.Length(s.Length), Width: unit.Length(s.Width), Mismatch: unit.Length(s.Mismatch),
			Contact: unit.Pressure(st.Contact), Margin: unit.Pressure(st.Margin), Gap: unit.Length(st.Gap),
			Leak: unit.Flow(st.Leak), Crushed: st.Crushed}
		p.Leak += unit.Flow(st.Leak)
		around += p.Segments[i].Length
		if st.Crushed {
			crushed += p.Segments[i].Length
		}
	}
	p.Sites = sites(p.Segments)
	p.warn(Crushed, crushed > around/2)
	p.warn(StrapSlack, slack)
	p.warn(VentExtrapolated, extrapolated && p.Mask > 0)
	p.warn(SourceLimit, f.Case.Circuit.Limited(p.Vent+p.Leak))
	// What leaks past the cushion washes the mask out as well.
	p.warn(BelowWashout, p.Mask > 0 && p.Vent+p.Leak < vent.Floor())
}

func (p *Point) warn(w Warning, when bool) {
	if when {
		p.Warnings = append(p.Warnings, w)
	}
}

// sites sums the segments up by site.
func sites(segments []SegmentState) []SiteState {
	var all [face.SiteCount]SiteState
	var length [face.SiteCount]unit.Length
	for i := range all {
		all[i] = SiteState{Site: face.Site(i), Margin: unit.Pressure(math.Inf(1))}
	}
	for _, s := range segments {
		st := &all[s.Site]
		st.Contact = max(st.Contact, s.Contact)
		st.ContactMean += s.Contact * unit.Pressure(s.Length)
		st.Margin = min(st.Margin, s.Margin)
		st.Gap = max(st.Gap, s.Gap)
		st.Leak += s.Leak
		st.Crushed = st.Crushed || s.Crushed
		length[s.Site] += s.Length
	}
	var out []SiteState
	for i, st := range all {
		if length[i] > 0 {
			st.ContactMean /= unit.Pressure(length[i])
			out = append(out, st)
		}
	}
	return out
}

// Limits are the two pressures that a fitting is known by, both in the mask.
type Limits struct {
	LiftOff    unit.Pressure
	HasLiftOff bool
	Onset      unit.Pressure
	HasOnset   bool
	OpensFirst face.Site
}

const (
	// highest is the mask pressure up to which lift-off and onset are sought.
	highest = 60 * unit.CmH2O
	// onset is the leak that counts as the beginning.
	onset = 0.1 * unit.LPerMin
)

// Limits finds lift-off, the mask pressure at which the first net margin
// reaches zero, and leak onset, where the leak passes 0.1 L/min.
func (f *Fitting) Limits() (l Limits, err error) {
	q := f.set
	var failed error
	pose := func(pressure float64) seal.Pose {
		if q, err = f.problem.Balance(f.set, q, pressure); err != nil {
			failed = err
		}
		return q
	}
	lift := func(pressure float64) float64 {
		m, _ := f.problem.Margin(pose(pressure), pressure)
		return m
	}
	leak := func(pressure float64) float64 {
		return float64(onset) - f.problem.Leak(pose(pressure), pressure)
	}
	at, found := f.firstZero(lift)
	l.LiftOff, l.HasLiftOff = unit.Pressure(at), found
	l.OpensFirst = f.weakest(pose(max(at, 1)), max(at, 1))
	at, found = f.firstZero(leak)
	l.Onset, l.HasOnset = unit.Pressure(at), found
	return l, failed
}

// firstZero finds the lowest pressure at which g falls through zero: steps of
// 3 cmH2O until the sign changes, then a bracketed root.
func (f *Fitting) firstZero(g func(float64) float64) (at float64, found bool) {
	const least = 0.01 // Pa; a margin that is not positive here never was
	lo := least
	if g(lo) <= 0 {
		return 0, true
	}
	for lo < float64(highest) {
		hi := min(lo+float64(3*unit.CmH2O), float64(highest))
		if g(hi) <= 0 {
			x, _, err := root.Find(g, lo, hi, 1e-6)
			return x, err == nil
		}
		lo = hi
	}
	return float64(highest), false
}

// tie is the pressure in Pa within which two margins are the same: on a face
// with two like sides the bridge, then the left side, is named.
const tie = 1e-3

// weakest gives the site with the least net margin; among segments that stand
// off the skin altogether, the one that stands off most.
func (f *Fitting) weakest(q seal.Pose, pressure float64) face.Site {
	best, site := math.Inf(1), face.Bridge
	for i := range f.problem.Segments {
		s := &f.problem.Segments[i]
		st := f.problem.State(i, q, pressure)
		m := st.Margin
		if d := q.At(s.X, s.Y) - s.Mismatch; st.Contact == 0 {
			m += d * 1e6 // further off counts as weaker, by 1 kPa/mm
		}
		if m < best-tie {
			best, site = m, s.Site
		}
	}
	return site
}
