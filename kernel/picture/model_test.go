package picture

import (
	"context"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/gas"
	"tautline/model/mask"
	"tautline/model/skin"
	"tautline/model/unit"
	"tautline/model/vent"
)

// asked puts an invented case of the catalogue to the model.
func asked(kind mask.Type, of string, pull unit.Force, line unit.Pressure, axes ...fit.Axis) fit.Answer {
	m, err := mask.Find(kind, "medium")
	must(err)
	f, _ := face.Find(of)
	at, _ := fit.FindPosition("on the back")
	l, err := skin.Chosen(line)
	must(err)
	a, err := fit.Ask(context.Background(), fit.Question{Case: fit.NewCase(m, f, pull, at), Pressure: 12 * unit.CmH2O,
		Range: [2]unit.Pressure{6 * unit.CmH2O, 16 * unit.CmH2O}, Limit: 10 * unit.LPerMin, Line: l,
		Axes: axes, Between: fit.UsualBetween()})
	must(err)
	return a
}

func must(err error) {
	if err != nil {
		panic(err)
	}
}

// along is an axis of n values.
func along(v fit.Variable, low, high float64, n int) fit.Axis {
	a := fit.Axis{Variable: v}
	for i := range n {
		a.Numbers = append(a.Numbers, low+(high-low)*float64(i)/float64(max(1, n-1)))
	}
	return a
}

func named2(v fit.Variable, names ...string) fit.Axis { return fit.Axis{Variable: v, Names: names} }

func inventedVent(points ...float64) vent.Vent {
	var all []vent.Point
	for i := 0; i+1 < len(points); i += 2 {
		all = append(all, vent.Point{Pressure: unit.Pressure(points[i]) * unit.CmH2O, Flow: unit.Flow(points[i+1]) * unit.LPerMin})
	}
	v, err := vent.FromPoints(all, gas.AtMask())
	must(err)
	return v
}

// modelCases are pictures of what the model really answers. They are made only
// when wanted, since asking takes longer than drawing.
func modelCases() map[string]func() *Picture {
	seventy := Line{"own line", 70 * unit.MmHg}
	straps := along(fit.ByStraps, 1, 8, 29)
	sizes := named2(fit.BySize, "small", "medium", "large")
	positions := named2(fit.ByPosition)
	for _, p := range fit.Positions() {
		positions.Names = append(positions.Names, p.Name)
	}
	tradeOff := func(line Line, axes ...fit.Axis) func() *Picture {
		return func() *Picture {
			a := asked(mask.Oronasal, "narrow bridge", 6, line.Pressure, axes...)
			return TradeOff(a.Rows, a.Windows, a.Question.Limit, line)
		}
	}
	sweep := func(axes ...fit.Axis) func() *Picture {
		var by []fit.Variable
		for _, x := range axes {
			by = append(by, x.Variable)
		}
		return func() *Picture {
			return Sweep(asked(mask.Oronasal, "narrow bridge", 5, 70*unit.MmHg, axes...).Rows, by, Named("Oronasal, narrow bridge"))
		}
	}
	all := map[string]func() *Picture{
		"trade-empty-between":   tradeOff(Line{"own line", 28 * unit.MmHg}, straps),
		"trade-empty-low":       tradeOff(Line{"capillary band, lower part", 6 * unit.MmHg}, straps, named2(fit.BySize, "small", "large")),
		"trade-sizes":           tradeOff(seventy, straps, sizes),
		"trade-pressures":       tradeOff(seventy, straps, along(fit.ByPressure, 600, 1600, 4)),
		"trade-one":             tradeOff(seventy, along(fit.ByStraps, 6, 6, 1)),
		"sweep-balance":         sweep(along(fit.ByBalance, 0.3, 0.8, 11)),
		"sweep-size":            sweep(sizes),
		"sweep-cushion":         sweep(along(fit.ByCushion, 0, 365*86400, 9)),
		"sweep-position":        sweep(positions),
		"sweep-size-position":   sweep(sizes, positions),
		"sweep-balance-size":    sweep(along(fit.ByBalance, 0.3, 0.8, 11), sizes),
		"sweep-pressure-straps": sweep(along(fit.ByPressure, 400, 2000, 9), along(fit.ByStraps, 2, 8, 4)),
		"sweep-one":             sweep(named2(fit.BySize, "medium")),
	}
	for kind, pull := range map[mask.Type]unit.Force{mask.Nasal: 3, mask.Oronasal: 7, mask.Pillows: 2} {
		addType(all, kind, pull)
	}
	return all
}

// addType adds the usual pictures of one type of mask.
func addType(all map[string]func() *Picture, kind mask.Type, pull unit.Force) {
	name := string(kind) + ", medium, narrow bridge"
	straps := along(fit.ByStraps, 1, 8, 29)
	ask := func(pull unit.Force, x fit.Axis) fit.Answer {
		return asked(kind, "narrow bridge", pull, 70*unit.MmHg, x)
	}
	all["model-rim-"+string(kind)] = func() *Picture { return Rim(ask(pull, straps).Now, Named(name)) }
	all["model-rim-loose-"+string(kind)] = func() *Picture {
		return Rim(ask(pull, straps).Rows[0].Point, Named(name+", loose"))
	}
	all["trade-"+string(kind)] = func() *Picture {
		a := ask(pull, straps)
		return TradeOff(a.Rows, a.Windows, a.Question.Limit, Line{"own line", 70 * unit.MmHg}, Named(name))
	}
	all["pressures-"+string(kind)] = func() *Picture {
		a := ask(pull*0.7, along(fit.ByPressure, float64(4*unit.CmH2O), float64(24*unit.CmH2O), 21))
		return AcrossPressures(a.Rows, Named(name))
	}
}

func chartCases() map[string]*Picture {
	v := inventedVent(4, 18.9, 6, 23.4, 8, 27.2, 12, 33.9, 16, 39.2, 20, 44.1)
	long := "A mask vent of a remarkably long invented name that goes on and on until it does not fit on one line any more"
	holes, err := vent.FromGeometry(vent.Holes{Count: 20, Diameter: 1.1 * unit.Mm, Length: 2.2 * unit.Mm})
	must(err)
	return map[string]*Picture{
		"vent":       Vent(v, []unit.Pressure{3 * unit.CmH2O, 10 * unit.CmH2O, 24 * unit.CmH2O}, Named("Nasal, invented"), WashoutFloor(12*unit.LPerMin)),
		"vent-many":  Vent(v, []unit.Pressure{2 * unit.CmH2O, 4 * unit.CmH2O, 5 * unit.CmH2O, 6 * unit.CmH2O, 7 * unit.CmH2O, 8 * unit.CmH2O, 30 * unit.CmH2O, 60 * unit.CmH2O}, Named(long)),
		"vent-none":  Vent(v, nil),
		"vent-holes": Vent(holes, []unit.Pressure{1 * unit.CmH2O, 10 * unit.CmH2O}),
		"vent-zero":  Vent(vent.Vent{}, nil),
		"trade-none": TradeOff(nil, nil, 10*unit.LPerMin, Line{}),
		"press-none": AcrossPressures(nil),
		"sweep-none": Sweep(nil, nil),
	}
}
