package plan

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

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

	truth *bank // already filled, when several trials share it
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

// RunTrial lets every simulated person go through both.
func RunTrial(ctx context.Context, q TrialQuestion) (Trial, error) {
	out, _, err := q.run(ctx)
	return out, err
}

// run also gives the persons, for another trial to share.
func (q TrialQuestion) run(ctx context.Context) (Trial, *bank, error) {
	if err := q.Check(); err != nil {
		return Trial{}, nil, err
	}
	if q.N < 2 {
		return Trial{}, nil, errors.New("a trial needs at least two simulated persons")
	}
	t, err := q.prepare(ctx)
	if err != nil {
		return Trial{}, nil, err
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
	out.UnsolvedRatio = ratio(runs, hand, func(r run) float64 { return 1 - r.share() })
	floors := t.floors()
	out.Floor = stat.Mean(floors, nil)
	out.ReachableRatio = beyond(runs, hand, floors)
	return out, t.truth, ctx.Err()
}

// A stage is what a trial is played on.
type stage struct {
	q             TrialQuestion
	truth         *bank
	belief        *table
	line          *bound
	prior         belief
	meant, really Spreads
}

func (q *TrialQuestion) prepare(ctx context.Context) (*stage, error) {
	s, err := q.setup()
	if err != nil {
		return nil, err
	}
	st := &stage{q: *q, meant: q.spreads(), really: q.Truth}
	if st.really == (Spreads{}) {
		st.really = Usual()
	}
	draw := func(n int, stream uint64, of Spreads) (*bank, error) {
		r := rand.New(rand.NewPCG(q.Seed, stream))
		return s.fill(ctx, drawPeople(n, of, &Look{}, r))
	}
	if st.truth = q.truth; st.truth == nil {
		if st.truth, err = draw(q.N, truthStream, st.really); err != nil {
			return nil, err
		}
	}
	n := q.People
	if n == 0 {
		n = trialPeople
	}
	held, err := draw(n, beliefStream, st.meant)
	if err != nil {
		return nil, err
	}
	st.belief, st.prior = held.newTable(st.meant), even(n)
	st.line = q.newBound(st.belief)
	if q.Changed {
		st.really.Set = math.Hypot(st.really.Set, ChangedSpread.SI())
	}
	return st, nil
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
	for k := range prior {
		prior[k] = look.likely(&t.belief.bank.people[k].face)
	}
	return &planned{table: t.belief, prior: prior.normed(), line: t.line}
}

// each plays one course for everybody, on all cores. A person's own luck at each
// visit comes from the person's number, so both policies meet the same.
func (t *stage) each(ctx context.Context, of func(i int) policy) []run {
	out := make([]run, t.q.N)
	var next atomic.Int64
	var all sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < t.q.N && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				r := rand.New(rand.NewPCG(t.q.Seed^visitStream, uint64(i)))
				out[i] = follow(of(i), t.belief, nil, func(c int) Outcome {
					m, level := t.belief.setting(c)
					return t.truth.visit(i, m, float64(level), t.really, r)
				})
			}
		})
	}
	all.Wait()
	return out
}

// counted is the number of visits, with the unsolved counted as Cap.
func (r run) counted() float64 {
	if !r.solved {
		return Cap
	}
	return float64(r.visits)
}

func (r run) share() float64 {
	if r.solved {
		return 1
	}
	return 0
}

// forecast sums up courses.
func forecast(runs []run) Forecast {
	f := Forecast{N: len(runs), ByVisit: make([]float64, Cap)}
	var visits, changes, unsolved, solved []float64
	for _, r := range runs {
		visits = append(visits, r.counted())
		changes = append(changes, float64(r.changes))
		unsolved = append(unsolved, 1-r.share())
		if r.solved {
			solved = append(solved, float64(r.visits))
			for v := r.visits; v <= Cap; v++ {
				f.ByVisit[v-1] += 1 / float64(len(runs))
			}
		}
	}
	f.Visits, f.Changes, f.SolvedVisits = mean(visits), mean(changes), mean(solved)
	f.Unsolved = share(unsolved)
	return f
}

const z95 = 1.959964

// mean gives an average with its normal confidence interval.
func mean(x []float64) Mean {
	if len(x) == 0 {
		return Mean{}
	}
	m, sd := stat.MeanStdDev(x, nil)
	if len(x) < 2 {
		sd = 0
	}
	e := z95 * sd / math.Sqrt(float64(len(x)))
	return Mean{m, m - e, m + e}
}

// share gives a share with Wilson's interval, which holds near none and all
// (E. B. Wilson, J Am Stat Assoc 1927;22:209-12).
func share(x []float64) Mean {
	n, p := float64(len(x)), stat.Mean(x, nil)
	c := (p + z95*z95/(2*n)) / (1 + z95*z95/n)
	e := z95 / (1 + z95*z95/n) * math.Sqrt(p*(1-p)/n+z95*z95/(4*n*n))
	return Mean{p, max(0, c-e), min(1, c+e)}
}

// ratio gives the ratio of two averages over the same persons, with an interval
// by drawing persons anew (bootstrap, 1000 draws from a fixed stream).
func ratio(a, b []run, of func(run) float64) Mean {
	return ratioOf(len(a), func(k int) (x, y float64) { return of(a[k]), of(b[k]) })
}

// ratioOf is the same for any two figures of a person.
func ratioOf(n int, of func(k int) (x, y float64)) Mean {
	over := func(pick func(int) int) float64 {
		x, y := 0.0, 0.0
		for i := range n {
			dx, dy := of(pick(i))
			x, y = x+dx, y+dy
		}
		if y <= 0 {
			return 0
		}
		return x / y
	}
	r := rand.New(rand.NewPCG(uint64(n), 1000))
	draws := make([]float64, 1000)
	for d := range draws {
		draws[d] = over(func(int) int { return r.IntN(n) })
	}
	slices.Sort(draws)
	return Mean{over(func(i int) int { return i }), draws[25], draws[974]}
}
