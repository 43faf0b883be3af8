package fit

import (
	"tautline/model/mask"
	"tautline/model/unit"
)

// UsualPull is the strap force that a type is first set to.
var UsualPull = map[mask.Type]unit.Parameter{
	mask.Oronasal: usualPull("usual straps, oronasal", 7, 1, 30, unit.Assumed, "within the invented mask's fit window on an average face"),
	mask.Nasal:    usualPull("usual straps, nasal", 3.43, 0.5, 20, unit.Read, StrapRange.Source),
	mask.Pillows:  usualPull("usual straps, pillows", 1.8, 0.2, 10, unit.Assumed, "assumed; no published figure found"),
}

func usualPull(name string, value, low, high float64, origin unit.Origin, source string) unit.Parameter {
	return unit.Parameter{Name: name, Unit: "N", Value: value, Low: low, High: high, Fixed: "chosen",
		Meaning: "sum of strap pulls that a first fitting sets", Origin: origin, Source: source}
}
