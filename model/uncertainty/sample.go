package uncertainty

import (
	"context"
	"math/rand/v2"
	"runtime"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/samplemv"
)

// The streams of one seed: what is drawn for one purpose does not move what is
// drawn for another.
const (
	drawStream = iota
	screenStream
	indexStream
	bootstrapStream
)

// cube draws n points of the d-dimensional unit cube as a Latin hypercube: each
// input meets each of n equal slices of its range once (M. D. McKay, R. J.
// Beckman, W. J. Conover, Technometrics 1979;21:239-45, from memory).
func cube(n, d int, seed, stream uint64) *mat.Dense {
	src := rand.NewPCG(seed, stream)
	u := mat.NewDense(n, d, nil)
	samplemv.LatinHypercube{Q: distmv.NewUnitUniform(d, src), Src: src}.Sample(u)
	return u
}

// each does n pieces of work on all cores and stops at the first error or when
// the context ends. Every piece writes to its own place, so that the order in
// which they are done does not show.
func each(ctx context.Context, n int, did func(), work func(i int) error) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				if err := work(i); err != nil {
					stop(err)
					return
				}
				did()
			}
		})
	}
	all.Wait()
	return context.Cause(ctx)
}

// counter counts work and tells it to whoever listens.
func counter(total int, tell func(done, total int)) func() {
	var done atomic.Int64
	return func() {
		if n := int(done.Add(1)); tell != nil {
			tell(n, total)
		}
	}
}
