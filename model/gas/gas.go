// Package gas gives density and viscosity of the air that a mask holds: warm,
// damp, and thinner in the mountains. Every flow law of the model asks here.
package gas

import (
	"math"

	"tautline/model/unit"
)

// A State is moist air at rest. Pressures of a few kPa above ambient, as a mask
// has them, change its density by one or two per cent and are left out.
//
// The zero value is not a gas; take AtMask or AtBench and change what differs.
type State struct {
	Temperature unit.Temperature
	Humidity    unit.Fraction // relative; 1 is saturated
	Ambient     unit.Pressure // absolute
	CO2         unit.Fraction // by mole, of the dry part
}

// AtMask is the gas in a mask at sea level: what the machine heats and the
// wearer dampens.
func AtMask() State {
	return State{unit.Temperature(maskTemperature.SI()), unit.Fraction(maskHumidity.SI()),
		SeaLevel, unit.Fraction(co2.SI())}
}

// AtBench is the air in which a vent curve is taken to be measured when nothing
// else is said: a laboratory at sea level.
func AtBench() State {
	return State{unit.Temperature(benchTemperature.SI()), unit.Fraction(benchHumidity.SI()),
		SeaLevel, unit.Fraction(co2.SI())}
}

// AtAltitude gives the same gas, as warm and as damp, at another altitude: the
// air in a mask is heated, so it does not cool with the mountain's.
func (s State) AtAltitude(altitude unit.Length) (State, error) {
	p, err := AmbientAt(altitude)
	s.Ambient = p
	return s, err
}

// Check refuses a state that no mask holds, and the zero value.
func (s State) Check() error {
	if err := temperatureRange.Check(float64(s.Temperature)); err != nil {
		return err
	}
	if err := humidityRange.Check(float64(s.Humidity)); err != nil {
		return err
	}
	if err := ambientRange.Check(float64(s.Ambient)); err != nil {
		return err
	}
	return co2Range.Check(float64(s.CO2))
}

// molar masses [kg/mol] and the gas constant [J/(mol K)] as CIPM-2007 has them
// (Picard et al., Metrologia 2008;45:149-155, doi 10.1088/0026-1394/45/2/004).
const (
	gasConstant = 8.314472
	molarWater  = 18.01528e-3
	molarDry    = 28.96546e-3 // with 400 ppm CO2
	molarCO2    = 12.011e-3   // added per share of CO2 that replaces oxygen
	co2InDry    = 0.0004
)

// Density gives the mass per volume of moist air.
//
// Formula: rho = p M/(Z R T) (1 - x (1 - Mv/M)), x the share of water vapour.
// Inside the CIPM range (InRange) Z and x carry the corrections of CIPM-2007;
// beyond it the air is an ideal mixture, Z = 1, with the same saturation
// pressure: the two differ by less than 0.1 % where they meet.
// Source: Picard et al., Metrologia 2008;45:149-155, equations 1 to 4 and
// appendix A1. Example: 20 C, 50 %, 101325 Pa: 1.1993 kg/m3.
func (s State) Density() unit.Density {
	x, z := s.VapourShare(), 1.0
	if s.InRange() {
		z = compressibility(s, x)
	}
	m := molarDry + molarCO2*(float64(s.CO2)-co2InDry)
	rho := float64(s.Ambient) * m / (z * gasConstant * float64(s.Temperature))
	return unit.Density(rho * (1 - x*(1-molarWater/m)))
}

// InRange says whether the state lies where CIPM-2007 was tested: 15 to 27 C,
// 600 to 1100 hPa. Air at a mask usually is warmer.
func (s State) InRange() bool {
	t := s.Temperature.Celsius()
	return t >= 15 && t <= 27 && s.Ambient >= 600*unit.HPa && s.Ambient <= 1100*unit.HPa
}

// VapourShare gives the share of water vapour by mole.
func (s State) VapourShare() float64 {
	f := 1.0
	if s.InRange() {
		f = enhancement(s)
	}
	x := float64(s.Humidity) * f * float64(Saturation(s.Temperature)/s.Ambient)
	return math.Min(math.Max(x, 0), 1)
}

// Saturation gives the vapour pressure of water over its own surface.
//
// Formula: p = exp(A T^2 + B T + C + D/T). Input: temperature [K]. Valid 0 to
// 60 C here (CIPM-2007 uses it between 15 and 27 C; it holds to 0.1 % of the
// steam tables far beyond). Source: as Density, appendix A1.1.
func Saturation(t unit.Temperature) unit.Pressure {
	const a, b, c, d = 1.2378847e-5, -1.9121316e-2, 33.93711047, -6.3431645e3
	k := float64(t)
	return unit.Pressure(math.Exp(a*k*k + b*k + c + d/k))
}

// enhancement is the factor by which air raises the vapour pressure over that
// of pure water (as Density, appendix A1.2).
func enhancement(s State) float64 {
	t := s.Temperature.Celsius()
	return 1.00062 + 3.14e-8*float64(s.Ambient) + 5.6e-7*t*t
}

// compressibility is Z of moist air (as Density, appendix A1.3).
func compressibility(s State, x float64) float64 {
	const (
		a0, a1, a2 = 1.58123e-6, -2.9331e-8, 1.1043e-10
		b0, b1     = 5.707e-6, -2.051e-8
		c0, c1     = 1.9898e-4, -2.376e-6
		d, e       = 1.83e-11, -0.765e-8
	)
	t, r := s.Temperature.Celsius(), float64(s.Ambient)/float64(s.Temperature)
	first := a0 + a1*t + a2*t*t + (b0+b1*t)*x + (c0+c1*t)*x*x
	return 1 - r*first + r*r*(d+e*x*x)
}
