// Package words gives cells the names they can say: masks and faces of the
// catalogue, putting one on the other, what to ask of a fitting, and the units.
// Each word asks the model and wraps what it answers into a value that shows
// itself.
package words

import (
	"reflect"

	"tautline/kernel/engine"
	"tautline/model/fit"
	"tautline/model/unit"
)

// All lists the words for an engine.
func All() engine.Words {
	w := engine.Words{Binds: map[string]reflect.Value{}, Types: map[string]reflect.Type{},
		Untypeds: map[string]string{}, Proxies: map[string]reflect.Type{}, Quantities: map[reflect.Type]engine.Quantity{}}
	for name, value := range units {
		w.Binds[name] = reflect.ValueOf(value)
	}
	for name, f := range functions {
		w.Binds[name] = reflect.ValueOf(f)
	}
	for _, q := range quantities {
		w.Types[q.typ.Name()] = q.typ
		w.Quantities[q.typ] = q.Quantity
	}
	for name, t := range types {
		w.Types[name] = t
	}
	w.Show, w.Aliases, w.Examples = showForeign, aliases, examples
	return w
}

// units are the units of the trade, by the names that product labels use.
var units = map[string]any{
	"N": unit.N, "Grams": unit.GramForce,
	"Pa": unit.Pa, "CmH2O": unit.CmH2O, "HPa": unit.HPa, "KPa": unit.KPa, "MmHg": unit.MmHg,
	"LPerMin": unit.LPerMin, "LPerSec": unit.LPerSec,
	"Mm": unit.Mm, "Cm": unit.Cm,
	"Second": unit.Second, "Minute": unit.Minute, "Hour": unit.Hour, "Day": unit.Day,
	"Percent": unit.Percent, "Degree": unit.Degree,
}

// functions are the words that do something.
var functions = map[string]any{
	"Mask": findMask, "Masks": masks, "Face": findFace, "Faces": faces,
	"PutOn": putOn, "Straps": straps, "UpperShare": upperShare, "Position": position, "CushionAge": cushionAge,
	"Limit": limit, "Line": line,
	"ChinStrap": chinStrap, "Lips": lips, "MouthOpen": mouthOpen, "PalateShut": palateShut, "MouthLeaked": mouthLeaked,
	"Expiration": expiration, "REM": remSleep, "TestLeak": testLeak,
	"Population": (*place)(nil).population, "Compare": compare, "Cautions": cautions,
	"Statistic": statistic, "Hours": hours, "Nights": nights, "Seed": seed, "Draws": draws, "CutOut": cutOut, "SleepsOn": sleepsOn,
	"LipsResting": lipsResting, "HosePull": hosePull,
	"HoseWidth": hoseWidth, "HoseLength": hoseLength, "SourceLimit": sourceLimit,
	"Reading": reading, "Readings": (*place)(nil).readings, "Vent": maskVent, "VentCurve": (*place)(nil).ventCurve,
	"Plan": (*place)(nil).planFor, "Facts": (*place)(nil).facts, "Stock": (*place)(nil).stock,
	"Ticks": ticks, "NoseWidth": noseWidth, "Pressures": pressures, "Told": told, "CoversAtMost": coversAtMost, "Outcome": outcome,
	"Student": student,
	"Live":    unplaced, "Bedside": unplacedForm, "BedsidePlan": unplacedPlanForm, "Slider": slider, "Count": count, "Choice": choice, "Switch": newSwitch,
	"Explain": (*place)(nil).explain, "AirFeltAt": airFeltAt, "SoreAt": soreAt,
	"OnFlow": onFlow, "OnStatistic": onStatistic, "SteppedBy": steppedBy, "DryMouth": dryMouth,
	"WorseOnSide": worseOnSide, "CushionLooks": cushionLooks, "StrapsFeel": strapsFeel, "OxygenAdded": oxygenAdded,
	"AirFelt": airFelt, "LipsClosed": lipsClosed, "FingerPressure": fingerPressure, "Reseated": reseated,
	"HeadTurned": headTurned, "HoseHeldUp": hoseHeldUp, "AgainstPalm": againstPalm, "DampHand": dampHand,
}

// types are the types that a function in a cell may want to name.
var types = map[string]reflect.Type{
	"Doubt": reflect.TypeFor[Doubt](),
	"Task":  reflect.TypeFor[Task](), "Feedback": reflect.TypeFor[Feedback](), "Progress": reflect.TypeFor[Progress](),
	"FacesAnswer": reflect.TypeFor[FacesAnswer](), "Fitting": reflect.TypeFor[Fitting](), "Point": reflect.TypeFor[Point](),
	"NightSleep": reflect.TypeFor[NightSleep](), "CushionCare": reflect.TypeFor[CushionCare](),
	"Sweep": reflect.TypeFor[Sweep](), "ReadingList": reflect.TypeFor[ReadingList](), "MaskVent": reflect.TypeFor[MaskVent](),
	"Breath": reflect.TypeFor[Breath](), "BreathSetting": reflect.TypeFor[BreathSetting](),
	"PlanAnswer": reflect.TypeFor[PlanAnswer](), "PatientFacts": reflect.TypeFor[PatientFacts](), "Fact": reflect.TypeFor[Fact](),
	"Shelf":       reflect.TypeFor[Shelf](),
	"Explanation": reflect.TypeFor[Explanation](), "Seen": reflect.TypeFor[Seen](),
	"Mismatch": reflect.TypeFor[Mismatch](), "Setting": reflect.TypeFor[Setting](), "SiteState": reflect.TypeFor[fit.SiteState](),
}

var quantities = []struct {
	typ reflect.Type
	engine.Quantity
}{
	{reflect.TypeFor[unit.Force](), engine.Quantity{Noun: "a force", Example: "3*N"}},
	{reflect.TypeFor[unit.Pressure](), engine.Quantity{Noun: "a pressure", Example: "12*CmH2O"}},
	{reflect.TypeFor[unit.Flow](), engine.Quantity{Noun: "a flow", Example: "24*LPerMin"}},
	{reflect.TypeFor[unit.Length](), engine.Quantity{Noun: "a length", Example: "4*Mm"}},
	{reflect.TypeFor[unit.Time](), engine.Quantity{Noun: "a time", Example: "7*Hour"}},
	{reflect.TypeFor[unit.Angle](), engine.Quantity{Noun: "an angle", Example: "2*Degree"}},
	{reflect.TypeFor[unit.Fraction](), engine.Quantity{Noun: "a share", Example: "60*Percent", Bare: true}},
}
