package airway

import (
	"math"

	"tautline/model/unit"
)

// TestLeakRecord is the record of a test leak.
var TestLeakRecord = unit.Parameter{Name: "test leak", Unit: "L/min", Value: 0, Low: 0, High: 100, Fixed: "none unless stated",
	Origin: unit.Assumed, Source: "none unless stated", Meaning: "flow through a test leak at 10 cmH2O"}

// A When says in which part of a breath a test leak is open.
type When string

// The parts of a breath.
const (
	Throughout    When = "throughout"
	InInspiration When = "inspiration"
	InExpiration  When = "expiration"
)

// Whens lists them.
func Whens() []When { return []When{Throughout, InInspiration, InExpiration} }

// A TestLeak is a hole beside the seal, as one is fitted at the bench to see
// what a machine makes of it. The zero value is none.
type TestLeak struct {
	At10 unit.Flow // at 10 cmH2O
	When When
}

// at gives its flow: that of an orifice, Q = Q10 sqrt(P/10 cmH2O).
func (l *TestLeak) at(p float64, inspiring bool) float64 {
	shut := l.When == InInspiration && !inspiring || l.When == InExpiration && inspiring
	if l.At10 == 0 || shut {
		return 0
	}
	return float64(l.At10) * math.Copysign(math.Sqrt(math.Abs(p)/float64(10*unit.CmH2O)), p)
}
