package published

import (
	"testing"

	"tautline/model/airway"
	"tautline/model/fit"
	"tautline/model/unit"
)

func TestAirwayChecksNoticeWrongLaws(t *testing.T) {
	with := func(change func(*airwayLaws, float64)) func(float64) []Check {
		return func(f float64) []Check { l := airwayActual; change(&l, f); return airwayChecks(l) }
	}
	ran := func(change func(*airway.Result, float64)) func(float64) []Check {
		return with(func(l *airwayLaws, f float64) {
			l.run = func(on *fit.Fitting, s airway.Setup) (airway.Result, error) {
				r, err := airway.Run(on, s)
				change(&r, f)
				return r, err
			}
		})
	}
	drop := with(func(l *airwayLaws, f float64) {
		l.drop = func(n airway.Nose, q unit.Flow) unit.Pressure { return unit.Pressure(f) * n.Drop(q) }
	})
	noticed(t, "nose", "airway-nose", drop)
	noticed(t, "rise of the nose", "airway-nose-leak", with(func(l *airwayLaws, f float64) {
		l.after = func(n airway.Nose, d unit.Time, s unit.Fraction) airway.Nose { return n.After(d*unit.Time(f), s) }
	}))
	noticed(t, "chin strap", "airway-chin-strap", with(func(l *airwayLaws, f float64) {
		l.leakTime = func(p unit.Pressure, m airway.Mouth) unit.Fraction {
			m.ChinStrap *= unit.Pressure(f)
			return airway.MouthLeakTime(p, m)
		}
	}))
	noticed(t, "chin strap in breaths", "airway-chin-strap-breaths", with(func(l *airwayLaws, f float64) {
		l.run = func(on *fit.Fitting, s airway.Setup) (airway.Result, error) {
			s.Mouth.Lips += s.Mouth.ChinStrap * unit.Pressure(f-1)
			s.Mouth.Lips = max(s.Mouth.Lips, 0)
			return airway.Run(on, s)
		}
	}))
	noticed(t, "minute volume", "airway-minute", ran(func(r *airway.Result, f float64) { r.Minute *= unit.Flow(f) }))
	noticed(t, "conservation", "airway-conserved", ran(func(r *airway.Result, f float64) {
		if r.Imbalance += (f - 1) * float64(r.Vent/r.Total); r.Imbalance < 0 {
			r.Imbalance = -r.Imbalance
		}
	}))
	leaks := ran(func(r *airway.Result, f float64) {
		for i := range r.Estimates {
			e := &r.Estimates[i]
			e.Off += e.Leak * unit.Flow(f-1)
		}
	})
	for _, id := range []string{"airway-whole-through", "airway-whole-in", "airway-whole-out"} {
		noticed(t, "whole breath", id, leaks)
	}
	off := ran(func(r *airway.Result, f float64) {
		for i := range r.Estimates {
			r.Estimates[i].Off *= unit.Flow(f)
		}
	})
	for _, id := range []string{"airway-mean-pressure", "airway-conductance-in", "airway-end-in", "airway-end-out"} {
		noticed(t, "estimator", id, off)
	}
}
