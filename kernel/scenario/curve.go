package scenario

import (
	"errors"
	"strconv"
	"strings"

	"tautline/model/gas"
	"tautline/model/unit"
	"tautline/model/vent"
)

// curveHeader is what every error about a header shows.
const curveHeader = "pressure_cmH2O,flow_L_per_min"

// Vent reads a mask vent from a file's content: holes from a name that ends in
// .toml, a published curve from any other. A curve is taken to be measured in
// the given gas.
func Vent(name string, data []byte, measured gas.State) (vent.Vent, error) {
	if strings.HasSuffix(strings.ToLower(name), ".toml") {
		h, err := holes(name, data)
		if err != nil {
			return vent.Vent{}, err
		}
		v, err := vent.FromGeometry(h)
		if err != nil {
			return v, problem(name, 0, "%v", err)
		}
		return v, nil
	}
	return curve(name, data, measured)
}

func curve(name string, data []byte, measured gas.State) (vent.Vent, error) {
	t, err := readTable(name, data)
	if err != nil {
		return vent.Vent{}, err
	}
	pressure, flow, err := curveColumns(t)
	if err != nil {
		return vent.Vent{}, err
	}
	points, err := curvePoints(t, pressure, flow)
	if err != nil {
		return vent.Vent{}, err
	}
	v, err := vent.FromPoints(points, measured)
	return v, curveProblem(t, err)
}

// curveProblem puts the line to what the model says of a point.
func curveProblem(t *table, err error) error {
	if err == nil {
		return nil
	}
	if e := (*vent.PointError)(nil); errors.As(err, &e) {
		what := e.Reason
		if strings.Contains(what, "outside the range") {
			what += ": is the unit in the header right?"
		}
		return problem(t.name, t.rows[e.Index].line, "%s", what)
	}
	return problem(t.name, 0, "%v", err)
}

// curveColumns finds the two columns by their units.
func curveColumns(t *table) (pressure, flow int, err error) {
	pressure, flow = -1, -1
	for i, c := range t.columns {
		place := map[*unit.Kind]*int{unit.PressureKind: &pressure, unit.FlowKind: &flow}[c.kind]
		switch {
		case place == nil:
			return 0, 0, wrongHead(t, c)
		case *place >= 0:
			return 0, 0, problem(t.name, t.header.line, "%q and %q are both a %s: keep one of them",
				shortened(t.columns[*place].head), shortened(c.head), c.kind.Name)
		case strings.Contains(c.name, "leak"):
			return 0, 0, problem(t.name, t.header.line,
				"%q is a leak, and a vent curve holds the vent's own flow: head it flow_%s if it is that",
				shortened(c.head), strings.ReplaceAll(c.unit, "/", "_per_"))
		}
		*place = i
	}
	if pressure < 0 || flow < 0 {
		missing := "pressure"
		if flow < 0 {
			missing = "flow"
		}
		return 0, 0, problem(t.name, t.header.line, "the header has no %s: it should read %s", missing, curveHeader)
	}
	return pressure, flow, nil
}

// wrongHead says why a column is neither a pressure nor a flow.
func wrongHead(t *table, c column) error {
	if _, err := strconv.ParseFloat(strings.Replace(c.head, ",", ".", 1), 64); err == nil {
		return problem(t.name, t.header.line, "%q is a number where the header should be: put a line %s on top",
			shortened(c.head), curveHeader)
	}
	if c.kind == nil {
		return problem(t.name, t.header.line,
			"the header %q names no unit of pressure or flow that is known: write it like %s",
			shortened(c.head), curveHeader)
	}
	return problem(t.name, t.header.line, "the column %q is neither pressure nor flow: a vent curve has just these two",
		shortened(c.head))
}

func curvePoints(t *table, pressure, flow int) ([]vent.Point, error) {
	var points []vent.Point
	for _, r := range t.rows {
		if len(r.cells) > len(t.columns) {
			return nil, problem(t.name, r.line, "has %d cells under %d heads: %s", len(r.cells), len(t.columns), tooMany(t))
		}
		p, err := t.number(r, pressure)
		if err != nil {
			return nil, err
		}
		q, err := t.number(r, flow)
		if err != nil {
			return nil, err
		}
		points = append(points, vent.Point{Pressure: unit.Pressure(p), Flow: unit.Flow(q)})
	}
	return points, nil
}

func tooMany(t *table) string {
	if t.comma == ',' {
		return "numbers with a decimal comma need semicolons between them"
	}
	return "take out what does not belong to the curve"
}
