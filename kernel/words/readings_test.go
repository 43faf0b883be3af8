package words

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"tautline/kernel/engine"
)

// folder is a front that can read files, and nothing else.
type folder struct {
	Front
	files fs.FS
}

func (f folder) Context() context.Context         { return context.Background() }
func (f folder) Hear(string, func(Message))       {}
func (f folder) Read(name string) ([]byte, error) { return fs.ReadFile(f.files, name) }

// readIn runs cells in an engine whose words read from a folder.
func readIn(t *testing.T, files fstest.MapFS, cells ...string) any {
	t.Helper()
	var out bytes.Buffer
	e, err := engine.New(In(folder{files: files}), &out)
	if err != nil {
		t.Fatal(err)
	}
	defer e.Close()
	var v any
	for _, c := range cells {
		if v, _, err = e.Run(context.Background(), c); err != nil {
			return err
		}
	}
	return v
}

func TestReadings(t *testing.T) {
	files := fstest.MapFS{
		"clinic.csv":  {Data: []byte("\xef\xbb\xbfPressure (hPa);Leak (L/min);note\r\n10,0;31,5;dry\r\n8,0;28;\r\n")},
		"two.csv":     {Data: []byte("pressure_cmH2O,flow_L_per_min,total_L_per_min\n8,1,2\n")},
		"empty.csv":   {Data: []byte("pressure_cmH2O,leak_L_per_min\n")},
		"minus.csv":   {Data: []byte("pressure_cmH2O,leak_L_per_min\n8,-3\n")},
		"swapped.csv": {Data: []byte("time_s,leak_L_per_min\n8,3\n")},
		"curve.csv":   {Data: []byte("pressure_cmH2O,flow_L_per_min\n4,19\n10,31\n20,44\n")},
	}
	for cell, want := range map[string]string{
		`Readings("clinic.csv").All[0]`: "28 L/min at 8.16 cmH2O",
		`Readings(Reading(12*CmH2O, 44*LPerMin), Reading(8*CmH2O, 31*LPerMin)).All[0].Flow`: "31 L/min",
		`Readings("two.csv")`:                               "several columns could be the leak",
		`Readings("empty.csv")`:                             "no readings below it",
		`Readings("minus.csv")`:                             "line 2",
		`Readings("swapped.csv")`:                           "the header has no pressure with its unit",
		`Readings()`:                                        "at least one reading",
		`Readings(3)`:                                       "what Readings takes is the name of a file",
		`Reading(8*CmH2O, -1*LPerMin)`:                      "zero or more",
		`Reading(8, 31)`:                                    "Reading wants a pressure such as 12*CmH2O; 8 has no unit",
		`VentCurve("curve.csv").At(10*CmH2O)`:               "31 L/min",
		`VentCurve(Reading(4*CmH2O, 19*LPerMin))`:           "at least three points",
		`VentCurve(true)`:                                   "VentCurve wants the name of a file",
		`Vent(Mask("nasal", "medium")).Blocked(2)`:          "can be blocked",
		`Vent(Mask("nasal", "medium")).At(500*CmH2O)`:       "outside the range",
		`Vent(Mask("nasal", "medium")).At(10*CmH2O) > 0`:    "true",
		`Vent(Mask("nasal", "medium")).Fit().Exponent > .3`: "true",
	} {
		if got := fmt.Sprint(readIn(t, files, cell)); !strings.Contains(got, want) {
			t.Errorf("%s gives %s, want %s", cell, got, want)
		}
	}
	if got := said(t, `Readings("clinic.csv")`); !strings.Contains(got, "no file can be read here") {
		t.Errorf("without a folder: %s", got)
	}
}

// Plots and images show themselves; a plot has no style attribute or script.
func TestForeignValuesShowThemselves(t *testing.T) {
	v := readIn(t, nil, `import ("gonum.org/v1/plot"; "gonum.org/v1/plot/plotter")
p := plot.New()
p.Title.Text, p.X.Label.Text = "Leak <1>", "pressure, cmH2O"
l, _ := plotter.NewLine(plotter.XYs{{X: 0, Y: 1}, {X: 2, Y: 3}})
p.Add(l)
p`)
	b := v.(interface{ Mimebundle() map[string]any }).Mimebundle()
	svg, text := b["image/svg+xml"].(string), b["text/plain"].(string)
	if !strings.Contains(svg, "<svg") || !strings.Contains(svg, "Leak &lt;1&gt;") || regexp.MustCompile(`style=|<script|<style`).MatchString(svg) {
		t.Errorf("the plot is\n%s", svg)
	}
	if !strings.Contains(text, "pressure, cmH2O from 0 to 2") {
		t.Errorf("its text is %q", text)
	}
	v = readIn(t, nil, "import (\"image\"; \"image/color\")\nm := image.NewGray(image.Rect(0, 0, 3, 2))\nm.Set(1, 1, color.White)\nm")
	b = v.(interface{ Mimebundle() map[string]any }).Mimebundle()
	if b["text/plain"] != "an image of 3 by 2 pixels" || !strings.HasPrefix(fmt.Sprint(b["image/png"]), "iVBOR") {
		t.Errorf("the image is %v", b)
	}
	if got := fmt.Sprint(readIn(t, nil, "import \"gonum.org/v1/plot\"\nplot.New().Save(3, 3, \"x.png\")")); !strings.Contains(got, "Save writes files") {
		t.Error(got)
	}
}

// A cell's own structs and lists are read by the names of their fields, with
// units.
func TestOwnValuesAreReadable(t *testing.T) {
	for cell, want := range map[string]string{
		"type P struct { name string; pull Force }\nP{\"a\", 3*N}":                    "P{name: a, pull: 3 N}",
		"type P struct { Name string; Pull Force }\n[]P{{\"a\", 3*N}, {\"bb\", 4*N}}": "Name  Pull\na     3 N\nbb    4 N",
		"[]Force{1*N, 2*N}":                                           "[1 N 2 N]",
		"map[string]Pressure{\"a\": 4*CmH2O}":                         "map[a:4 cmH2O]",
		"type T struct { in struct { X, y float64 }; l []int }\n&T{}": "&T{in: {X: 0, y: 0}, l: []}",
		putNasal + "\nfit.At(12*CmH2O).Site(\"lip\")":                 "Margin       ",
	} {
		if got := said(t, cell); !strings.Contains(got, want) {
			t.Errorf("%s shows\n%s\nwant\n%s", cell, got, want)
		}
	}
}
