package scenario

import (
	"encoding/binary"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tautline/model/explain"
	"tautline/model/unit"
)

const clinic = "pressure_cmH2O,total_leak_L_per_min,statistic\n6,27.5,median\n8,33,median\n"

// The same readings in every dress that a spreadsheet gives them.
func TestReadingsAsSpreadsheetsWriteThem(t *testing.T) {
	for name, text := range map[string]string{
		"plain":        clinic,
		"CRLF, BOM":    "\ufeff" + strings.ReplaceAll(clinic, "\n", "\r\n"),
		"UTF-16 LE":    utf16Of(clinic, binary.LittleEndian, true),
		"UTF-16 BE":    utf16Of(clinic, binary.BigEndian, false),
		"semicolons":   "pressure (cmH2O);total leak (L/min);statistic\n6,0;27,5;50th median\n",
		"in the head":  "pressure_cmH2O,median_total_leak_L_per_min\n6,27.5\n8,33\n",
		"hPa and L/s":  "pressure_hPa\ttotal_leak_L_per_s\tstatistic\n5.88399\t0.458333333\tMedian\n7.84532\t0.55\tMEDIAN\n",
		"other things": "note,statistic,total_flow_L_per_min,pressure_cmH2O\ndry,median,27.5,6\n,median,33,8\n",
	} {
		if name == "semicolons" {
			text = strings.Replace(text, "50th median", "median", 1) + "8,0;33,0;median\n"
		}
		c, err := Readings("c.csv", []byte(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(c.Readings) != 2 || c.Which != explain.TotalFlow || c.Statistic != explain.Median ||
			diff(c.Readings[0].Pressure.CmH2O(), 6) > 1e-4 || diff(c.Readings[1].Flow.LPerMin(), 33) > 1e-4 {
			t.Errorf("%s gives %+v", name, c)
		}
	}
}

func diff(a, b float64) float64 { return max(a-b, b-a) }

// Each bad file gets a sentence with file, line and remedy.
func TestReadingsThatAreRefused(t *testing.T) {
	for text, want := range map[string]string{
		"pressure_L_per_min,total_leak_L_per_min\n6,20\n":                                   "line 1: the header has no pressure with its unit: it should read pressure_cmH2O",
		"pressure_cmH2O,statistic\n6,mean\n":                                                "line 1: the header has no leak with its unit",
		"pressure_cmH2O,total_leak_L_per_min,unintentional_leak_L_per_min\n6,20,1\n":        "line 1: several columns could be the leak",
		"pressure_Pa,total_leak_L_per_min\n12,30\n":                                         "line 2: pressure of a reading is",
		"pressure_cmH2O,total_leak_L_per_min\n12,3000\n":                                    "is the unit in the header (total_leak_L_per_min) the right one?",
		"pressure_cmH2O,total_leak_L_per_min\n12,30\n14,-3\n":                               "line 3: pressures and leaks are zero or more",
		"pressure_cmH2O,total_leak_L_per_min\n12,\n":                                        "line 2: the total_leak is missing: fill it in",
		"pressure_cmH2O,total_leak_L_per_min\n12,many\n":                                    "line 2: the total_leak \"many\" is not a number",
		"patient,pressure_cmH2O,total_leak_L_per_min\na,12,30\nb,12,30\n":                   "line 3: two patients in one file",
		"pressure_cmH2O,total_leak_L_per_min\n12,30\npressure_cmH2O,total_leak_L_per_min\n": "line 3: a second header stands here",
		"pressure_cmH2O,total_leak_L_per_min,statistic\n8,30,mean\n9,30,median\n":           "line 3: statistics are mixed",
		"pressure_cmH2O,total_leak_L_per_min,statistic\n8,30,largest\n":                     "line 2: statistic \"largest\" is not known",
		"time_min,pressure_cmH2O,total_leak_L_per_min\n10,8,30\n5,9,30\n":                   "line 3: times run backwards",
		"time,pressure_cmH2O,total_leak_L_per_min\n23:10,8,30\n22:50,9,30\n":                "line 3: times run backwards",
		"time,pressure_cmH2O,total_leak_L_per_min\nearly,8,30\n":                            "line 2: the time \"early\" is neither a clock",
		"pressure_cmH2O,total_leak_L_per_min,position\n8,30,hanging\n":                      "line 2: the position \"hanging\" is not known",
		"pressure_cmH2O,total_leak_L_per_min\n":                                             "has a header, but no readings below it",
		"pressure_cmH2O,total_leak_L_per_min\n" + strings.Repeat("8,30\n", mostReadings+1):  "line 502: is beyond 500 readings",
	} {
		_, err := Readings("c.csv", []byte(text))
		if err == nil || !strings.HasPrefix(err.Error(), "c.csv") || !strings.Contains(err.Error(), want) {
			t.Errorf("%.80q gives %v\nwant %s", text, err, want)
		}
	}
}

// What is odd but possible is taken, and said.
func TestReadingsThatAreTaken(t *testing.T) {
	c, err := Readings("c.csv", []byte("time,pressure_cmH2O,unintentional_leak_L_per_min,position\n23:50,8,-2,left\n00:10,8,1,\n01:00,8,1,on the back\n"))
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Notes) != 1 || !strings.Contains(c.Notes[0], "line 2: the leak is below zero") {
		t.Errorf("notes are %q", c.Notes)
	}
	want := []explain.Posture{explain.OnSide, explain.PostureUnknown, explain.NotOnSide}
	for i, r := range c.Readings {
		if r.Posture != want[i] || r.Time != []unit.Time{0, 1200, 4200}[i] {
			t.Errorf("reading %d is %+v", i, r)
		}
	}
	if c, err := Readings("c.csv", []byte("pressure_cmH2O,leak_L_per_min\n8,3\n")); err != nil || c.Which != explain.WhichNotSaid {
		t.Errorf("a leak that does not say which: %+v, %v", c, err)
	}
}

const leaky = `format = "tautline patient 1"
[mask]
type = "nasal"
size = "medium"
[straps]
force = "350 g"
[readings]
points = [["6 cmH2O", "1 L/min"], ["12 cmH2O", "14 L/min", "on the left side"]]
flow = "unintentional"
statistic = "95th percentile"
stepped_by = "person"
[seen]
dry_mouth = true
cushion_age = "4 months"
lips_closed = "no change"
head_turned = "don't know"
air_felt_at = ["bridge", "cheek"]
sore_at = "bridge"
`

func TestPatientTellsOfALeak(t *testing.T) {
	p, err := ParsePatient("p.toml", []byte(leaky), ExplainParts()...)
	if err != nil {
		t.Fatal(err)
	}
	q, err := ExplainQuestion(p)
	if err != nil {
		t.Fatal(err)
	}
	if len(q.Readings) != 2 || q.Which != explain.Unintentional || q.Statistic != explain.Percentile95 || q.Chooser != explain.PersonStepped ||
		q.Readings[1].Posture != explain.OnSide || q.Straps[0].Grams() < 349 || q.Straps[0] != q.Straps[1] {
		t.Errorf("the question is %+v", q)
	}
	if q.Seen[explain.DryMouth] != 1 || q.Seen[explain.CushionAge] != 3 || q.Seen[explain.LipsClosed] != 2 || q.Seen[explain.HeadTurned] != 0 ||
		q.Seen[explain.AirFelt] != 1 || len(q.Felt) != 3 || len(q.Sore) != 1 {
		t.Errorf("seen: %v, felt %v, sore %v", q.Seen, q.Felt, q.Sore)
	}
}

func TestLeaksThatAreRefused(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"[mask]\ntype = \"nasal\"\nsize = \"medium\"\n", "", "[mask] is missing"},
		{"[readings]\npoints", "[reading]\npoints", "did you mean \"readings\"?"},
		{"flow = \"unintentional\"\n", "", "flow is missing in [readings], and it has no default"},
		{"\"unintentional\"", "\"don't know\"", "total flow or the unintentional leak"},
		{"\"1 L/min\"", "\"1 cmH2O\"", "line 8: "},
		{"\"1 L/min\"", "\"-1 L/min\"", ""},
		{"\"12 cmH2O\"", "\"120 cmH2O\"", "line 8: "},
		{"true", "\"perhaps\"", `line 13: dry_mouth "perhaps" is not known; say "yes", "no" or "don't know"`},
		{"\"350 g\"", "\"90 N\"", "line 6: "},
		{"sore_at = \"bridge\"", "sore_at = \"chin\"", "does not touch the chin"},
		{"sore_at = \"bridge\"", "sore_at = \"elbow\"", "is no site"},
		{"lips_closed", "lips_close", "did you mean \"lips_closed\"?"},
		{"points = [", "file = \"x.csv\"\npoints = [", "both give the readings"},
		{"[\"6 cmH2O\", \"1 L/min\"]", "\"6 cmH2O\"", "a point is a pressure and a flow"},
	} {
		p, err := ParsePatient("p.toml", []byte(strings.Replace(leaky, c.old, c.new, 1)), ExplainParts()...)
		if err == nil {
			_, err = ExplainQuestion(p)
		}
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%q for %q gives %v\nwant %s", c.new, c.old, err, c.want)
		}
	}
}

