package report

import (
	"strconv"

	"tautline/model/vent"
)

// A VentResult is the JSON form of a VentAnswer (testdata/schema).
type VentResult struct {
	Format    string      `json:"format"`
	Version   int         `json:"version"`
	Name      string      `json:"name"`
	Fit       FitItem     `json:"fit"`
	Meaning   string      `json:"meaning"`
	Points    []FlowItem  `json:"points"` // as published, in the gas asked for
	Holes     *HolesItem  `json:"holes"`
	At        []AtItem    `json:"at"`
	Gas       GasItem     `json:"gas"`
	Published GasItem     `json:"published_gas"`
	Blocked   float64     `json:"blocked_percent"`
	Rescaled  float64     `json:"flow_over_published_at_10_cmH2O"`
	Washout   WashoutItem `json:"washout"`
}

// A FitItem is the fitted power law with its standard errors.
type FitItem struct {
	Exponent   float64 `json:"exponent"`
	ExponentSE float64 `json:"exponent_se"`
	K          float64 `json:"flow_at_1_cmH2O_L_per_min"`
	KSE        float64 `json:"flow_at_1_cmH2O_se_L_per_min"`
	Scatter    float64 `json:"scatter_percent"`
	Points     int     `json:"points"`
}

// A FlowItem is one published point.
type FlowItem struct {
	Pressure float64 `json:"pressure_cmH2O"`
	Flow     float64 `json:"flow_L_per_min"`
}

// An AtItem is the flow at one pressure asked for.
type AtItem struct {
	FlowItem
	Extrapolated bool `json:"extrapolated"`
	BelowFloor   bool `json:"below_washout_floor"`
}

// A HolesItem is a vent's geometry.
type HolesItem struct {
	Count    int     `json:"count"`
	Diameter float64 `json:"diameter_mm"`
	Length   float64 `json:"length_mm"`
}

// A GasItem is a gas with what follows from it.
type GasItem struct {
	Temperature float64 `json:"temperature_C"`
	Humidity    float64 `json:"humidity_percent"`
	Ambient     float64 `json:"ambient_hPa"`
	Density     float64 `json:"density_kg_per_m3"`
	Viscosity   float64 `json:"viscosity_uPa_s"`
}

// A WashoutItem is the warning floor and where the vent stands to it.
type WashoutItem struct {
	Floor   float64  `json:"floor_L_per_min"`
	Reached *float64 `json:"reached_at_cmH2O"` // null: never
	Warning bool     `json:"warning"`
}

// JSON is the answer for programs.
func (a VentAnswer) JSON() VentResult {
	f := a.Vent.Fit()
	r := VentResult{Format: "tautline vent result", Version: 1, Name: a.Name,
		Fit: FitItem{digits(f.Exponent), digits(f.ExponentSE), digits(f.K.LPerMin()), digits(f.KSE.LPerMin()),
			digits(f.Residual.Percent()), f.Points},
		Meaning: Meaning(f), Points: []FlowItem{}, At: []AtItem{},
		Gas: describe(a.Vent.Gas()), Published: describe(a.Published.Gas()),
		Blocked:  digits((1 - a.Vent.Open()).Percent()),
		Rescaled: digits(a.rescaled()), Washout: a.washoutItem()}
	if h, ok := a.Published.Geometry(); ok {
		r.Holes = &HolesItem{h.Count, digits(h.Diameter.Mm()), digits(h.Length.Mm())}
	}
	for _, p := range a.Vent.Points() {
		r.Points = append(r.Points, FlowItem{digits(p.Pressure.CmH2O()), digits(p.Flow.LPerMin())})
	}
	for _, p := range a.At {
		q, beyond := a.Vent.Flow(p)
		r.At = append(r.At, AtItem{FlowItem{digits(p.CmH2O()), digits(q.LPerMin())}, beyond, q < vent.Floor()})
	}
	return r
}

func (a VentAnswer) washoutItem() WashoutItem {
	floor, from, reached := a.floor()
	w := WashoutItem{Floor: digits(floor.LPerMin()), Warning: a.low()}
	if reached {
		w.Reached = finite(digits(from.CmH2O()))
	}
	return w
}

// digits rounds to eight significant digits: more than any of this is known to,
// few enough that 4 cmH2O does not come out as 3.9999999999999996.
func digits(x float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 8, 64), 64)
	if err != nil {
		return x
	}
	return r
}
