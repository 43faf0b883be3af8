package plan

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"
)

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

func unsolved(r run) float64 { return 1 - r.share() }

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
