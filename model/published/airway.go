package published

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"tautline/model/airway"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/root"
	"tautline/model/unit"
)

// airwayLaws are the laws that the checks of section 6 hold.
type airwayLaws struct {
	drop     func(airway.Nose, unit.Flow) unit.Pressure
	after    func(airway.Nose, unit.Time, unit.Fraction) airway.Nose
	leakTime func(unit.Pressure, airway.Mouth) unit.Fraction
	run      func(*fit.Fitting, airway.Setup) (airway.Result, error)
}

var airwayActual = airwayLaws{
	drop: airway.Nose.Drop, after: airway.Nose.After, leakTime: airway.MouthLeakTime, run: airway.Run,
}

const (
	bachour  = "Bachour et al., Sleep Med 2004;5:261-7: mouth leak in 42.9 % of sleep without, 23.8 % with a chin strap"
	richards = "Richards et al., Am J Respir Crit Care Med 1996;154:182-6"
	lujan    = "Lujan et al., BMC Pulm Med 2013;13:75: machines' figures were off by -11.5 to +3.1 L/min"
	keeps    = "arithmetic: over whole breaths the lung gives back what it took"
)

func airwayChecks(l airwayLaws) []Check {
	all := append(noseChecks(l), mouthChecks(l)...)
	all = append(all, breathChecks(l)...)
	all = append(all, estimatorChecks(l)...)
	for i := range all {
		all[i].Section, all[i].Uses = 6, airway.Parameters()
	}
	return all
}

func noseChecks(l airwayLaws) []Check {
	n := airway.RestedNose()
	resistance := func(n airway.Nose) float64 {
		return (l.drop(n, airway.NoseFlow) / unit.Pressure(airway.NoseFlow.LPerSec())).CmH2O()
	}
	return []Check{
		{ID: "airway-nose", Source: richards + ", before mouth leak", Unit: "cmH2O s/L",
			What: "resistance of a rested nose at 0.5 L/s", Want: Within(2.2, 0.01),
			Run: func() (float64, error) { return resistance(n), nil }},
		{ID: "airway-nose-leak", Source: richards + ", after ten minutes of mouth leak", Unit: "cmH2O s/L",
			What: "the same after ten minutes of mouth leak", Want: Within(7.5, 0.01),
			Run: func() (float64, error) { return resistance(l.after(n, 10*unit.Minute, 1)), nil }},
		{ID: "airway-total", Source: "4 to 6 cmH2O s/L in quiet sleep (from memory)", Unit: "cmH2O s/L",
			What: "resistance of rested nose and airways together at 0.5 L/s", Want: Between(4, 6),
			Run: func() (float64, error) { return resistance(n) + airway.Sleeping().Airway.CmH2OPerLPerSec(), nil }},
	}
}

// tone gives the mask pressure at which the mouth leaks for the published share
// of sleep without a chin strap.
func tone(l airwayLaws) (unit.Pressure, error) {
	p, _, err := root.Find(func(p float64) float64 {
		return float64(l.leakTime(unit.Pressure(p), airway.ClosedMouth())) - 0.429
	}, 0, float64(20*unit.CmH2O), 1e-6)
	return unit.Pressure(p), err
}

func mouthChecks(l airwayLaws) []Check {
	return []Check{
		{ID: "airway-lips", Unit: "cmH2O",
			Source: "E. Hellsing, G. L'Estrange, Am J Orthod Dentofacial Orthop 1987;91:286-294 (volume and pages from memory): resting lip pressure 3.9 (upper) to 8.6 cmH2O (lower)",
			What:   "mask pressure at which the mouth leaks half of the time", Want: Between(3.9, 8.6),
			Run: func() (float64, error) {
				p, _, err := root.Find(func(p float64) float64 {
					return float64(l.leakTime(unit.Pressure(p), airway.ClosedMouth())) - 0.5
				}, 0, float64(30*unit.CmH2O), 1e-6)
				return unit.Pressure(p).CmH2O(), err
			}},
		{ID: "airway-chin-strap", Source: bachour,
			What: "mouth-leak time with a chin strap over that without, where it is 42.9 % without", Want: About(0.555, 0.03),
			Run: func() (float64, error) {
				p, err := tone(l)
				m := airway.ClosedMouth()
				return float64(l.leakTime(p, m.WithChinStrap()) / l.leakTime(p, m)), err
			}},
		{ID: "airway-chin-strap-breaths", Source: bachour + "; lips' tone drawn at 21 quantiles",
			What: "the same, breath by breath behind a nasal mask at that mask pressure", Want: About(0.555, 0.1),
			Run: func() (float64, error) { return strapOverBreaths(l) }},
	}
}

// strapOverBreaths follows breaths over the spread of lip tone, without and
// with a chin strap.
func strapOverBreaths(l airwayLaws) (float64, error) {
	f, err := behind(mask.Nasal, 3.43)
	if err != nil {
		return 0, err
	}
	p, err := tone(l)
	if err != nil {
		return 0, err
	}
	f.Case.Circuit.Compensates = true // what is set arrives
	spread := distuv.Normal{Mu: airway.LipsRecord.Value, Sigma: airway.LipsRecord.SD}
	var share [2]float64
	const n = 21
	for i := range n {
		for k, m := range []airway.Mouth{airway.ClosedMouth(), airway.ClosedMouth().WithChinStrap()} {
			s := airway.NewSetup(airway.Constant(p))
			s.Mouth, s.Breaths = m, 1
			s.Mouth.Lips = unit.Pressure(math.Max(0, spread.Quantile((float64(i)+0.5)/n))) * unit.CmH2O
			r, err := l.run(f, s)
			if err != nil {
				return 0, err
			}
			share[k] += float64(r.MouthTime) / n
		}
	}
	return share[1] / share[0], nil
}

