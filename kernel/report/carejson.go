package report

import (
	"strconv"

	"tautline/model/night"
)

// A CareResult is the JSON form of care over months.
type CareResult struct {
	Format    string       `json:"format"`
	Version   int          `json:"version"`
	Name      string       `json:"name"`
	About     string       `json:"about"`
	Pressure  *float64     `json:"pressure_cmH2O"`
	Limit     *float64     `json:"limit_L_per_min"`
	Days      *float64     `json:"over_days"`
	Courses   []CourseItem `json:"courses"`
	Sentences []string     `json:"sentences"`
	Cautions  []string     `json:"cautions"`
}

// A CourseItem is one way of looking after a cushion.
type CourseItem struct {
	Care     string     `json:"care"`
	Replace  *float64   `json:"replaced_after_days"` // null when it is kept
	Cushions int        `json:"cushions"`
	Mean     *float64   `json:"mean_L_per_min"`
	Largest  *float64   `json:"largest_L_per_min"`
	Above    *float64   `json:"above_limit"`
	Days     []WornItem `json:"days"`
}

// A WornItem is one day of a course.
type WornItem struct {
	Day        *float64 `json:"day"`
	Age        *float64 `json:"cushion_days"`
	Leak       *float64 `json:"leak_L_per_min"`
	LiftOff    *float64 `json:"lift_off_cmH2O"`
	OpensFirst string   `json:"opens_first"`
	Contact    *float64 `json:"contact_mmHg"`
}

// CareJSON gives the answer that programs read.
func CareJSON(name, about string, a night.CareAnswer) CareResult {
	q := a.Question
	r := CareResult{Format: "tautline care result", Version: 1, Name: name, About: about, Pressure: num(q.Pressure.CmH2O()),
		Limit: num(q.Limit.LPerMin()), Days: num(q.Days.Days()), Courses: []CourseItem{}, Cautions: append(cautionLines(), CareLimits),
		Sentences: []string{CareSentence(q), CareVerdict(a), CareLimits, CareAfterwards}}
	for _, c := range a.Courses {
		item := CourseItem{Care: CareName(c.Care), Replace: when(c.Replace > 0, c.Replace.Days()), Cushions: c.Cushions,
			Mean: num(c.Mean.LPerMin()), Largest: num(c.Largest.LPerMin()), Above: num(float64(c.Above))}
		for _, d := range c.Days {
			item.Days = append(item.Days, wornItem(d))
		}
		r.Courses = append(r.Courses, item)
	}
	return r
}

func wornItem(d night.Worn) WornItem {
	return WornItem{num(d.Day.Days()), num(d.Age.Days()), num(d.Leak.LPerMin()), when(d.HasLiftOff, d.LiftOff.CmH2O()),
		d.OpensFirst.ID(), num(d.Contact.MmHg())}
}

// CareCSV gives one line for each plan and day.
func CareCSV(a night.CareAnswer) string {
	head := []string{"care", "replaced_after_days", "day", "cushion_days", "leak_L_per_min", "lift_off_cmH2O", "opens_first", "contact_mmHg"}
	return table(head, func(line func(...string)) {
		for _, c := range a.Courses {
			after := ""
			if c.Replace > 0 {
				after = strconv.FormatFloat(c.Replace.Days(), 'g', -1, 64)
			}
			for _, d := range c.Days {
				w := wornItem(d)
				line(CareName(c.Care), after, cell(w.Day), cell(w.Age), cell(w.Leak), cell(w.LiftOff), w.OpensFirst, cell(w.Contact))
			}
		}
	})
}
