package report

import (
	"fmt"
	"math"
	"strings"

	"tautline/model/gas"
	"tautline/model/unit"
	"tautline/model/vent"
)

// LowestTherapy is the lowest pressure at which masks are worn (common
// practice, no source); a vent that does not clear the mask there is worth a
// look at once.
const LowestTherapy = 4 * unit.CmH2O

// A VentAnswer is what is said about one mask vent.
type VentAnswer struct {
	Name      string    // of the file
	Published vent.Vent // as its curve or its holes stand in the file
	Vent      vent.Vent // in the gas asked for
	Altitude  string    // as asked for, "2500 m", or empty
	At        []unit.Pressure
}

// floor is the washout floor, and the pressure from which the vent is above it.
func (a VentAnswer) floor() (q unit.Flow, from unit.Pressure, reached bool) {
	q = vent.Floor()
	from, reached = a.Vent.PressureFor(q)
	return q, from, reached
}

// low says whether the vent stays under the floor where masks are worn.
func (a VentAnswer) low() bool {
	_, from, reached := a.floor()
	return !reached || from > LowestTherapy
}

// rescaled is the flow asked for over the flow as published, at 10 cmH2O.
func (a VentAnswer) rescaled() float64 {
	now, _ := a.Vent.Flow(10 * unit.CmH2O)
	before, _ := a.Published.Flow(10 * unit.CmH2O)
	if before == 0 {
		return 0
	}
	return float64(now / before)
}

// Text is the answer to read.
func (a VentAnswer) Text(ink Ink) string {
	parts := []string{
		ink.Bold(Wrap(a.Headline(), "")) + "\n",
		a.fitText(),
		Wrap(Meaning(a.Vent.Fit()), "") + "\n",
		a.atText(ink),
		Wrap(a.GasLine(), "") + "\n",
		a.washoutText(ink),
	}
	return strings.Join(parts, "\n")
}

// Headline names the vent and where it is known from.
func (a VentAnswer) Headline() string { return "Mask vent " + a.Name + ": " + a.what() + "." }

// what says where the vent is known from.
func (a VentAnswer) what() string {
	if h, ok := a.Published.Geometry(); ok {
		return fmt.Sprintf("%d holes, %v wide and %v long", h.Count, h.Diameter, h.Length)
	}
	points := a.Published.Points()
	return fmt.Sprintf("%d points of its curve, %v to %s",
		len(points), points[0].Pressure, points[len(points)-1].Pressure)
}

func (a VentAnswer) fitText() string {
	var b strings.Builder
	for _, row := range a.FitRows() {
		fmt.Fprintf(&b, "  %-17s%s\n", row[0], row[1])
	}
	return b.String()
}

// FitRows is the power law through the curve, with how well it is known.
func (a VentAnswer) FitRows() [][]string {
	f := a.Vent.Fit()
	return [][]string{
		{"power law", fmt.Sprintf("Q = %s L/min x (P / 1 cmH2O)^%.3f", unit.Round(f.K.LPerMin()), f.Exponent)},
		{"exponent", fmt.Sprintf("%.3f, standard error %s", f.Exponent, brief(f.ExponentSE))},
		{"at 1 cmH2O", fmt.Sprintf("%s L/min, standard error %s", unit.Round(f.K.LPerMin()), brief(f.KSE.LPerMin()))},
		{"scatter", fmt.Sprintf("%s %% of the flow, over %s", brief(f.Residual.Percent()), a.fitted())},
	}
}

// fitted says what the power law was laid through.
func (a VentAnswer) fitted() string {
	if _, ok := a.Published.Geometry(); ok {
		return "the hole's own curve, 4 to 20 cmH2O"
	}
	return fmt.Sprintf("%d points", a.Vent.Fit().Points)
}

// brief shows an error: two digits, and zero for what is only rounding.
func brief(x float64) string {
	if x < 1e-6 {
		return "0"
	}
	return fmt.Sprintf("%.2g", x)
}

// Meaning says what an exponent tells of the vent.
func Meaning(f vent.Fit) string {
	n := f.Exponent
	says := fmt.Sprintf("An exponent of %.2f ", n)
	switch {
	case n < 0.45:
		return says + "is below that of any fixed hole (0.5): something narrows as pressure rises, or the vent is made to hold its flow back."
	case n < 0.56:
		return says + "is that of an orifice (0.5): plain holes, whose flow about doubles when the pressure is four times as high. Thin mountain air passes more easily."
	case n < 0.8:
		return says + "lies between an orifice (0.5) and a laminar slot (1): fine or long holes, or a diffuser. Altitude moves it less than plain holes."
	case n <= 1.05:
		return says + "is close to that of a laminar slot (1): flow rises in step with pressure, as through felt or a long narrow gap. Altitude hardly moves it."
	}
	return says + "is above that of any fixed opening (1): something opens wider as pressure rises. Is this the vent's own curve, or does it hold a leak as well?"
}

