package picture

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
	"tautline/model/vent"
)

// strapRows are invented: leak falls and contact rises with the straps.
func strapRows(pulls ...float64) []fit.Row {
	var rows []fit.Row
	for _, f := range pulls {
		v := nasal()
		v.contact = map[face.Site]unit.Pressure{face.Bridge: unit.Pressure(12*f) * unit.MmHg,
			face.NoseSideLeft: unit.Pressure(6*f) * unit.MmHg, face.CheekLeft: unit.Pressure(5*f) * unit.MmHg,
			face.Lip: unit.Pressure(8*f) * unit.MmHg}
		r := fit.Row{Settings: fit.Settings{Straps: unit.Force(f), Size: "medium", Pressure: v.pressure}, Point: v.point()}
		r.Leak = unit.Flow(40*math.Exp(-f)) * unit.LPerMin
		rows = append(rows, r)
	}
	return rows
}

func tradeOffText(rows []fit.Row, w fit.Window) string {
	p := TradeOff(rows, []fit.Window{w}, 10*unit.LPerMin, Line{"chosen line", 50 * unit.MmHg})
	return string(p.SVG())
}

// TestWindowWords: the picture says in words whether there is a window and what
// stands against one.
func TestWindowWords(t *testing.T) {
	rows := strapRows(1, 2, 3, 4, 5, 6)
	for want, w := range map[string]fit.Window{
		"fit window 1.4 to 4.2 N":            {Exists: true, Low: 1.4, High: 4.2},
		"fit window from 2.5 N up":           {Exists: true, Low: 2.5, High: 15, OpenAbove: true},
		"fit window up to 3.1 N":             {Exists: true, Low: 0.5, High: 3.1, OpenBelow: true},
		"it leaks most at the upper lip.":    {UnderLine: true, LineUntil: 4, LeakSite: face.Lip},
		"every strap force puts a site past": {Seals: true, SealsFrom: 2, TopSite: face.Bridge},
		"under the limit from 5 N":           {Seals: true, SealsFrom: 5, UnderLine: true, LineUntil: 3.3},
		"under the line up to 3.3 N":         {Seals: true, SealsFrom: 5, UnderLine: true, LineUntil: 3.3},
		"and none keeps every site under":    {},
	} {
		text := tradeOffText(rows, w)
		if !strings.Contains(text, want) {
			t.Errorf("%q is not said of %+v", want, w)
		}
		if strings.Contains(text, "No window") == w.Exists {
			t.Errorf("the picture is wrong about the window of %+v", w)
		}
	}
}

// TestTradeOffTerms: limit and line are in the picture, by name and number.
func TestTradeOffTerms(t *testing.T) {
	text := tradeOffText(strapRows(1, 2, 3), fit.Window{})
	for _, want := range []string{"limit 10 L/min", "chosen line 50 mmHg", "bridge", "nose sides", "cheeks", "upper lip"} {
		if !strings.Contains(text, ">"+want+"<") {
			t.Errorf("no label %q", want)
		}
	}
}

// TestRowsFollow: one number of one row moves the picture.
func TestRowsFollow(t *testing.T) {
	draw := map[string]func([]fit.Row) *Picture{
		"trade-off": func(r []fit.Row) *Picture { return TradeOff(r, nil, 10*unit.LPerMin, Line{"", 50 * unit.MmHg}) },
		"sweep":     func(r []fit.Row) *Picture { return Sweep(r, []fit.Variable{fit.ByStraps}) },
		"pressures": func(r []fit.Row) *Picture { return AcrossPressures(r) },
	}
	for name, f := range draw {
		before := string(f(strapRows(1, 2, 3)).SVG())
		for what, change := range map[string]func(*fit.Row){
			"leak": func(r *fit.Row) { r.Leak += 3 * unit.LPerMin },
			"site": func(r *fit.Row) { r.Sites[0].Contact += 5 * unit.MmHg; r.Sites[0].Margin = -unit.CmH2O },
			"lift": func(r *fit.Row) { r.Mask += unit.CmH2O; r.Straps += 0.2 },
		} {
			rows := strapRows(1, 2, 3)
			change(&rows[1])
			if string(f(rows).SVG()) == before {
				t.Errorf("the %s picture does not follow the %s", name, what)
			}
		}
	}
}

// TestMarkedPressures: lift-off and onset stand at their places with their
// numbers; without a lift-off the picture says so.
func TestMarkedPressures(t *testing.T) {
	rows := strapRows(2)
	rows[0].HasOnset, rows[0].Onset = true, 21.7*unit.CmH2O
	text := string(AcrossPressures(rows).SVG())
	for _, want := range []string{"lift-off 24.6 cmH2O", "leak onset 21.7 cmH2O", "Opens first at the left cheek"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing", want)
		}
	}
	rows[0].HasLiftOff = false
	if text = string(AcrossPressures(rows).SVG()); !strings.Contains(text, "No lift-off up to") || strings.Contains(text, "lift-off 24.6") {
		t.Error("a rim that holds is not said to hold")
	}
}

