package words

import (
	"tautline/kernel/report"
	"tautline/model/circuit"
	"tautline/model/fit"
	"tautline/model/unit"
)

// The way from the machine to the mask. What no bedside has is refused when
// the mask is put on.

// hoseWidth sets the bore of the hose; 22 mm if it is left out, slim hoses
// have 15 mm.
//
// Unit: a length, such as 15*Mm
// Example: HoseWidth(15*Mm)
func hoseWidth(bore unit.Length) Setting {
	return through("hose "+bore.String()+" wide", func(c *circuit.Circuit) { c.Hose.Diameter = bore })
}

// hoseLength sets how long the hose is; 183 cm if it is left out.
//
// Unit: a length, such as 300*Cm
// Example: HoseLength(300*Cm)
func hoseLength(long unit.Length) Setting {
	return through("hose "+long.String()+" long", func(c *circuit.Circuit) { c.Hose.Length = long })
}

// sourceLimit sets the flow up to which the machine holds the set pressure;
// 150 L/min if it is left out, which is assumed.
//
// Unit: a flow, such as 60*LPerMin
// Example: SourceLimit(60*LPerMin)
func sourceLimit(most unit.Flow) Setting {
	return through("machine up to "+report.Flow(most), func(c *circuit.Circuit) { c.MaxFlow = most })
}

// through checks at once what it changes of machine and hose, so that the
// mistake is told where it was written.
func through(name string, change func(*circuit.Circuit)) Setting {
	tried := circuit.Default()
	change(&tried)
	check(tried.Check())
	return Setting{name, func(c *fit.Case) { change(&c.Circuit) }}
}