// A file and its patient may not say two things.
func TestReadingsBesideAPatient(t *testing.T) {
	open := func(string) ([]byte, error) { return []byte(clinic), nil }
	text := strings.Replace(leaky, `points = [["6 cmH2O", "1 L/min"], ["12 cmH2O", "14 L/min", "on the left side"]]`, `file = "c.csv"`, 1)
	_, err := ParsePatientBeside("p.toml", []byte(text), open)
	if err == nil || !strings.Contains(err.Error(), `flow says "unintentional", and the header of c.csv says otherwise`) {
		t.Errorf("contradiction: %v", err)
	}
	text = strings.NewReplacer(`flow = "unintentional"`, "", `statistic = "95th percentile"`, "").Replace(text)
	p, err := ParsePatientBeside("p.toml", []byte(text), open)
	if err != nil || p.Leak.Which != explain.TotalFlow || len(p.Leak.Readings) != 2 {
		t.Errorf("%+v, %v", p.Leak.Readings, err)
	}
}

// The page about the format names every key, and every answer is read back.
func TestFormatPageNamesEveryTelling(t *testing.T) {
	page, err := os.ReadFile("FORMAT.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, tell := range Tellings() {
		if !strings.Contains(string(page), "`"+tell.Key+"`") {
			t.Errorf("FORMAT.md does not name %q", tell.Key)
		}
		for _, a := range append(tell.Answers, "don't know") {
			var q explain.Question
			if err := tell.Tell(&q, strings.ToUpper(a)); err != nil {
				t.Error(err)
			}
		}
	}
}

// FuzzReadings holds what is true of every file: read or refused without a
// panic, a refusal in the file's name, and readings that the model takes.
func FuzzReadings(f *testing.F) {
	files, _ := filepath.Glob(filepath.Join("..", "..", "testdata", "readings", "*.csv"))
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte("time,pressure_cmH2O,total_leak_L_per_min,patient,position\n23:50,8,20,a,left\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := Readings("c.csv", data)
		named(t, "c.csv", err)
		last := unit.Time(0)
		for _, r := range c.Readings {
			if err == nil && (explain.PressureRecord.Check(float64(r.Pressure)) != nil || explain.FlowRecord.Check(float64(r.Flow)) != nil || r.Time < 0 && r.HasTime) {
				t.Fatalf("a reading that cannot be: %+v", r)
			}
			if r.HasTime && r.Time < last {
				t.Fatalf("times run backwards: %+v", c.Readings)
			}
			if r.HasTime {
				last = r.Time
			}
		}
	})
}
