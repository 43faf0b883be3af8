package night

import "tautline/model/unit"

const (
	skarpsno = "E. S. Skarpsno et al., Nat Sci Sleep 2017;9:267-75, 10.2147/NSS.S145777, abstract: 664 working adults, accelerometers"
	douglas  = "N. J. Douglas et al., Thorax 1982;37:840-4"
	dement   = "M. A. Carskadon, W. C. Dement, in Principles and Practice of Sleep Medicine: cycles of 90 to 110 min, more REM towards morning"
	noFigure = "assumed; no published figure found"
)

func assumed(name, units string, value, low, high float64, meaning string) unit.Parameter {
	return unit.Parameter{Name: name, Unit: units, Value: value, Low: low, High: high, Meaning: meaning,
		Origin: unit.Assumed, Source: noFigure}.Around(offBy)
}

// offBy is the factor by which an assumed habit may well be off, either way
// (assumed as well).
const offBy = 1.6

// chosen marks what whoever asks decides.
func chosen(p unit.Parameter) unit.Parameter {
	p.Likely, p.Fixed = [2]float64{}, "chosen"
	return p
}

// The records of how a night goes.
var (
	BackShare = unit.Parameter{Name: "time on the back", Unit: "%", Value: 40.9, Low: 0, High: 100, SD: 18.2,
		Meaning: "share of the night; 37.5 of the 91.6 % spent on the back and on a side, lying on the front left out",
		Origin:  unit.Read, Source: skarpsno}
	TurnRate = unit.Parameter{Name: "turns an hour", Value: 1.6, Low: 0, High: 20, SD: 0.7,
		Meaning: "changes of position an hour; the spread is between people", Origin: unit.Read,
		Source: skarpsno + "; filmed, 2.7 an hour at 35 to 45 years and 2.1 at 65 to 80 (J. De Koninck et al., Sleep 1992;15:143-9)"}
	CycleLength = unit.Parameter{Name: "sleep cycle", Unit: "min", Value: 95, Low: 40, High: 180, SD: 12,
		Meaning: "from one REM's end to the next", Origin: unit.Memory, Source: dement}
	FirstREM = unit.Parameter{Name: "first REM", Unit: "min", Value: 8, Low: 0, High: 60, Likely: [2]float64{4, 15},
		Meaning: "length of the night's first REM sleep", Origin: unit.Memory, Source: dement}
	LaterREM = unit.Parameter{Name: "REM growing", Unit: "min", Value: 6, Low: 0, High: 30, Likely: [2]float64{3, 10},
		Meaning: "by how much each REM sleep is longer than the one before", Origin: unit.Memory, Source: dement}
	VentilationNREM = unit.Parameter{Name: "minute ventilation, NREM", Unit: "L/min", Value: 7.18, Low: 2, High: 30, Likely: [2]float64{5, 10}, // assumed
		Meaning: "breathed in a minute", Origin: unit.Read, Source: douglas}
	VentilationREM = unit.Parameter{Name: "minute ventilation, REM", Unit: "L/min", Value: 6.46, Low: 2, High: 30, Likely: [2]float64{5, 10}, // assumed
		Meaning: "breathed in a minute", Origin: unit.Read, Source: douglas}
	InspiredTime = unit.Parameter{Name: "share of the breath spent breathing in", Unit: "%", Value: 41, Low: 20, High: 60, Likely: [2]float64{38, 45},
		Meaning: "Ti/Ttot", Origin: unit.Memory, Source: "0.38 to 0.45 in sleep"}
	ToneREM = assumed("mouth tone, REM", "%", 60, 0, 100,
		"how hard lips and jaw close in REM sleep, against NREM")
	ToneSpread = unit.Parameter{Name: "spread of the mouth tone", Unit: "%", Value: 37.6, Low: 0, High: 150, Likely: [2]float64{20, 60},
		Meaning: "standard deviation from one turn or change of stage to the next", Origin: unit.Assumed,
		Source: "half of what upper and lower lip differ by, 3.9 and 8.6 cmH2O (Hellsing and L'Estrange, 1987), taken to hold within a night"}
	JawREM = assumed("jaw falling further, REM", "mm", 1, 0, 10,
		"how much further the chin recedes in REM sleep, lying")
	Slack = assumed("strap slackening, overnight", "%", 6, 0, 60,
		"share of their pull that the straps have lost in the end")
	SlackTime   = assumed("strap slackening time", "h", 2, 0.1, 24, "time in which most of that happens")
	SlackSpread = assumed("spread of strap slackening", "%", 50, 0, 150,
		"from night to night, of the share lost (log-normal)")
	Slip    = assumed("straps slipping on a turn", "%", 0.4, 0, 20, "share of the pull lost at each turn")
	Evening = assumed("spread of the evening's strap pull", "%", 8, 0, 60,
		"how differently the straps are set from night to night (log-normal)")
	Askew = assumed("mask askew after a turn", "%", 2, 0, 20,
		"spread of the left straps' share of the pull after each turn")
	WarmSoftening = assumed("cushion warming", "%", 5, 0, 60,
		"share of its stiffness that the cushion loses as it warms on the skin")
	WarmTime     = assumed("cushion warming time", "min", 5, 0.5, 60, "time in which most of that happens")
	CutOutLeaves = assumed("push left by a cut-out", "%", 20, 0, 100,
		"share of the bed pillow's push that a pillow with a cut-out leaves")
	Opening = chosen(assumed("leak that a turn adds", "L/min", 2, 0.1, 50,
		"rise of the seal's leak from which a turn counts as having opened it"))
	HoursRecord  = chosen(assumed("length of the night", "h", 8, 0.5, 16, "asleep with the mask on"))
	NightsRecord = unit.Parameter{Name: "nights", Value: 200, Low: 1, High: 5000, Fixed: "chosen", Meaning: "simulated nights",
		Origin: unit.Assumed, Source: "enough for a share of nights within about 7 % (95 % interval)"}
)

// Parameters lists the records of the package.
func Parameters() []unit.Parameter {
	return []unit.Parameter{BackShare, TurnRate, CycleLength, FirstREM, LaterREM, VentilationNREM, VentilationREM,
		InspiredTime, ToneREM, ToneSpread, JawREM, Slack, SlackTime, SlackSpread, Slip, Evening, Askew, WarmSoftening, WarmTime,
		CutOutLeaves, Opening, HoursRecord, NightsRecord}
}
