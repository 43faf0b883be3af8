package report

import "tautline/model/airway"

// A BreathResult is the JSON form of a BreathAnswer (testdata/schema).
type BreathResult struct {
	Format    string          `json:"format"`
	Version   int             `json:"version"`
	Name      string          `json:"name"`
	About     string          `json:"about"`
	Mask      string          `json:"mask"`
	Position  string          `json:"position"`
	Source    LevelsItem      `json:"source"`
	Breathing BreathingItem   `json:"breathing"`
	Mouth     MouthItem       `json:"mouth"`
	Pressure  SwingItem       `json:"mask_pressure"`
	Flow      MeansItem       `json:"mean_flow"`
	MouthTime float64         `json:"mouth_leak_time_percent"`
	Spans     [][2]float64    `json:"mouth_leak_from_to_s"`
	Nose      NoseItem        `json:"nose"`
	Washout   BreathWashItem  `json:"washout"`
	Estimates []EstimateItem  `json:"estimates"`
	Imbalance float64         `json:"imbalance"`
	Sentence  string          `json:"sentence"`
	Warnings  []string        `json:"warnings"`
	Trace     []BreathInstant `json:"trace"`
}

// A LevelsItem is what is set at the machine.
type LevelsItem struct {
	Inspiration float64 `json:"inspiration_cmH2O"`
	Expiration  float64 `json:"expiration_cmH2O"`
	Rise        float64 `json:"rise_s"`
}

// A BreathingItem is how the person breathes, as it came out.
type BreathingItem struct {
	Rate   float64 `json:"rate_per_min"`
	Tidal  float64 `json:"tidal_mL"`
	Minute float64 `json:"minute_volume_L_per_min"`
	Effort float64 `json:"effort_cmH2O"`
}

// A MouthItem is the mouth as it was taken.
type MouthItem struct {
	Closing   float64 `json:"closing_cmH2O"`
	ChinStrap float64 `json:"chin_strap_cmH2O"`
	Palate    bool    `json:"palate_open"`
	Open      bool    `json:"open"`
	Inside    bool    `json:"inside_the_mask"`
	JawBack   float64 `json:"jaw_back_mm"`
}

// A SwingItem is the pressure in the mask.
type SwingItem struct {
	Mean  float64 `json:"mean_cmH2O"`
	Low   float64 `json:"lowest_cmH2O"`
	High  float64 `json:"highest_cmH2O"`
	Swing float64 `json:"swing_cmH2O"`
}

// A MeansItem holds mean flows.
type MeansItem struct {
	Hose  float64 `json:"hose_L_per_min"`
	Vent  float64 `json:"vent_L_per_min"`
	Leak  float64 `json:"seal_leak_L_per_min"`
	Mouth float64 `json:"mouth_leak_L_per_min"`
	Both  float64 `json:"unintentional_leak_L_per_min"`
}

// A NoseItem is the nose now and after ten minutes of this mouth leak.
type NoseItem struct {
	Now   float64 `json:"resistance_cmH2O_s_per_L"`
	Later float64 `json:"resistance_after_10_min_cmH2O_s_per_L"`
}

// A BreathWashItem is what is left of a breath in mask and hose.
type BreathWashItem struct {
	Left       float64 `json:"left_percent"`
	Rebreathed float64 `json:"left_mL"`
	Flow       float64 `json:"flow_breathing_out_L_per_min"`
	Floor      float64 `json:"floor_L_per_min"`
}

// An EstimateItem is what one estimator would read.
type EstimateItem struct {
	By   string  `json:"estimator"`
	Leak float64 `json:"leak_L_per_min"`
	Off  float64 `json:"less_true_mean_L_per_min"`
}

// A BreathInstant is one instant of the record.
type BreathInstant struct {
	Time    float64 `json:"time_s"`
	Set     float64 `json:"set_cmH2O"`
	Mask    float64 `json:"mask_cmH2O"`
	Pharynx float64 `json:"pharynx_cmH2O"`
	Hose    float64 `json:"hose_L_per_min"`
	Vent    float64 `json:"vent_L_per_min"`
	Leak    float64 `json:"seal_leak_L_per_min"`
	Mouth   float64 `json:"mouth_leak_L_per_min"`
	Lung    float64 `json:"lung_L_per_min"`
	Volume  float64 `json:"lung_mL"`
}

func traceItem(s airway.Sample) BreathInstant {
	return BreathInstant{digits(float64(s.Time)), digits(s.Set.CmH2O()), digits(s.Mask.CmH2O()), digits(s.Pharynx.CmH2O()),
		digits(s.Total.LPerMin()), digits(s.Vent.LPerMin()), digits(s.Leak.LPerMin()), digits(s.Mouth.LPerMin()),
		digits(s.Lung.LPerMin()), digits(s.Volume.ML())}
}

// JSON is the answer for programs.
func (a BreathAnswer) JSON() BreathResult {
	r, m := a.Result, a.Result.Setup.Mouth
	position := a.Question.Case.Position.Name
	out := BreathResult{Format: "tautline breath result", Version: 1, Name: a.Name, About: a.About,
		Mask: string(r.Mask), Position: position,
		Source:    LevelsItem{digits(r.Setup.Source.Inspiration.CmH2O()), digits(r.Setup.Source.Expiration.CmH2O()), digits(float64(r.Setup.Source.Rise))},
		Breathing: BreathingItem{digits(60 * r.Setup.Breathing.Rate), digits(r.Tidal.ML()), digits(r.Minute.LPerMin()), digits(r.Effort.CmH2O())},
		Mouth:     MouthItem{digits(m.Closing().CmH2O()), digits(m.ChinStrap.CmH2O()), m.Palate, m.Open, m.Inside, digits(r.JawBack.Mm())},
		Pressure:  SwingItem{digits(r.MaskMean.CmH2O()), digits(r.MaskLow.CmH2O()), digits(r.MaskHigh.CmH2O()), digits(r.Swing.CmH2O())},
		Flow:      MeansItem{digits(r.Total.LPerMin()), digits(r.Vent.LPerMin()), digits(r.Leak.LPerMin()), digits(r.Mouth.LPerMin()), digits(r.Unintentional.LPerMin())},
		MouthTime: digits(r.MouthTime.Percent()), Spans: [][2]float64{},
		Nose:      NoseItem{digits(r.NoseNow.CmH2OPerLPerSec()), digits(r.NoseLater.CmH2OPerLPerSec())},
		Washout:   BreathWashItem{digits(r.Left.Percent()), digits(r.Rebreathed.ML()), digits(r.Washout.LPerMin()), digits(r.Floor.LPerMin())},
		Estimates: []EstimateItem{}, Imbalance: r.Imbalance, Sentence: BreathSentence(r, position), Warnings: []string{}}
	for _, s := range r.MouthLeak {
		out.Spans = append(out.Spans, [2]float64{digits(float64(s.From)), digits(float64(s.To))})
	}
	for _, e := range r.Estimates {
		out.Estimates = append(out.Estimates, EstimateItem{string(e.By), digits(e.Leak.LPerMin()), digits(e.Off.LPerMin())})
	}
	for _, w := range r.Warnings {
		out.Warnings = append(out.Warnings, BreathWarning(w))
	}
	for _, s := range r.Samples {
		out.Trace = append(out.Trace, traceItem(s))
	}
	return out
}
