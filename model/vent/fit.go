package vent

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"tautline/model/unit"
)

// A Fit is the power law Q = K (P/1 cmH2O)^n nearest to the points in log
// space, with the standard error of each. The exponent tells what the vent is:
// 0.5 an orifice, 1 a laminar slot or a felt.
type Fit struct {
	K          unit.Flow // at 1 cmH2O
	KSE        unit.Flow
	Exponent   float64
	ExponentSE float64
	Residual   unit.Fraction // scatter of the points about the law, one standard deviation
	Points     int
}

// Flow is the power law itself.
func (f Fit) Flow(p unit.Pressure) unit.Flow {
	return f.K * unit.Flow(math.Pow(p.CmH2O(), f.Exponent))
}

func (f Fit) times(s float64) Fit {
	f.K *= unit.Flow(s)
	f.KSE *= unit.Flow(s)
	return f
}

// fitPower fits at least three points above zero by least squares in log space.
//
// Formula: ln Q = ln K + n ln P; s^2 = sum r^2/(N-2), SE(n) = s/sqrt(Sxx),
// SE(ln K) = s sqrt(1/N + xm^2/Sxx). Source: any text on regression, such as
// Draper and Smith, Applied Regression Analysis, 3rd ed. 1998, section 1.4
// (from memory).
func fitPower(points []Point) Fit {
	var x, y []float64
	for _, p := range points {
		x = append(x, math.Log(p.Pressure.CmH2O()))
		y = append(y, math.Log(float64(p.Flow)))
	}
	lnK, n := stat.LinearRegression(x, y, nil, false)
	count, mean := float64(len(x)), stat.Mean(x, nil)
	var rest, sxx float64
	for i := range x {
		r := y[i] - lnK - n*x[i]
		rest += r * r
		sxx += (x[i] - mean) * (x[i] - mean)
	}
	s := math.Sqrt(rest / (count - 2))
	k := unit.Flow(math.Exp(lnK))
	return Fit{K: k, KSE: k * unit.Flow(s*math.Sqrt(1/count+mean*mean/sxx)),
		Exponent: n, ExponentSE: s / math.Sqrt(sxx),
		Residual: unit.Fraction(s), Points: len(points)}
}
