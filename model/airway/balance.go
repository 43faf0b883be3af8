package airway

import (
	"math"

	"tautline/model/circuit"
	"tautline/model/unit"
	"tautline/model/vent"
)

// A mechanism is everything that one instant's balance needs, worked out once.
// Pressures in Pa above the air outside, flows in m3/s.
type mechanism struct {
	circuit circuit.Filled
	vent    vent.Vent
	seal    *SealTable
	test    TestLeak
	mouth   Mouth
	k1, k2  float64 // of the nose
	raw, rm float64 // below the nose; of the parted lips

	set, alveolar float64 // now
	inspiring     bool
	demand        func(unit.Pressure) unit.Flow // what all take at a mask pressure
}

// An instant is one balance.
type instant struct {
	mask, pharynx                 float64
	total, vent, leak, nose, lung float64 // leak: past the seal and by the test leak
	mouth                         float64 // out of the mouth, past the mask
	beyond                        bool    // the vent's curve was left
}

// balance finds the mask pressure at which machine and hose deliver what vent,
// seal and person take.
func (m *mechanism) balance(set, alveolar float64, inspiring bool) (instant, error) {
	m.set, m.alveolar, m.inspiring = set, alveolar, inspiring
	p, err := m.circuit.MaskPressure(unit.Pressure(set), m.demand)
	return m.at(float64(p)), err
}

// at gives every flow at a mask pressure.
func (m *mechanism) at(p float64) instant {
	s := m.person(p)
	q, beyond := m.vent.Flow(unit.Pressure(p))
	s.mask, s.vent, s.beyond = p, float64(q), beyond && p > 0
	s.leak = m.seal.at(p) + m.test.at(p, m.inspiring)
	s.total = s.vent + s.leak + s.nose
	return s
}

// person gives the flows in nose, lung and mouth at a mask pressure: nose,
// airways and lips as resistances in a network small enough to be solved in
// closed form.
func (m *mechanism) person(p float64) instant {
	if m.mouth.Inside {
		return m.enclosed(p)
	}
	// With the lips shut the nose and the airways are in series.
	q := signed(m.raw+m.k1, m.k2, p-m.alveolar)
	x := p - rohrerDrop(m.k1, m.k2, q)
	if m.mouth.lips(x) == 0 {
		return instant{pharynx: x, nose: q, lung: q}
	}
	// With the lips parted the lung and the lips are two ways on from the nose.
	closing := float64(m.mouth.Closing())
	r := 1 / (1/m.raw + 1/m.rm)
	q = signed(r+m.k1, m.k2, p-r*(m.alveolar/m.raw+closing/m.rm))
	x = p - rohrerDrop(m.k1, m.k2, q)
	out := (x - closing) / m.rm
	return instant{pharynx: x, nose: q, lung: q - out, mouth: out}
}

// enclosed is the same inside an oronasal mask: an open mouth is a second way
// into the lung. What goes by the mouth counts as the nose's flow here, since
// both come from the mask.
func (m *mechanism) enclosed(p float64) instant {
	if !m.mouth.Open || !m.mouth.Palate {
		q := signed(m.raw+m.k1, m.k2, p-m.alveolar)
		return instant{pharynx: p - rohrerDrop(m.k1, m.k2, q), nose: q, lung: q}
	}
	// The nose's share qn: k1 qn + k2 qn|qn| = rm (q - qn) and
	// raw q + rm (q - qn) = p - alveolar.
	r := 1 / (1/m.rm + 1/m.raw)
	qn := signed(m.k1+r, m.k2, (p-m.alveolar)*r/m.raw)
	drop := rohrerDrop(m.k1, m.k2, qn)
	q := qn + drop/m.rm
	return instant{pharynx: p - drop, nose: q, lung: q}
}

// signed solves a q + b q|q| = p.
func signed(a, b, p float64) float64 {
	return math.Copysign(quadratic(a, b, math.Abs(p)), p)
}