func (a VentAnswer) atText(ink Ink) string {
	rows := a.AtRows()
	rows[0][0] = "  " + rows[0][0]
	for _, row := range rows[1:] {
		row[0] = fmt.Sprintf("%10s", row[0])
		if len(row) > 2 {
			row[2] = ink.Faint(row[2])
		}
	}
	return Columns("  ", rows)
}

// AtRows are the flows at the pressures asked for; what one rests on stands
// beside it where it is not the curve itself.
func (a VentAnswer) AtRows() [][]string {
	rows := [][]string{{"pressure", "vent flow"}}
	for _, p := range a.At {
		q, beyond := a.Vent.Flow(p)
		row := []string{p.String(), q.String()}
		if beyond {
			row = append(row, a.beyond())
		}
		rows = append(rows, row)
	}
	return rows
}

// beyond says what a flow outside the points, or a law's tested range, rests on.
func (a VentAnswer) beyond() string {
	if _, ok := a.Vent.Geometry(); ok {
		return "outside the law's tested range"
	}
	return "extrapolated"
}

// GasLine says in which gas and at which air pressure the flows are counted.
func (a VentAnswer) GasLine() string {
	g := a.Vent.Gas()
	where := fmt.Sprintf("Flows count gas of %v and %v humidity at %.0f hPa", g.Temperature, g.Humidity, g.Ambient.HPa())
	if a.Altitude != "" {
		where += " (" + a.Altitude + ")"
	}
	if open := a.Vent.Open(); open < 1 {
		where += fmt.Sprintf(", with %v of the vent blocked", 1-open)
	}
	_, drilled := a.Published.Geometry()
	switch {
	case a.rescaled() != 1:
		return fmt.Sprintf("%s: %.3f times the flow that the file stands for, at 10 cmH2O.", where, a.rescaled())
	case drilled:
		return where + ", as in a mask."
	}
	return where + ", as the curve is taken to be measured."
}

func (a VentAnswer) washoutText(ink Ink) string {
	why, warning := a.Washout()
	if warning != "" {
		warning = "\n" + ink.Warn(Wrap(warning, "")) + "\n"
	}
	return Wrap(why, "") + "\n" + warning
}

// Washout says from which pressure on the vent clears the mask between two
// breaths; where that is too late for therapy, with what to look at now.
func (a VentAnswer) Washout() (why, warning string) {
	floor, from, reached := a.floor()
	why = fmt.Sprintf("Washout: a sleeper who breathes %v needs about %s L/min through the vent to clear the mask between two breaths.",
		vent.MinuteVolume(), unit.Round(floor.LPerMin()))
	switch {
	case !reached:
		why += " This vent does not reach that at any pressure."
	case a.low():
		why += fmt.Sprintf(" This vent reaches that only from %v up.", from)
	default:
		return why + fmt.Sprintf(" This vent passes that from %v up.", from), ""
	}
	at, _ := a.Vent.Flow(LowestTherapy)
	why += fmt.Sprintf(" At %v about %s of a breath would still be in mask and hose when the next one begins.",
		LowestTherapy, unit.Fraction(math.Round(vent.Sleeping().Left(at).Percent()))*unit.Percent)
	return why, "Look at the vent now: open, unblocked, and is this a vented mask at all? Then at the curve: right mask, right unit?"
}

// CSV is the answer as a table.
func (a VentAnswer) CSV() string {
	var b strings.Builder
	b.WriteString("pressure_cmH2O,flow_L_per_min,extrapolated\n")
	for _, p := range a.At {
		q, beyond := a.Vent.Flow(p)
		fmt.Fprintf(&b, "%g,%g,%t\n", digits(p.CmH2O()), digits(q.LPerMin()), beyond)
	}
	return b.String()
}

// describe gives a gas in the units of the trade.
func describe(g gas.State) GasItem {
	return GasItem{Temperature: digits(g.Temperature.Celsius()), Humidity: digits(g.Humidity.Percent()),
		Ambient: digits(g.Ambient.HPa()), Density: digits(float64(g.Density())),
		Viscosity: digits(1e6 * float64(g.Viscosity()))}
}
