package words

import (
	"bytes"
	"context"
	"fmt"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"tautline/kernel/engine"
	"tautline/kernel/report"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// said runs cells in one engine and gives the last one's value or error as
// text.
func said(t *testing.T, cells ...string) string {
	t.Helper()
	var out bytes.Buffer
	e, err := engine.New(All(), &out)
	if err != nil {
		t.Fatal(err)
	}
	defer e.Close()
	text := ""
	for _, c := range cells {
		v, _, err := e.Run(context.Background(), c)
		text = fmt.Sprint(v)
		if err != nil {
			text = err.Error()
		}
	}
	return text
}

const putNasal = `fit := PutOn(Mask("nasal", "medium"), Face("narrow bridge"), Straps(3*N), Position("on the back"))`

// The words ask the model and nothing else: a cell gives what the model gives.
func TestACellGivesTheModelsNumbers(t *testing.T) {
	m, _ := mask.Find(mask.Nasal, "medium")
	f, _ := face.Find("narrow bridge")
	p, _ := fit.FindPosition("on the back")
	on, err := fit.PutOn(fit.NewCase(m, f, 3*unit.N, p))
	if err != nil {
		t.Fatal(err)
	}
	want, err := on.At(12 * unit.CmH2O)
	if err != nil {
		t.Fatal(err)
	}
	for cell, number := range map[string]string{
		"fit.At(12*CmH2O).Leak":                       fmt.Sprint(want.Leak),
		"fit.At(12*CmH2O).Leak.LPerMin()":             fmt.Sprint(want.Leak.LPerMin()),
		"fit.At(12*CmH2O).LiftOff":                    fmt.Sprint(want.LiftOff),
		`fit.At(12*CmH2O).Site("bridge").Contact`:     fmt.Sprint(want.Sites[0].Contact),
		"fit.At(12*CmH2O).Sentence()":                 report.PointSentence(want, "on the back"),
		"fit.With(Straps(5*N)).At(12*CmH2O).StrapSet": "5 N",
		"fit.AcrossStraps(1*N, 8*N, 12*CmH2O, Limit(24*LPerMin), Line(70*MmHg)).Window.Exists": "true",
		"Compare(fit, fit).Second[2].Leak": fmt.Sprint(want.Leak),
		`Population("nasal", 20, 6*CmH2O, 12*CmH2O, Limit(20*LPerMin), Line(90*MmHg), Position("on the back")).Some.Faces`: "20",
		"fit.Split().Shape > 0":                            "true",
		"len(fit.AcrossPressures(4*CmH2O, 20*CmH2O).Rows)": fmt.Sprint(steps),
	} {
		if got := said(t, putNasal, cell); got != number {
			t.Errorf("%s gives %s, want %s", cell, got, number)
		}
	}
}

func TestWordsExplainMisuse(t *testing.T) {
	for cell, want := range map[string]string{
		`Mask("nasle", "medium")`:                         `there is no mask type "nasle"; did you mean "nasal"?`,
		`Mask("nasal", "huge")`:                           `there is no size "huge"`,
		`Face("narow bridge")`:                            `did you mean "narrow bridge"?`,
		`Position("on my head")`:                          `there is no position "on my head"`,
		`PutOn(Mask("nasal", "medium"), Face("average"))`: "PutOn wants the strap force too",
		"fit.At(12)":                                      "fit.At wants a pressure such as 12*CmH2O; 12 has no unit",
		"fit.At(3*N)":                                     "fit.At wants a pressure such as 12*CmH2O; 3*N is a force",
		"fit.At(900*CmH2O)":                               "outside the range",
		"fit.at(12*CmH2O)":                                "did you mean At?",
		"fit.At(12*CmH2O).Site(\"brige\")":                `did you mean "bridge"?`,
		"fit.AcrossStraps(8*N, 1*N, 12*CmH2O)":            "from a lower to a higher force",
		"fit.AcrossPressures(8*CmH2O, 8*CmH2O)":           "from a lower to a higher pressure",
		"Limit(0*LPerMin)":                                "above zero",
		"Line(0*MmHg)":                                    "reference line lies between",
		"var f Fitting\nf.At(12*CmH2O)":                   "this fitting is empty",
		"N := 7":                                          "N is a unit, a force such as 3*N here",
		"CmH2O = 3":                                       "CmH2O is a unit",
	} {
		if got := said(t, putNasal, cell); !strings.Contains(got, want) {
			t.Errorf("%s: %s, want %s", cell, got, want)
		}
	}
}

// Everything shown fits 80 columns as text, carries the cautions, and as HTML
// has a described picture and no style attribute or script.
func TestWhatIsShown(t *testing.T) {
	m, f := findMask("nasal", "medium"), findFace("narrow bridge")
	fit := putOn(m, f, straps(3*unit.N))
	for name, v := range map[string]interface{ Mimebundle() map[string]any }{
		"point":     fit.At(12 * unit.CmH2O),
		"pressures": fit.AcrossPressures(4*unit.CmH2O, 20*unit.CmH2O),
		"straps":    fit.AcrossStraps(1*unit.N, 8*unit.N, 12*unit.CmH2O),
		"window":    fit.AcrossStraps(1*unit.N, 8*unit.N, 12*unit.CmH2O, limit(24*unit.LPerMin), line(70*unit.MmHg)),
		"compared":  compare(fit, fit.With(straps(5*unit.N))),
	} {
		b := v.Mimebundle()
		text, page := b["text/plain"].(string), b["text/html"].(string)
		for _, l := range strings.Split(text, "\n") {
			if len([]rune(l)) > 80 {
				t.Errorf("%s: %d columns: %s", name, len([]rune(l)), l)
			}
		}
		if !strings.Contains(text, "First look") || !strings.Contains(page, "First look") {
			t.Errorf("%s shows no cautions", name)
		}
		if !regexp.MustCompile(`<svg[^>]*role="img"`).MatchString(page) || !strings.Contains(page, "<desc") {
			t.Errorf("%s has no picture with a description", name)
		}
		if bad := regexp.MustCompile(`style=|<script|href=`).FindString(page); bad != "" {
			t.Errorf("%s has %s in its HTML", name, bad)
		}
	}
}

// A window is spoken of only where a limit and a line were stated.
func TestNoWindowWithoutStatements(t *testing.T) {
	fit := putOn(findMask("nasal", "medium"), findFace("narrow bridge"), straps(3*unit.N))
	for _, s := range []Sweep{fit.AcrossStraps(1*unit.N, 8*unit.N, 12*unit.CmH2O),
		fit.AcrossStraps(1*unit.N, 8*unit.N, 12*unit.CmH2O, limit(24*unit.LPerMin)),
		fit.AcrossStraps(1*unit.N, 8*unit.N, 12*unit.CmH2O, line(70*unit.MmHg))} {
		if strings.Contains(strings.ToLower(s.String()), "window") {
			t.Errorf("a window without limit and line:\n%s", s)
		}
	}
}

// What is asked here piece by piece, to be quick, is what the whole answer has.
func TestStrapSweepIsTheModels(t *testing.T) {
	f := putOn(findMask("nasal", "medium"), findFace("narrow bridge"), straps(3*unit.N), position("on the back"))
	s := limit(24 * unit.LPerMin)
	s.line = line(70 * unit.MmHg).line
	low, high, at := 1*unit.N, 8*unit.N, 12*unit.CmH2O
	q, w := f.window(low, high, at, s)
	axis := fit.Axis{Variable: fit.ByStraps}
	rows := f.pulls(low, high, at)
	for _, r := range rows {
		axis.Numbers = append(axis.Numbers, float64(r.Settings.Straps))
	}
	q.Axes = []fit.Axis{axis}
	a, err := fit.Ask(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) < steps/2 || !reflect.DeepEqual(rows, a.Rows) || !reflect.DeepEqual(w, a.Window) {
		t.Errorf("window %+v, not %+v", w, a.Window)
	}
}
