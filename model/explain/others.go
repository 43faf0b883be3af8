package explain

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// mostFaces is on how many of the drawn faces another mask is tried.
const mostFaces = 100

// an other is another mask, and what it does on each of the faces tried.
type other struct {
	mask mask.Mask
	kind ActionKind
	on   []tried
}

// tried is one face behind another mask, strapped anew.
type tried struct {
	leaves float64 // of the leak there was, as a share
	press  float64 // Pa, largest contact less that of the mask worn
	site   face.Site
	tips   bool // no strap pull of that size holds it there
}

// faces picks those that meet the readings best among the draws that have a
// face, each counting the same: a draw whose weight is twice another's is taken
// twice. Faces on which the seal model leaks about what was read go before.
func (b *Bank) faces(drawn []possibility) []possibility {
	var with []possibility
	var share []float64
	sum, whole := 0.0, 0.0
	for _, x := range drawn {
		if x.draw.seal == nil {
			continue
		}
		off := math.Log(max(x.now-x.base, 1e-9)/x.draw.seal.full) / LeakOff.SI()
		w := x.weight * math.Exp(-off*off/2)
		with, share, sum, whole = append(with, x), append(share, w), sum+w, whole+x.weight
	}
	if !(sum > 0) {
		return nil
	}
	for i := range share {
		share[i] /= sum
	}
	out := make([]possibility, 0, mostFaces)
	at := 0.5 / mostFaces
	for i, w := range flattened(share) {
		for ; w > at && len(out) < mostFaces; at += 1.0 / mostFaces {
			x := with[i]
			x.weight = whole / mostFaces
			out = append(out, x)
		}
		at -= w
	}
	return out
}

// others tries the neighbouring sizes and the other types on such faces. A mask
// whose rim was stated by itself has no other size or type to be set beside.
func (b *Bank) others(faces []possibility) (out []other) {
	if b.Mask.OwnRim() {
		return nil
	}
	sizes := mask.Sizes()
	for i, size := range sizes {
		next := i > 0 && sizes[i-1] == b.Mask.Size || i+1 < len(sizes) && sizes[i+1] == b.Mask.Size
		if m, err := mask.Find(b.Mask.Type, size); err == nil && next {
			out = append(out, other{mask: b.Mask.Resized(m), kind: OtherSize})
		}
	}
	for _, kind := range mask.Types() {
		if m, err := mask.Find(kind, b.Mask.Size); err == nil && kind != b.Mask.Type {
			out = append(out, other{mask: m, kind: OtherType})
		}
	}
	for i := range out {
		b.try(&out[i], faces, anew)
	}
	return out
}

// anew is by how much straps set anew are off what was meant, evenly over their
// spread.
func anew(i int) float64 {
	return math.Exp(SetAnew.SI() * distuv.UnitNormal.Quantile(golden(i+1)))
}

// try puts another mask on each face: another size with about the pull of the
// mask worn, another type with about the pull that such a type is first set to.
func (b *Bank) try(o *other, faces []possibility, times func(i int) float64) {
	pull := fit.UsualPull[o.mask.Type]
	t, err := fit.NewTemplate(onBack(o.mask, unit.Force(pull.SI())))
	if err != nil {
		return
	}
	p, f := t.Problem(), sized(&b.Mask)
	for i, x := range faces {
		worn := x.draw.seal
		f.Deviation = worn.departs
		t.Put(&f, p)
		sum := pull.SI()
		if o.kind == OtherSize {
			sum = worn.pull
		}
		t.Pull(p, unit.Force(sum*times(i)))
		now := tried{leaves: 1, tips: true}
		if set, err := p.Settle(); err == nil {
			if q, err := p.Balance(set, set, float64(b.Top)); err == nil {
				most, site := contact(p, q, float64(b.Top))
				now = tried{leaves: p.Leak(q, float64(b.Top)) / worn.full, press: most - worn.firmest, site: site}
			}
		}
		o.on = append(o.on, now)
	}
}

// instead gives the figures of another size and of another type, and of looking
// whether the size is right. Where no drawn face leaks like this one, it has
// none, and says so by Predicted.
func (b *Bank) instead(drawn []possibility, line float64) []Action {
	faces := b.faces(drawn)
	all := b.others(faces)
	if len(faces) == 0 || len(all) == 0 {
		return []Action{{Kind: CheckSize}, {Kind: OtherSize, SkinCost: true}, {Kind: OtherType, SkinCost: true}}
	}
	// Beside the faces stand the causes that have none, as they were.
	mixed := faces
	for _, x := range drawn {
		if x.draw.seal == nil {
			mixed = append(mixed, x)
		}
	}
	out := []Action{expect(CheckSize, mixed, func(i int) float64 { return best(all, i) })}
	for k := range all {
		o := &all[k]
		a := expect(o.kind, mixed, func(i int) float64 { return b.leftBy(o, i, &mixed[i]) })
		a.SkinCost, a.Type, a.Size = true, o.mask.Type, o.mask.Size
		o.contact(&a, faces, line)
		out = append(out, a)
	}
	return out
}

// best is what the best of the sizes leaves a face, the one worn among them:
// what looking at the size may find.
func best(all []other, i int) float64 {
	least := 1.0
	for k := range all {
		if o := &all[k]; o.kind == OtherSize && i < len(o.on) {
			least = min(least, o.on[i].leaves)
		}
	}
	return least
}

// leftBy is what another mask leaves the possibility i, the faces first.
func (b *Bank) leftBy(o *other, i int, x *possibility) float64 {
	switch {
	case i < len(o.on):
		return o.on[i].leaves
	case o.kind == OtherType && x.cause == MouthOpening && (o.mask.Type != mask.Oronasal || b.Mask.Type == mask.Oronasal):
		return 1 // the mouth is as free as before
	}
	return o.kind.leaves(x.cause, x.u)
}

// contact gives an action the contacts over the faces that hold the mask, and
// the share of those that do not.
func (o *other) contact(a *Action, faces []possibility, line float64) {
	c := contacts{line: line}
	for i, t := range o.on {
		if !t.tips {
			c.add(faces[i].draw.seal.firmest, t.press, t.site, 1)
		}
	}
	c.into(a)
	a.Tips = unit.Fraction(1 - float64(len(c.all))/float64(len(o.on)))
}
