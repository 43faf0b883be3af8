package explain

import (
	"cmp"
	"math"
	"slices"

	"tautline/model/unit"
)

const (
	// undecided is the ratio of evidence within which two causes count as not
	// told apart; assumed, well within what H. Jeffreys (Theory of Probability,
	// 1961) calls barely worth mentioning.
	undecided = 1.5
	// inPlay is the probability from which a cause takes part in a tie.
	inPlay = 0.1
	// alike is the span of pressures within which readings count as one.
	alike = 2 * unit.CmH2O
	// narrow is the span that shows little of how a leak grows.
	narrow = 4 * unit.CmH2O
	// tells is the information in bits from which a finding can break a tie.
	tells = 0.1
)

// ties groups the causes in play that readings and findings together do not
// tell apart: each pair within a group is linked by a ratio near one.
func (b *Bank) ties(p *posterior, q *Question) []Tie {
	var in []Cause
	for c := range CauseCount {
		if p.said[c] >= inPlay {
			in = append(in, c)
		}
	}
	slices.SortStableFunc(in, func(x, y Cause) int { return cmp.Compare(p.said[y], p.said[x]) })
	var out []Tie
	for len(in) > 0 {
		group := []Cause{in[0]}
		var rest []Cause
		for _, c := range in[1:] {
			if p.alike(group[0], c) {
				group = append(group, c)
			} else {
				rest = append(rest, c)
			}
		}
		if len(group) > 1 {
			out = append(out, Tie{group, b.breaks(group, q)})
		}
		in = rest
	}
	return out
}

// alike tells whether what was read and found speaks for one cause hardly more
// than for the other; priors do not count.
func (p *posterior) alike(x, y Cause) bool {
	ratio := math.Log(p.after[x]/p.prior[x]) - math.Log(p.after[y]/p.prior[y])
	return math.Abs(ratio) <= math.Log(undecided)
}

// breaks lists what would decide between the first two of a group.
func (b *Bank) breaks(group []Cause, q *Question) (out []Break) {
	if q.Chooser == MachineAdjusted {
		out = append(out, Break{Kind: StepByHand})
	}
	if q.highest()-q.lowest() < narrow {
		out = append(out, Break{Kind: AnotherPressure})
	}
	type worth struct {
		f    Finding
		bits float64
	}
	var all []worth
	for f := range FindingCount {
		if q.Seen[f] == DontKnow {
			all = append(all, worth{f, b.bits(f, group[0], group[1], 0.5)})
		}
	}
	slices.SortStableFunc(all, func(x, y worth) int { return cmp.Compare(y.bits, x.bits) })
	for _, w := range all {
		if w.bits >= tells && len(out) < 4 {
			out = append(out, Break{LookFor, w.f})
		}
	}
	return out
}

// bits is the information that a finding is expected to give between two
// causes, the first of which has probability p.
func (b *Bank) bits(f Finding, x, y Cause, p float64) float64 {
	sum := 0.0
	for _, row := range b.Priors.Table[f] {
		px, py := p*row[x], (1-p)*row[y]
		sum += entropyTerm(px, p*(px+py)) + entropyTerm(py, (1-p)*(px+py))
	}
	return sum
}

// entropyTerm is a log2(a/b), zero for a = 0.
func entropyTerm(a, b float64) float64 {
	if a <= 0 {
		return 0
	}
	return a * math.Log2(a/b)
}

// next finds the test of ten seconds that tells most between the leading two,
// and works out what each of its outcomes would do.
func (b *Bank) next(p *posterior, q *Question) (Next, bool) {
	first, second := p.leading()
	if first == second {
		return Next{}, false
	}
	share := p.after[first] / (p.after[first] + p.after[second])
	n := Next{Between: [2]Cause{first, second}, Finding: -1}
	for f := range FindingCount {
		if q.Seen[f] != DontKnow || !f.TenSeconds() {
			continue
		}
		if bits := b.bits(f, first, second, share); bits > n.Bits+1e-12 {
			n.Finding, n.Bits = f, bits
		}
	}
	if n.Finding < 0 {
		return Next{}, false
	}
	for k := range n.Finding.Outcomes() {
		n.Outcomes = append(n.Outcomes, b.outcome(p, n.Finding, k+1, q.toldOfSide()))
	}
	return n, true
}

// leading gives the two most probable causes.
func (p *posterior) leading() (first, second Cause) {
	for c := range CauseCount {
		if p.after[c] > p.after[first] {
			first = c
		}
	}
	second = first
	for c := range CauseCount {
		if c != first && p.prior[c] > 0 && (second == first || p.after[c] > p.after[second]) {
			second = c
		}
	}
	return first, second
}

// outcome tells how likely one outcome of a finding is and what it would do.
func (b *Bank) outcome(p *posterior, f Finding, k int, toldOfSide bool) Outcome {
	row := &b.Priors.Table[f][k-1]
	o := Outcome{Outcome: k}
	for c := range CauseCount {
		o.Chance += unit.Fraction(p.after[c] * row[c])
	}
	then := p.named(p.after.times(row), toldOfSide || f.ofSide(k))
	for c := range CauseCount {
		if p.prior[c] > 0 {
			o.After = append(o.After, Result{Cause: c, Prior: unit.Fraction(p.prior[c]), Probability: unit.Fraction(then[c])})
		}
	}
	slices.SortStableFunc(o.After, byProbability)
	return o
}
