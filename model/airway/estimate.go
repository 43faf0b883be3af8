package airway

import (
	"math"

	"tautline/model/unit"
)

// An Estimator is one way in which a machine turns the flow that it measures
// into a figure of unintentional leak. All of them know the vent's curve; they
// are named for teaching what such a figure is, not after any machine.
type Estimator string

// The estimators.
const (
	// WholeBreath takes the vent's flow at every instant off the total flow and
	// averages over whole breaths. The lung gives back what it took, so this is
	// the true mean, whenever in the breath the leak happens.
	WholeBreath Estimator = "whole breath"
	// MeanPressure takes off the vent's flow at the mean pressure. A vent's
	// curve bends, so this is low when the pressure changes.
	MeanPressure Estimator = "vent at the mean pressure"
	// Conductance takes vent and leak for one fixed opening, G sqrt(P), with G
	// fitted breath by breath (least squares) to a flow that holds the breathing
	// as well.
	Conductance Estimator = "one conductance"
	// EndExpiration looks only at the end of expiration, when little is
	// breathed: a leak that is open at another time is missed, and one that is
	// open then counts as if it were open all the time.
	EndExpiration Estimator = "end of expiration"
)

// Estimators lists them in the order in which they are told.
func Estimators() []Estimator {
	return []Estimator{WholeBreath, MeanPressure, Conductance, EndExpiration}
}

// An Estimate is what one estimator would call the unintentional leak.
type Estimate struct {
	By   Estimator
	Leak unit.Flow
	Off  unit.Flow // less the true mean of seal leak and mouth leak
}

func (b *breather) estimate(r *Result, sums vector, span float64) []Estimate {
	atMean, _ := b.vent.Flow(r.MaskMean)
	g := 0.0
	if sums[pressure] > 0 {
		g = sums[weighed] / sums[pressure]
	}
	leak := map[Estimator]unit.Flow{
		WholeBreath:   r.Total - r.Vent,
		MeanPressure:  r.Total - atMean,
		Conductance:   unit.Flow(g*sums[rooted]/span) - r.Vent,
		EndExpiration: b.atEnd(r),
	}
	var all []Estimate
	for _, e := range Estimators() {
		all = append(all, Estimate{By: e, Leak: leak[e], Off: leak[e] - r.Unintentional})
	}
	return all
}

// atEnd averages the end of each expiration: its last instant.
func (b *breather) atEnd(r *Result) unit.Flow {
	sum, n := unit.Flow(0), 0
	for i := range r.Samples {
		s := &r.Samples[i]
		last := i == len(r.Samples)-1
		if !s.Inspiring && (last || r.Samples[i+1].Inspiring) {
			sum, n = sum+s.Total-s.Vent, n+1
		}
	}
	return sum / unit.Flow(math.Max(float64(n), 1))
}
