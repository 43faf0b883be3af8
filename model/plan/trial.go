package plan

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat"

	"tautline/model/mask"
	"tautline/model/unit"
)

// A TrialQuestion sets the plan against trial and error on simulated persons.
// Those are drawn from a stream of their own, of which the plan sees nothing but
// what a gauge reads and what is told after each visit.
type TrialQuestion struct {
	Question         // stock, gates, range, limit, position; what is known of one face is left out
	N        int     // simulated persons
	Truth    Spreads // that they are drawn with; the zero value takes Usual
	Changed  bool    // each person changes the straps once between visits
	// AtOnce lets trial and error re-seat without a visit of its own.
	AtOnce bool

	// Faces also asks for what the plan comes to when it knows each face.
	Faces bool
	// Stuck makes the plan repeat its first setting: a trial that cannot see that
	// fail tells nothing.
	Stuck bool

	shared *shared // between several trials of the same persons; nil for none
}

// A Trial is what came of it.
type Trial struct {
	Question TrialQuestion
	Order    []mask.Type // of types, the one in which trial and error does best
	ByHand   Forecast
	Planned  Forecast
	// VisitsRatio is the plan's mean over that of trial and error, and
	// UnsolvedRatio that of the unsolved shares (0 where both are none).
	VisitsRatio, UnsolvedRatio Mean
	// Floor is the share that stays unsolved whatever is tried: who wears the
	// best setting for that person at all Cap visits. No policy does better.
	Floor float64
	// Knowing is the plan that knows each person's face, but neither skin, habit,
	// mouth nor luck; its N is 0 when it was not asked for.
	Knowing Forecast
	// KnowingRatio is its unsolved share over that of trial and error.
	KnowingRatio Mean
	// ReachableRatio is the ratio of the unsolved shares beyond the floor; 0 where
	// trial and error leaves nothing beyond it.
	ReachableRatio Mean
}

// The streams of random numbers, so that truth and belief share none.
const (
	truthStream  = 0x7472757468
	beliefStream = 0x62656c696566
	visitStream  = 0x7669736974
)

// usualPeople hold a belief; a trial's belief serves all faces, so it is larger.
const (
	usualPeople = 600
	trialPeople = 2000
)

// A shared is what costs the time of a trial: the persons, and the belief before
// any visit with the spreads that it was drawn with.
type shared struct {
	truth  *bank
	belief *table
	prior  belief
	of     Spreads
}

// RunTrial lets every simulated person go through both.
func RunTrial(ctx context.Context, q TrialQuestion) (Trial, error) {
	if err := q.Check(); err != nil {
		return Trial{}, err
	}
	if q.N < 2 {
		return Trial{}, errors.New("a trial needs at least two simulated persons")
	}
	t, err := q.prepare(ctx)
	if err != nil {
		return Trial{}, err
	}
	out := Trial{Question: q}
	var hand []run
	for _, order := range orders() {
		runs := t.each(ctx, func(i int) policy { return t.hand(order, i) })
		if f := forecast(runs); hand == nil || f.Visits.Value < out.ByHand.Visits.Value {
			hand, out.ByHand, out.Order = runs, f, order
		}
	}
	runs := t.each(ctx, func(i int) policy { return t.plan(i) })
	out.Planned = forecast(runs)
	out.VisitsRatio = ratio(runs, hand, func(r run) float64 { return r.counted() })
	out.UnsolvedRatio = ratio(runs, hand, unsolved)
	floors := t.floors()
	out.Floor = stat.Mean(floors, nil)
	out.ReachableRatio = beyond(runs, hand, floors)
	if q.Faces {
		runs, err := t.knowing(ctx)
		if err != nil {
			return Trial{}, err
		}
		out.Knowing = forecast(runs)
		out.KnowingRatio = ratio(runs, hand, unsolved)
	}
	return out, ctx.Err()
}

// A stage is what a trial is played on.
type stage struct {
	q TrialQuestion
	*shared
	line          *bound
	meant, really Spreads
}

func (q *TrialQuestion) prepare(ctx context.Context) (*stage, error) {
	s, err := q.setup()
	if err != nil {
		return nil, err
	}
	st := &stage{q: *q, shared: q.shared, meant: q.spreads(), really: q.Truth}
	if st.shared == nil {
		st.shared = &shared{}
	}
	if st.really == (Spreads{}) {
		st.really = Usual()
	}
	if err := st.draw(ctx, s); err != nil {
		return nil, err
	}
	st.line = q.newBound(st.belief)
	if q.Changed {
		st.really.Set = math.Hypot(st.really.Set, ChangedSpread.SI())
	}
	return st, nil
}

// draw draws the persons and the belief, each from a stream of its own, unless
// they are there.
func (t *stage) draw(ctx context.Context, s setup) (err error) {
	stream := func(of uint64) *rand.Rand { return rand.New(rand.NewPCG(t.q.Seed, of)) }
	if t.truth == nil {
		if t.truth, err = s.fill(ctx, drawPeople(t.q.N, t.really, &Look{}, stream(truthStream))); err != nil {
			return err
		}
	}
	if t.belief != nil && t.of == t.meant {
		return nil
	}
	n := t.q.People
	if n == 0 {
		n = trialPeople
	}
	held, err := s.gather(ctx, n, t.meant, &Look{}, stream(beliefStream))
	if err != nil {
		return err
	}
	t.belief, t.prior, t.of = held.newTable(t.meant), held.prior, t.meant
	return nil
}

// hand is trial and error for one simulated person.
func (t *stage) hand(order []mask.Type, i int) policy {
	p := &t.truth.people[i]
	return &byHand{table: t.belief, order: order, nose: p.nose, length: p.length, atOnce: t.q.AtOnce}
}

// plan is the plan for one: the gauge narrows the belief as it does a size.
func (t *stage) plan(i int) policy {
	p := &t.truth.people[i]
	look := Look{NoseWidth: unit.Length(p.nose), Length: unit.Length(p.length)}
	prior := make(belief, len(t.prior))
	for face := 0; face < len(prior); face += draws {
		like := look.likely(&t.belief.bank.people[face].face)
		for k := face; k < face+draws; k++ {
			prior[k] = t.prior[k] * like
		}
	}
	plan := &planned{table: t.belief, prior: prior.normed(), line: t.line}
	if t.q.Stuck {
		return &stuck{plan}
	}
	return plan
}

// stuck repeats the first setting of a policy, whatever comes of it.
type stuck struct{ policy }

func (s *stuck) next([]tried) (int, bool) { return s.policy.next(nil) }

// each plays one course for everybody. Who was stopped half way asks the context.
func (t *stage) each(ctx context.Context, of func(i int) policy) []run {
	out := make([]run, t.q.N)
	_ = onAllCores(ctx, t.q.N, func(i int) error {
		out[i] = t.course(i, of(i))
		return nil
	})
	return out
}

// course plays one course for one person, whose own luck at each visit comes from
// the person's number, so that all policies meet the same.
func (t *stage) course(i int, p policy) run {
	r := rand.New(rand.NewPCG(t.q.Seed^visitStream, uint64(i)))
	return follow(p, t.belief, nil, func(c int) Outcome {
		m, level := t.belief.setting(c)
		return t.truth.visit(i, m, float64(level), t.really, r)
	})
}
