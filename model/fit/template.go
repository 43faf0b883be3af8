package fit

import (
	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/unit"
)

// A Template is a case whose face can be exchanged without cutting the rims
// anew: what many faces behind one mask need. Only shape is exchanged
// (deviation, length, width, nose); tissue and beard stay those of the case,
// and features, being local, are left out. It does not change; several goroutines may use one.
type Template struct {
	c      Case
	base   *seal.Problem
	rims   []mask.Outline
	joints []*face.Joint
}

// NewTemplate prepares a case. Its strap pull is that of one newton for
// Pull to be multiplied with.
func NewTemplate(c Case) (*Template, error) {
	c.Straps.Pull, c.Face.Features = 1*unit.N, nil
	base, err := c.Problem()
	if err != nil {
		return nil, err
	}
	t := &Template{c: c, base: base}
	for k := range c.Mask.Rims {
		out, err := c.Mask.Rims[k].Outline(c.Segments, c.Mask.Width)
		if err != nil {
			return nil, err
		}
		joint, err := face.NewJoint(out.Landmarks, out.Shares())
		if err != nil {
			return nil, err
		}
		t.rims, t.joints = append(t.rims, out), append(t.joints, joint)
	}
	return t, nil
}

// Problem gives a copy of the seal's view for one goroutine to work on.
func (t *Template) Problem() *seal.Problem {
	p := *t.base
	p.Segments = append([]seal.Segment(nil), p.Segments...)
	p.Straps = append([]seal.Strap(nil), p.Straps...)
	return &p
}

// Put sets p, which came from Problem, to another face.
func (t *Template) Put(f *face.Face, p *seal.Problem) {
	var marks [face.SiteCount]float64
	var room [usualSegments]float64
	done := 0
	for k := range t.rims {
		out := &t.rims[k]
		for i, s := range out.Sites {
			marks[i] = float64(t.c.mismatchOn(f, s))
		}
		joined := room[:min(len(out.Pieces), len(room))]
		if n := len(out.Pieces); n > len(room) {
			joined = make([]float64, n)
		}
		t.joints[k].Join(marks[:len(out.Sites)], joined)
		for i, m := range joined {
			p.Segments[done+i].Mismatch = m
		}
		done += len(joined)
	}
}

// Pull sets the sum of the strap pulls in p [N], shared out as in the case.
func (t *Template) Pull(p *seal.Problem, sum unit.Force) {
	for i := range p.Straps {
		p.Straps[i].Pull = t.base.Straps[i].Pull * sum.N()
	}
}
