package scenario

import (
	"strings"

	"tautline/model/unit"
)

// readingsHeader is what every error about a header shows.
const readingsHeader = "pressure_cmH2O,leak_L_per_min"

// A Reading is a leak that was read at a pressure.
type Reading struct {
	Pressure unit.Pressure
	Flow     unit.Flow
}

// Readings reads leaks at pressures from a CSV file's content. Columns that
// hold neither are left alone; two that could be meant are refused.
func Readings(name string, data []byte) ([]Reading, error) {
	t, err := readTable(name, data)
	if err != nil {
		return nil, err
	}
	pressure, err := readingsColumn(t, unit.PressureKind, "pressure")
	if err != nil {
		return nil, err
	}
	leak, err := readingsColumn(t, unit.FlowKind, "leak")
	if err != nil {
		return nil, err
	}
	var all []Reading
	for _, r := range t.rows {
		p, err := t.number(r, pressure)
		if err != nil {
			return nil, err
		}
		q, err := t.number(r, leak)
		if err != nil {
			return nil, err
		}
		if p < 0 || q < 0 {
			return nil, problem(name, r.line, "pressures and leaks are zero or more: look at this line")
		}
		all = append(all, Reading{unit.Pressure(p), unit.Flow(q)})
	}
	if len(all) == 0 {
		return nil, problem(name, 0, "has a header, but no readings below it")
	}
	return all, nil
}

// readingsColumn finds the one column of a kind, by its name where several have
// the kind.
func readingsColumn(t *table, kind *unit.Kind, word string) (int, error) {
	found, named := -1, -1
	several, many := false, false
	for i, c := range t.columns {
		if c.kind != kind {
			continue
		}
		several, found = found >= 0, i
		if strings.Contains(c.name, word) {
			many, named = named >= 0, i
		}
	}
	switch {
	case found < 0:
		return 0, problem(t.name, t.header.line, "the header has no %s with its unit: it should read %s", word, readingsHeader)
	case named >= 0 && !many:
		return named, nil
	case several || many:
		return 0, problem(t.name, t.header.line, "several columns could be the %s: head the right one %s", word,
			map[string]string{"pressure": "pressure_cmH2O", "leak": "leak_L_per_min"}[word])
	}
	return found, nil
}