// behind puts an invented mask on an average face.
func behind(kind mask.Type, pull unit.Force) (*fit.Fitting, error) {
	m, err := mask.Find(kind, "medium")
	if err != nil {
		return nil, err
	}
	at, ok := fit.FindPosition("on the back")
	if !ok {
		return nil, errors.New("no such position")
	}
	return fit.PutOn(fit.NewCase(m, face.Average(), pull, at))
}

func breathChecks(l airwayLaws) []Check {
	minute := func(b airway.Breathing) func() (float64, error) {
		return func() (float64, error) {
			r, err := follow(l, airway.Constant(10*unit.CmH2O), airway.TestLeak{}, &b)
			return r.Minute.LPerMin(), err
		}
	}
	douglas := "Douglas et al., Thorax 1982;37:840-844"
	return []Check{
		{ID: "airway-minute", Source: douglas + ", non-REM", Unit: "L/min",
			What: "minute volume that the lung gets at 10 cmH2O, with mouth leak", Want: About(7.18, 0.01), Run: minute(airway.Sleeping())},
		{ID: "airway-minute-rem", Source: douglas + ", REM", Unit: "L/min",
			What: "the same in REM sleep", Want: About(6.46, 0.01), Run: minute(airway.SleepingREM())},
		{ID: "airway-conserved", Source: keeps, Predicted: true,
			What: "share of the flow not accounted for over whole breaths, two levels, mouth leak and test leak", Want: Between(0, 1e-6),
			Run: func() (float64, error) {
				r, err := follow(l, levels, airway.TestLeak{At10: 20 * unit.LPerMin, When: airway.InInspiration}, nil)
				return r.Imbalance, err
			}},
	}
}

var levels = airway.TwoLevels(4*unit.CmH2O, 14*unit.CmH2O)

// follow runs breaths behind a nasal mask with a square-root vent; the mouth
// leaks when breathing is given, and is shut otherwise.
func follow(l airwayLaws, source airway.Source, leak airway.TestLeak, b *airway.Breathing) (airway.Result, error) {
	f, err := behind(mask.Nasal, 3.43)
	if err != nil {
		return airway.Result{}, err
	}
	if f.Case.Mask.Vent, err = squareRoot(); err != nil {
		return airway.Result{}, err
	}
	s := airway.NewSetup(source)
	s.TestLeak, s.Mouth.Palate = leak, b != nil
	if b != nil {
		s.Breathing = *b
	}
	return l.run(f, s)
}

func estimatorChecks(l airwayLaws) []Check {
	off := func(by airway.Estimator, source airway.Source, when airway.When, at10 float64) func() (float64, error) {
		return func() (float64, error) {
			r, err := follow(l, source, airway.TestLeak{At10: unit.Flow(at10) * unit.LPerMin, When: when}, nil)
			for _, e := range r.Estimates {
				if e.By == by {
					return e.Off.LPerMin(), err
				}
			}
			return 0, errors.Join(err, errors.New("there is no such estimate"))
		}
	}
	constant := airway.Constant(12 * unit.CmH2O)
	check := func(id, what, source string, w Want, run func() (float64, error)) Check {
		return Check{ID: id, What: what, Source: source, Unit: "L/min", Predicted: true, Want: w, Run: run}
	}
	const exact = "whole-breath estimate less the true leak, two levels 14/4, leak "
	return []Check{
		check("airway-whole-through", exact+"throughout", keeps, About(0, 0.01), off(airway.WholeBreath, levels, airway.Throughout, 20)),
		check("airway-whole-in", exact+"in inspiration", keeps, About(0, 0.01), off(airway.WholeBreath, levels, airway.InInspiration, 20)),
		check("airway-whole-out", exact+"in expiration", keeps, About(0, 0.01), off(airway.WholeBreath, levels, airway.InExpiration, 20)),
		check("airway-mean-pressure", "vent taken at the mean pressure, 14/4 without leak, square-root vent",
			"arithmetic: a square root's mean lies below the square root of the mean, about 1 L/min here", About(-1, 0.35), off(airway.MeanPressure, levels, airway.Throughout, 0)),
		check("airway-conductance-in", "one conductance less the true leak, 14/4, leak of 10 L/min in inspiration",
			lujan+"; several L/min wanted", Between(4.5, 11.5), off(airway.Conductance, levels, airway.InInspiration, 10)),
		check("airway-end-in", "end of expiration less the true leak, 12 cmH2O, leak of 20 L/min in inspiration",
			lujan+"; several L/min wanted", Between(-11.5, -5), off(airway.EndExpiration, constant, airway.InInspiration, 20)),
		check("airway-end-out", "the same, leak of 10 L/min in expiration",
			lujan+"; several L/min wanted, too high", Between(2.2, 6), off(airway.EndExpiration, constant, airway.InExpiration, 10)),
	}
}
