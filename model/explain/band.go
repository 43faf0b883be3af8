package explain

import (
	"cmp"
	"math"
	"slices"

	"tautline/model/face"
	"tautline/model/unit"
)

// fewest is how many curves a band needs: where fewer count, the weights are
// flattened until so many do, and the band shows what the cause would look like
// at its nearest rather than a single curve.
const fewest = 20

// flattened raises shares to a power below one until enough of them count.
func flattened(share []float64) []float64 {
	logs := make([]float64, len(share))
	for power := 1.0; power > 1e-3; power /= 1.5 {
		for i, s := range share {
			logs[i] = power * math.Log(s+1e-300)
		}
		if flat, _ := normalized(logs); effective(flat) >= min(fewest, float64(len(share))) {
			return flat
		}
	}
	return slices.Repeat([]float64{1 / float64(len(share))}, len(share))
}

// a sample is one value with its weight.
type sample struct{ value, weight float64 }

// quantiles gives the values below which the given shares of the weight lie.
func quantiles(s []sample, at ...float64) []float64 {
	slices.SortFunc(s, func(a, b sample) int { return cmp.Compare(a.value, b.value) })
	total := 0.0
	for _, x := range s {
		total += x.weight
	}
	out := make([]float64, len(at))
	for k, q := range at {
		sum := 0.0
		for _, x := range s {
			out[k] = x.value
			if sum += x.weight; sum >= q*total {
				break
			}
		}
	}
	return out
}

// band predicts readings under a cause over the bank's pressures: the spread of
// its curves, and a reading's own noise on top.
func (b *Bank) band(p *posterior, c Cause) []BandPoint {
	share := flattened(p.share[c])
	var out []BandPoint
	for i, at := range b.grid {
		var all []sample
		base := float64(b.Priors.Noise.Base) * math.Pow(at/float64(10*unit.CmH2O), b.Priors.Noise.BaseRise)
		for k := range b.draws[c] {
			d := &b.draws[c][k]
			leak := base + p.weights[c][k].size*d.shape[i]
			if c == SideSleeping { // lying otherwise, it is the base leak alone
				all = append(all, sample{base, share[k] * (1 - d.share)}, sample{leak, share[k] * d.share})
				continue
			}
			all = append(all, sample{leak, share[k]})
		}
		v, _ := b.vent.Flow(unit.Pressure(at))
		out = append(out, b.widened(quantiles(all, 0.1, 0.5, 0.9), unit.Pressure(at), v))
	}
	return out
}

// widened adds a reading's noise to a range of curves.
func (b *Bank) widened(q []float64, at unit.Pressure, v unit.Flow) BandPoint {
	const tenth = 1.2816 // of the standard normal distribution
	n := &b.Priors.Noise
	wide := func(end float64) float64 {
		return math.Sqrt((end-q[1])*(end-q[1]) + tenth*tenth*(n.sd(end)*n.sd(end)+n.Vent*n.Vent*float64(v*v)))
	}
	return BandPoint{Pressure: at, Vent: v, Low: unit.Flow(q[1] - wide(q[0])), Middle: unit.Flow(q[1]), High: unit.Flow(q[1] + wide(q[2]))}
}

// mismatch tells how far the readings lie from a cause's best curve.
func (b *Bank) mismatch(p *posterior, c Cause) float64 {
	best := 0
	for k := range p.share[c] {
		if p.share[c][k] > p.share[c][best] {
			best = k
		}
	}
	d, size := &b.draws[c][best], p.weights[c][best].size
	n, sum := &b.Priors.Noise, 0.0
	for _, r := range p.readings {
		base := float64(n.Base) * r.base
		leak := size * b.at(d.shape, r.p)
		x := offBy(n, &r, base, leak)
		if c == SideSleeping {
			x = min(x, offBy(n, &r, base, 0))
		}
		sum += x * x
	}
	return math.Sqrt(sum / float64(len(p.readings)))
}

// offBy is a reading's distance from a curve in standard deviations.
func offBy(n *Noise, r *reading, base, leak float64) float64 {
	sd := math.Hypot(n.sd(leak), math.Hypot(n.Vent*r.vent, float64(n.BaseSD)*r.base))
	return math.Abs(r.leak-leak-base) / sd
}

// likelySites tells where the seal opens, for the causes that have a place.
func (b *Bank) likelySites(p *posterior, c Cause, q *Question) []SiteShare {
	if c != LiftOff && c != WornCushion && c != ConstantGap {
		return nil
	}
	var by [face.SiteCount]float64
	for k := range b.draws[c] {
		if d := &b.draws[c][k]; d.seal != nil {
			by[d.seal.site] += p.share[c][k]
		}
	}
	if c == ConstantGap { // anywhere, before anybody felt it
		for _, s := range b.Mask.Sites() {
			by[s] = 1
		}
	}
	return shares(by, q)
}

// shares joins what the curves say of the sites with what was felt and seen.
func shares(by [face.SiteCount]float64, q *Question) (out []SiteShare) {
	sum := 0.0
	for s := range by {
		if slices.Contains(q.Felt, face.Site(s)) {
			by[s] = (by[s] + 0.01) * FeltThere.SI()
		}
		if slices.Contains(q.Sore, face.Site(s)) {
			by[s] *= SoreThere.SI()
		}
		sum += by[s]
	}
	for s, x := range by {
		if x > 0 {
			out = append(out, SiteShare{face.Site(s), unit.Fraction(x / sum)})
		}
	}
	slices.SortStableFunc(out, func(x, y SiteShare) int { return cmp.Compare(y.Share, x.Share) })
	return out
}
