package airway

import (
	"fmt"

	"gonum.org/v1/gonum/interp"

	"tautline/model/fit"
	"tautline/model/unit"
)

// sealPoints is how many balances of the frame a seal's leak is read from.
const sealPoints = 97

// A SealTable is a fitting's seal leak against mask pressure, so that a breath
// need not balance the frame at each of its thousand instants. Between the
// points it is a monotone cubic (Fritsch and Butland, as gonum has it), beyond
// the last one the straight line on from there. Suction lets nothing in: it
// draws the cushion onto the skin.
type SealTable struct {
	curve interp.FritschButland
	top   float64 // Pa; the last point
	last  float64 // leak there
	slope float64 // of the line beyond
}

// NewSealTable balances the fitting at pressures from zero to a little above
// the highest one set.
func NewSealTable(f *fit.Fitting, highest unit.Pressure) (*SealTable, error) {
	top := 1.1*float64(highest) + float64(4*unit.CmH2O)
	p, set := f.Problem(), f.Settled()
	xs, ys := make([]float64, 0, sealPoints), make([]float64, 0, sealPoints)
	q := set
	for i := range sealPoints {
		x := top * float64(i) / (sealPoints - 1)
		next, err := p.Balance(set, q, x)
		if err != nil && x > float64(highest) {
			break // it need not hold where no machine drives it
		}
		if err != nil {
			return nil, fmt.Errorf("at %s: %w", unit.Pressure(x), err)
		}
		q = next
		xs, ys = append(xs, x), append(ys, p.Leak(q, x))
	}
	t := &SealTable{}
	if err := t.curve.Fit(xs, ys); err != nil {
		return nil, fmt.Errorf("the seal's leak cannot be tabulated: %w", err)
	}
	n := len(xs) - 1
	t.top, t.last = xs[n], ys[n]
	t.slope = max(0, (ys[n]-ys[n-1])/(xs[n]-xs[n-1]))
	return t, nil
}

// At gives the seal's leak at a mask pressure.
func (t *SealTable) At(p unit.Pressure) unit.Flow { return unit.Flow(t.at(float64(p))) }

func (t *SealTable) at(p float64) float64 {
	switch {
	case p <= 0:
		return 0
	case p > t.top:
		return t.last + t.slope*(p-t.top)
	}
	return t.curve.Predict(p)
}
