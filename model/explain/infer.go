package explain

import (
	"context"
	"math"
	"runtime"
	"sync"

	"tautline/model/unit"
)

// A posterior is what the weighing came to, before anything is made of it for
// a reader.
type posterior struct {
	readings []reading
	weights  [CauseCount][]weight
	share    [CauseCount][]float64 // of each draw within its cause
	evidence byCause               // log
	unseen   float64               // share of a leak on the side that no reading shows
	prior    byCause
	readOnly byCause // probabilities after the readings
	after    byCause // and after the findings
	said     byCause // the same as it is said: see named
}

// infer weighs all draws against a question's readings.
func (b *Bank) infer(ctx context.Context, q *Question) (*posterior, error) {
	p := &posterior{readings: b.take(q)}
	next := make(chan Cause, CauseCount)
	for c, asked := range q.asked() {
		p.evidence[c] = math.Inf(-1)
		if asked {
			next <- Cause(c)
		}
	}
	close(next)
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), int(CauseCount)) {
		all.Go(func() {
			w := &weigher{b: b, readings: p.readings, shape: make([]float64, len(p.readings))}
			for c := range next {
				if ctx.Err() != nil {
					return
				}
				p.weighCause(w, c, q)
			}
		})
	}
	all.Wait()
	p.conclude(b, q)
	return p, ctx.Err()
}

// weighCause fills in one cause: each draw's weight and the mean of them.
func (p *posterior) weighCause(w *weigher, c Cause, q *Question) {
	draws := w.b.draws[c]
	ws, logs := make([]weight, len(draws)), make([]float64, len(draws))
	before := 0.0 // what the draws weigh without the readings
	for i := range draws {
		ws[i] = w.draw(c, &draws[i])
		known := q.fits(&draws[i])
		before += known
		logs[i] = ws[i].log + math.Log(known)
	}
	p.weights[c] = ws
	p.share[c], p.evidence[c] = normalized(logs)
	p.evidence[c] -= math.Log(before)
	if c == SideSleeping && q.asked()[NothingUnusual] {
		p.unseen = w.unseen(draws, p.evidence[c])
	}
}

// unseen is how much of the evidence for a leak on the side comes from no
// reading having been taken there.
func (w *weigher) unseen(draws []draw, evidence float64) float64 {
	logs := make([]float64, len(draws))
	for i := range draws {
		logs[i] = w.absent(&draws[i])
	}
	_, sum := normalized(logs)
	return min(math.Exp(sum-math.Log(float64(len(draws)))-evidence), 1)
}

// named gives probabilities as they are said. A leak on the side that no
// reading shows looks like nothing unusual, and quiet readings are no sign of
// it: it is counted there, until something that was seen tells of the side.
func (p *posterior) named(v byCause, toldOfSide bool) byCause {
	if !toldOfSide {
		moved := v[SideSleeping] * p.unseen
		v[SideSleeping], v[NothingUnusual] = v[SideSleeping]-moved, v[NothingUnusual]+moved
	}
	return v
}

// ofSide tells whether an outcome of a finding tells of a leak on the side.
func (f Finding) ofSide(outcome int) bool {
	return (f == WorseOnSide || f == HeadTurned) && outcome == 1
}

func (q *Question) toldOfSide() bool {
	return WorseOnSide.ofSide(q.Seen[WorseOnSide]) || HeadTurned.ofSide(q.Seen[HeadTurned])
}

// fits tells how well a draw goes with what is known of the straps: inside the
// range fully, outside it less and less.
func (q *Question) fits(d *draw) float64 {
	if d.seal == nil || q.Straps[1] <= 0 {
		return 1
	}
	const factor, least = 0.4, 1e-3 // of the logarithm of the pull: people err by half
	pull, off := d.seal.pull, 0.0
	if lo := float64(q.Straps[0]); pull < lo {
		off = math.Log(lo / pull)
	}
	if hi := float64(q.Straps[1]); pull > hi {
		off = math.Log(pull / hi)
	}
	return math.Exp(-off*off/(2*factor*factor)) + least
}

// normalized turns logarithms into shares that add up to one, and gives the
// logarithm of their sum.
func normalized(logs []float64) ([]float64, float64) {
	top := math.Inf(-1)
	for _, l := range logs {
		top = max(top, l)
	}
	sum, out := 0.0, make([]float64, len(logs))
	for i, l := range logs {
		out[i] = math.Exp(l - top)
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out, top + math.Log(sum)
}

// conclude joins evidence, priors and findings.
func (p *posterior) conclude(b *Bank, q *Question) {
	asked := q.asked()
	for c := range CauseCount {
		if asked[c] {
			p.prior[c] = b.Priors.Common[c]
		}
	}
	p.prior = p.prior.scaled()
	p.confound(b, q)
	logs := make([]float64, CauseCount)
	for c := range logs {
		logs[c] = math.Log(p.prior[c]*b.seeing[c]) + p.evidence[c]
	}
	read, _ := normalized(logs)
	copy(p.readOnly[:], read)
	p.after = p.readOnly
	for f, k := range q.Seen {
		if k != DontKnow {
			p.after = p.after.times(&b.Priors.Table[f][k-1])
		}
	}
	p.readOnly, p.said = p.named(p.readOnly, q.toldOfSide()), p.named(p.after, q.toldOfSide())
}

// asked tells which causes the question allows.
func (q *Question) asked() (out [CauseCount]bool) {
	for c := range out {
		out[c] = len(q.Only) == 0
	}
	for _, c := range q.Only {
		out[c] = true
	}
	return out
}

// leaks are the causes under which air really escapes. On a self-adjusting
// machine any of them may have driven the pressure.
var leaks = []Cause{ConstantGap, HoleElsewhere, LiftOff, MouthOpening, WornCushion, SideSleeping}

// confound takes back what rising together would show on a self-adjusting
// machine: if the pressure followed the leak, readings of any leak look alike.
func (p *posterior) confound(b *Bank, q *Question) {
	if q.Chooser != MachineAdjusted {
		return
	}
	follow := b.Priors.Noise.Following
	var among []float64
	for _, c := range leaks {
		if p.prior[c] > 0 {
			among = append(among, p.evidence[c])
		}
	}
	if len(among) == 0 {
		return
	}
	_, sum := normalized(among)
	mean := sum - math.Log(float64(len(among)))
	for _, c := range leaks {
		p.evidence[c] = logSum(math.Log(1-follow)+p.evidence[c], math.Log(follow)+mean)
	}
}

// logSum is log(e^a + e^b).
func logSum(a, b float64) float64 {
	_, s := normalized([]float64{a, b})
	return s
}

func (v byCause) scaled() byCause {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	if sum <= 0 { // a table that excludes every cause: leave them as they are
		return v
	}
	for c := range v {
		v[c] /= sum
	}
	return v
}

// times multiplies by a finding's chances and scales to one.
func (v byCause) times(chance *byCause) byCause {
	for c := range v {
		v[c] *= chance[c]
	}
	return v.scaled()
}

// effective is how many draws really count: one over the sum of the squared
// shares.
func effective(share []float64) float64 {
	sum := 0.0
	for _, s := range share {
		sum += s * s
	}
	return 1 / sum
}

// highest gives the highest pressure read.
func (q *Question) highest() unit.Pressure {
	top := unit.Pressure(0)
	for _, r := range q.Readings {
		top = max(top, r.Pressure)
	}
	return top
}
