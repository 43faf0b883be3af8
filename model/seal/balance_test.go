package seal

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/root"
)

// TestNothingIsLeftOver: settled or balanced, forces and moments cancel to a
// billionth of the pull.
func TestNothingIsLeftOver(t *testing.T) {
	tips, draws := 0, 2000
	r := rand.New(rand.NewPCG(3, 4))
	for range draws {
		p := randomProblem(r)
		set, err := p.Settle()
		if errors.Is(err, ErrTips) {
			tips++
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		leftOver(t, p, set, set, 0)
		pressure := between(r, 0, 4000)
		q, err := p.Balance(set, set, pressure)
		if errors.Is(err, ErrTips) {
			tips++
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		leftOver(t, p, set, q, pressure)
	}
	if tips > draws/10 {
		t.Errorf("%d of %d draws tip off", tips, draws)
	}
}

func leftOver(t *testing.T, p *Problem, set, q Pose, pressure float64) {
	t.Helper()
	res, size := p.Residual(set, q, pressure), p.size()
	pull, _ := p.Pulls(set, q)
	worst := max(math.Abs(res[0]), math.Abs(res[1])/size, math.Abs(res[2])/size)
	if !(worst < 1e-9*max(pull, pressure*p.Area)) {
		t.Errorf("at %g Pa %v is left over of %g N", pressure, res, pull)
	}
	straight := p.push()[0] // straps that pull at a slant hold less than they pull
	for i := range p.Straps {
		straight += p.Straps[i].pull(set, q) * p.Straps[i].Gain[0]
	}
	if off := p.Push(q, pressure) + pressure*p.Area - straight; math.Abs(off) > 1e-8*straight {
		t.Errorf("cushion and pressure push %g N more than straps and loads", off)
	}
}

// TestRingLiftsOff: a uniform ring lifts all round at once, at
//
//	P = d0 (Ks + k b L) / (A + b L + Ks (1 - eta)/k),  d0 = F/(k b L)
//
// by hand from the balance of straps, cushion and pressure.
func TestRingLiftsOff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		r := ring{radius: draw("radius", 0.02, 0.06), width: draw("width", 4e-3, 12e-3), soft: draw("soft", 5e4, 4e5),
			share: draw("share", 0, 0.95), straps: draw("straps", 1, 6000), pull: draw("pull", 0.5, 8)}
		p := r.problem()
		band := r.width * r.length()
		d0 := r.pull / (r.soft * band)
		want := d0 * (r.straps + r.soft*band) / (r.area() + band + r.straps*(1-r.share)/r.soft)
		set, err := p.Settle()
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(set[0]/d0-1) > 1e-9 {
			t.Errorf("set, it is %g m deep, want %g", set[0], d0)
		}
		got, _, err := root.Find(func(pressure float64) float64 {
			q, err := p.Balance(set, set, pressure)
			if err != nil {
				t.Fatal(err)
			}
			m, _ := p.Margin(q, pressure)
			return m
		}, want/2, want*2, 0)
		if err != nil || math.Abs(got/want-1) > 1e-6 {
			t.Errorf("it lifts at %g Pa (%v), want %g", got, err, want)
		}
	})
}

// TestPullOutsideTheRim: one pull at one place holds inside the rim and tips
// the mask outside of it.
func TestPullOutsideTheRim(t *testing.T) {
	r := ring{radius: 0.04, width: 8e-3, soft: 2e5, share: 0.8, straps: 2000, pull: 4}
	for turn := range 12 {
		sin, cos := math.Sincos(2 * math.Pi * float64(turn) / 12)
		at := func(share float64) error {
			p := r.problem()
			p.Straps = []Strap{{Gain: [3]float64{1, share * r.radius * cos, share * r.radius * sin}, Stiffness: 2000, Pull: 4}}
			_, err := p.Settle()
			return err
		}
		for _, inside := range []float64{0, 0.3, 0.7} {
			if err := at(inside); err != nil {
				t.Errorf("a pull at %g of the radius: %v", inside, err)
			}
		}
		for _, outside := range []float64{1.01, 1.5, 5} {
			if err := at(outside); !errors.Is(err, ErrTips) {
				t.Errorf("a pull at %g of the radius: %v", outside, err)
			}
		}
	}
	p := r.problem()
	p.Loads = []Load{{Force: 20, Y: 0.08}} // as a heavy hose below the chin would
	if _, err := p.Settle(); !errors.Is(err, ErrTips) {
		t.Errorf("a heavy load outside the rim: %v", err)
	}
}

// TestSlackStraps: a strap pushed past its length pulls nothing, and says so.
func TestSlackStraps(t *testing.T) {
	p := ring{radius: 0.04, width: 8e-3, soft: 2e5, straps: 3000, pull: 3}.problem()
	if sum, slack := p.Pulls(Pose{}, Pose{}); math.Abs(sum-3) > 1e-12 || slack {
		t.Errorf("as set they pull %g N, slack %v", sum, slack)
	}
	if sum, slack := p.Pulls(Pose{}, Pose{0.5e-3}); math.Abs(sum-1.5) > 1e-12 || slack {
		t.Errorf("half a millimetre nearer they pull %g N, slack %v", sum, slack)
	}
	if sum, slack := p.Pulls(Pose{}, Pose{2e-3}); sum != 0 || !slack {
		t.Errorf("two millimetres nearer they pull %g N, slack %v", sum, slack)
	}
}

// TestStateAddsUp: what the segments tell one by one is what the rim tells as a
// whole.
func TestStateAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := source(t)
		e, q := randomEnergy(r)
		leak, push, least, at := 0.0, 0.0, math.Inf(1), 0
		for i := range e.p.Segments {
			s, st := &e.p.Segments[i], e.p.State(i, q, e.pressure)
			leak += st.Leak
			push += st.Contact * s.Length * s.Width
			if st.Margin < least {
				least, at = st.Margin, i
			}
			if st.Crushed != (q.At(s.X, s.Y)-s.Mismatch > s.Crush) || st.Margin != st.Contact-e.pressure {
				t.Errorf("segment %d: %+v", i, st)
			}
		}
		if got := e.p.Leak(q, e.pressure); math.Abs(got-leak) > 1e-12*leak {
			t.Errorf("leak %g, by segments %g", got, leak)
		}
		if got := e.p.Push(q, e.pressure); math.Abs(got-push) > 1e-12*push {
			t.Errorf("push %g, by segments %g", got, push)
		}
		if m, i := e.p.Margin(q, e.pressure); m != least || i != at {
			t.Errorf("margin %g at %d, by segments %g at %d", m, i, least, at)
		}
	})
}
