package night

import (
	"context"
	"math"
	"runtime"
	"sync"
	"sync/atomic"
)

// Ask sleeps the nights and sums them up.
func Ask(ctx context.Context, q Question) (Answer, error) {
	if err := q.Check(); err != nil {
		return Answer{}, err
	}
	b, err := newBed(&q)
	if err != nil {
		return Answer{}, err
	}
	nights, err := b.all(ctx)
	if err != nil {
		return Answer{}, err
	}
	a := sum(&q, nights)
	a.ExampleAt = middle(&a) + 1
	a.Example, err = b.sleep(a.ExampleAt - 1)
	return a, err
}

// One gives one night of a question, counted from 1, spell by spell.
func One(q Question, night int) ([]Spell, error) {
	if err := q.Check(); err != nil {
		return nil, err
	}
	b, err := newBed(&q)
	if err != nil {
		return nil, err
	}
	return b.sleep(night - 1)
}

// all sleeps every night, several at once. Each result goes to its own place,
// so that nothing depends on which is done first.
func (b *bed) all(ctx context.Context) ([]summary, error) {
	out := make([]summary, b.q.Nights)
	errs := make([]error, b.q.Nights)
	workers := b.q.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var next, done atomic.Int64
	var wait sync.WaitGroup
	for range min(workers, b.q.Nights) {
		wait.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= b.q.Nights || ctx.Err() != nil {
					return
				}
				var spells []Spell
				if spells, errs[i] = b.sleep(i); errs[i] != nil {
					next.Store(int64(b.q.Nights)) // nobody begins another
					return
				}
				out[i] = b.summarize(spells)
				if n := int(done.Add(1)); b.q.Told != nil {
					b.q.Told(n)
				}
			}
		})
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, ctx.Err()
}

// middle finds the night whose statistic is nearest to the middle of all.
func middle(a *Answer) int {
	want, best := a.PerNight[a.Question.Statistic].Middle, 0
	for i, v := range a.Values {
		if math.Abs(v.LPerMin()-want) < math.Abs(a.Values[best].LPerMin()-want) {
			best = i
		}
	}
	return best
}
