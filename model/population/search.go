package population

// A grid holds, for every pair of readings, how many faces at or below both
// (exclusive) each size would serve: running sums in two directions, so that
// any table is counted by a few look-ups.
type grid struct {
	low    [2]Millimetres
	n      [2]int
	served [sizeCount][]int // (n[0]+1) x (n[1]+1)
}

func newGrid(counts []Count[Shape]) *grid {
	g := &grid{}
	high := [2]Millimetres{}
	for i, c := range counts {
		for d, x := range [2]Millimetres{c.Key.Reading.First, c.Key.Reading.Second} {
			if i == 0 {
				g.low[d], high[d] = x, x
			}
			g.low[d], high[d] = min(g.low[d], x), max(high[d], x)
		}
	}
	for d := range g.n {
		g.n[d] = int(high[d]-g.low[d]) + 1
	}
	for s := range g.served {
		g.served[s] = make([]int, (g.n[0]+1)*(g.n[1]+1))
	}
	for _, c := range counts {
		at := g.at(int(c.Key.Reading.First-g.low[0])+1, int(c.Key.Reading.Second-g.low[1])+1)
		for s, o := range c.Key.Outcomes {
			if o == Fits {
				g.served[s][at] += c.Faces
			}
		}
	}
	for s := range g.served {
		g.sum(g.served[s])
	}
	return g
}

// first is where second readings start to be cut: not at all when there is
// only one.
func (g *grid) first() int {
	if g.n[1] == 1 {
		return 1
	}
	return 0
}

func (g *grid) at(i, j int) int { return i*(g.n[1]+1) + j }

func (g *grid) sum(v []int) {
	for i := 1; i <= g.n[0]; i++ {
		for j := 1; j <= g.n[1]; j++ {
			v[g.at(i, j)] += v[g.at(i-1, j)] + v[g.at(i, j-1)] - v[g.at(i-1, j-1)]
		}
	}
}

// Best searches for the table that serves most of the counted faces, among all
// tables with cuts at whole millimetres: every pair of cuts is tried. The two
// pairs can be looked at apart, because a table "the larger of what both ask
// for" gives small inside one rectangle, small or medium inside a larger one:
//
//	served = small(R1) + medium(R2) - medium(R1) + large(all) - large(R2)
//
// so the gain of the first cuts does not depend on the second, but for R1
// lying inside R2. Among equals the cuts nearest to those of start win.
func Best(counts []Count[Shape], start Table) Table {
	if len(counts) == 0 {
		return start
	}
	g := newGrid(counts)
	best, most, nearest := start, -1, 0
	inner := g.inner(start)
	for i := 0; i <= g.n[0]; i++ {
		for j := g.first(); j <= g.n[1]; j++ {
			k := g.at(i, j)
			in := inner[k]
			served := in.gain + g.served[1][k] - g.served[2][k]
			t := g.table(in, i, j)
			off := distance(t, start)
			if served > most || served == most && off < nearest {
				best, most, nearest = t, served, off
			}
		}
	}
	return best
}

// an innermost is the best place of the first cuts inside a rectangle.
type innermost struct{ i, j, gain, off int }

func (g *grid) table(in innermost, i, j int) Table {
	cut := func(d, k int) Millimetres {
		if g.n[d] == 1 && d == 1 { // no second reading
			return Never
		}
		return g.low[d] + Millimetres(k)
	}
	return Table{First: Cuts{cut(0, in.i), cut(0, i)}, Second: Cuts{cut(1, in.j), cut(1, j)}}
}

// inner finds, for every place of the second cuts, the best first cuts below.
func (g *grid) inner(start Table) []innermost {
	out := make([]innermost, len(g.served[0]))
	for i := 0; i <= g.n[0]; i++ {
		for j := g.first(); j <= g.n[1]; j++ {
			k := g.at(i, j)
			b := innermost{i, j, g.served[0][k] - g.served[1][k], 0}
			b.off = off(g.low[0]+Millimetres(i), start.First.Medium) + off(g.low[1]+Millimetres(j), start.Second.Medium)
			if i > 0 {
				b = better(b, out[g.at(i-1, j)])
			}
			if j > g.first() {
				b = better(b, out[g.at(i, j-1)])
			}
			out[k] = b
		}
	}
	return out
}

func better(a, b innermost) innermost {
	if b.gain > a.gain || b.gain == a.gain && b.off < a.off {
		return b
	}
	return a
}

func off(a, b Millimetres) int { return int(max(a-b, b-a)) }

func distance(a, b Table) int {
	return off(a.First.Medium, b.First.Medium) + off(a.First.Large, b.First.Large) +
		off(a.Second.Medium, b.Second.Medium) + off(a.Second.Large, b.Second.Large)
}
