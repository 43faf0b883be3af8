package words

import "reflect"

// aliases offers our word for how units are called elsewhere, in small letters.
// Where two are near, the one that people at a mask are likelier to mean.
var aliases = map[string]string{
	"newton": "N", "newtons": "N", "mn": "N",
	"g": "Grams", "gf": "Grams", "gram": "Grams", "kg": "Grams", "gramforce": "Grams",
	"cmh2o": "CmH2O", "cmh20": "CmH2O", "cmwater": "CmH2O", "h2o": "CmH2O", "mbar": "HPa", "hectopascal": "HPa",
	"mmhg": "MmHg", "torr": "MmHg", "kpa": "KPa",
	"l": "LPerMin", "lpm": "LPerMin", "lmin": "LPerMin", "litre": "LPerMin", "liter": "LPerMin", "litres": "LPerMin", "slpm": "LPerMin",
	"mm": "Mm", "millimetre": "Mm", "cm": "Cm", "centimetre": "Cm",
	"s": "Second", "sec": "Second", "seconds": "Second", "min": "Minute", "mins": "Minute", "minutes": "Minute", "h": "Hour", "hr": "Hour", "hours": "Hour", "days": "Day", "d": "Day",
	"pct": "Percent", "deg": "Degree", "degrees": "Degree",
	"force": "Straps", "pull": "Straps", "cpap": "CmH2O",
	"planfor": "Plan", "patient": "Facts", "firstmask": "Plan", "whatfirst": "Plan", "shelf": "Stock", "inventory": "Stock", "masksinstock": "Stock",
	"tick": "Ticks", "features": "Ticks", "gauge": "NoseWidth", "nose": "NoseWidth", "nosegauge": "NoseWidth", "therapy": "Pressures", "result": "Outcome",
	"tried": "Outcome", "gate": "Told", "claustrophobia": "CoversAtMost", "firstminute": "Bedside", "form": "Bedside",
	"why": "Explain", "causes": "Explain", "cause": "Explain", "drymouth": "DryMouth", "sore": "SoreAt", "redness": "SoreAt",
	"statistic": "OnStatistic", "percentile": "OnStatistic", "flow": "OnFlow", "total": "OnFlow", "reseat": "Reseated", "palm": "AgainstPalm", "hose": "HoseHeldUp",
	"readcsv": "Readings", "samples": "Draws", "montecarlo": "Doubt", "uncertainty": "Doubt", "pillow": "Position",
}

// examples shows how values of our types are made.
var examples = map[reflect.Type]string{
	reflect.TypeFor[Mask]():          `Mask("nasal", "medium")`,
	reflect.TypeFor[Face]():          `Face("average")`,
	reflect.TypeFor[Setting]():       `Straps(3*N) or Position("on the back")`,
	reflect.TypeFor[Statement]():     `Limit(24*LPerMin) or Line(70*MmHg)`,
	reflect.TypeFor[BreathSetting](): `ChinStrap() or MouthOpen()`,
	reflect.TypeFor[Seen]():          `SteppedBy("person") or DryMouth("no")`,
	reflect.TypeFor[ReadingList]():   `Readings(Reading(8*CmH2O, 31*LPerMin))`,
	reflect.TypeFor[Fitting]():       `PutOn(mask, face, Straps(3*N))`,
	reflect.TypeFor[Control]():       `Slider("straps", 1*N, 8*N)`,
	reflect.TypeFor[Student]():       `Student("class-7", "k42")`,
	reflect.TypeFor[Task]():          `me.Task("strap pull")`,
	reflect.TypeFor[Fact]():          `Ticks("narrow bridge") or Told("implants", "no")`,
	reflect.TypeFor[Shelf]():         `Stock("stock.toml")`,
	reflect.TypeFor[PatientFacts]():  `Facts(Ticks("narrow bridge"), Pressures(4*CmH2O, 16*CmH2O))`,
}

// elsewhere offers the catalogue's name for how things are called elsewhere.
var elsewhere = map[string]string{
	"full face": "oronasal", "full-face": "oronasal", "fullface": "oronasal", "ff": "oronasal", "mouth": "oronasal",
	"nose": "nasal", "pillow": "pillows", "nasal pillow": "pillows", "nasal pillows": "pillows", "prongs": "pillows",
	"s": "small", "m": "medium", "l": "large", "mid": "medium", "normal": "average", "standard": "average",
	"supine": "on the back", "back": "on the back", "left": "on the left side", "right": "on the right side", "upright": "sitting", "sit": "sitting",
	"leaks": "leaks somewhere", "leak": "leaks somewhere", "leaks at nose": "leaks at the nose sides", "fine": "comfortable", "ok": "comfortable",
	"red": "sore", "hurts": "sore", "dry mouth": "mouth leak", "refuses": "will not wear it", "claustrophobia": "will not wear it",
	"magnets": "implants", "hands": "takes off alone", "toothless": "no teeth", "beard": "full beard", "moustache": "beard trimmed", "unknown": "don't know",
	"nose bridge": "bridge", "nasion": "bridge",
}