// TestSmallMultiples: every value of a second variable has a cell with its name.
func TestSmallMultiples(t *testing.T) {
	var rows []fit.Row
	names := []string{"small", "medium", "large", "wide", "<odd> & long enough to be cut somewhere in the middle of it"}
	for _, size := range names {
		for _, r := range strapRows(1, 2, 3) {
			r.Size = size
			rows = append(rows, r)
		}
	}
	p := Sweep(rows, []fit.Variable{fit.ByStraps, fit.BySize})
	all := parsed(t, p)
	for _, n := range names[:4] {
		found := false
		for _, e := range all {
			found = found || e.name == "text" && e.text == n
		}
		if !found || !strings.Contains(p.Alt, sentenceCase(n)) {
			t.Errorf("no cell for %q", n)
		}
	}
}

// TestBadRows draws rows with anything in them.
func TestBadRows(t *testing.T) {
	odd := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e300, 0, -1, 1e-300}
	rapid.Check(t, func(t *rapid.T) {
		rows := strapRows(1, 2, 3)
		pick := func() float64 { return rapid.SampledFrom(odd).Draw(t, "odd") }
		r := &rows[rapid.IntRange(0, 2).Draw(t, "row")]
		r.Settings.Straps, r.Settings.Pressure = unit.Force(pick()), unit.Pressure(pick())
		r.Settings.Balance, r.Cushion = unit.Fraction(pick()), unit.Time(pick())
		r.Leak, r.Mask, r.LiftOff = unit.Flow(pick()), unit.Pressure(pick()), unit.Pressure(pick())
		r.Sites[0].Contact, r.Sites[0].Margin = unit.Pressure(pick()), unit.Pressure(pick())
		by := rapid.SampledFrom([]fit.Variable{fit.ByStraps, fit.ByBalance, fit.BySize, fit.ByCushion, fit.ByPressure, "unknown"}).Draw(t, "by")
		w := fit.Window{Exists: true, Low: unit.Force(pick()), High: unit.Force(pick())}
		for _, p := range []*Picture{Sweep(rows, []fit.Variable{by}), AcrossPressures(rows),
			TradeOff(rows, []fit.Window{w}, unit.Flow(pick()), Line{"x", unit.Pressure(pick())})} {
			svg := p.SVG()
			if _, err := elements(svg); err != nil {
				t.Fatal(err)
			}
			if strings.Contains(string(svg), "NaN") {
				t.Fatal("NaN in the file")
			}
		}
	})
}

// TestTicks: round numbers, few of them, inside the axis.
func TestTicks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(-1e4, 1e4).Draw(t, "low")
		wide := math.Pow(10, rapid.Float64Range(-2, 5).Draw(t, "decades"))
		s := scale{low: low, high: low + wide}
		ticks := s.ticks()
		if len(ticks) < 2 || len(ticks) > 7 {
			t.Fatalf("%d ticks from %g to %g", len(ticks), s.low, s.high)
		}
		for _, k := range ticks {
			if k.Value < s.low-1e-6*wide || k.Value > s.high+1e-6*wide {
				t.Fatalf("a tick at %g outside %g to %g", k.Value, s.low, s.high)
			}
		}
	})
}

// TestVentMarks: published, fitted, extrapolated and asked differ in kind, and
// the answers are the vent's own.
func TestVentMarks(t *testing.T) {
	v := inventedVent(4, 18.9, 8, 27.2, 12, 33.9, 20, 44.1)
	asked := []unit.Pressure{10 * unit.CmH2O, 25 * unit.CmH2O}
	d := ventDrawing{v: v, asked: asked}
	solid, dashed := 0, 0
	for _, s := range d.lines(d.top()) {
		for _, p := range s.points[1 : len(s.points)-1] {
			inside := p.X >= 4 && p.X <= 20
			if inside != (s.style.dashes == nil) {
				t.Fatalf("the line at %g cmH2O has the wrong dashes", p.X)
			}
			if inside {
				solid++
			} else {
				dashed++
			}
		}
	}
	if solid < 20 || dashed < 20 {
		t.Errorf("%d points inside, %d outside", solid, dashed)
	}
	text := string(Vent(v, asked).SVG())
	for _, p := range asked {
		q, beyond := v.Flow(p)
		if want := cmH2O(p) + ": " + flow(q); !strings.Contains(text, want) {
			t.Errorf("no answer %q", want)
		} else if beyond != strings.Contains(text, want+", extrapolated") {
			t.Errorf("%q: extrapolation is not told", want)
		}
	}
	if !strings.Contains(string(Vent(vent.Vent{}, nil).SVG()), "passes nothing") {
		t.Error("an empty vent is not said to be one")
	}
}
