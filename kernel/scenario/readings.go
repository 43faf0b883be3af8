package scenario

import (
	"strings"

	"tautline/model/explain"
	"tautline/model/unit"
)

// readingsHeader is what every error about a header shows.
const readingsHeader = "pressure_cmH2O,leak_L_per_min"

// mostReadings is how many a person can mean; a night's recording is another
// kind of file.
const mostReadings = 500

// A Clinic is what was read off: flows at pressures, and as much of what they
// are as the file says. What it does not say stays "not said".
type Clinic struct {
	File      string
	Readings  []explain.Reading
	Which     explain.Which
	Statistic explain.Statistic
	Notes     []string // what is odd, with its line, but was taken
}

// Readings reads flows at pressures from a CSV file's content. Columns that hold
// neither these nor time, position, statistic or person are left alone; two
// that could be meant are refused.
func Readings(name string, data []byte) (Clinic, error) {
	t, err := readTable(name, data)
	if err != nil {
		return Clinic{}, err
	}
	r := clinicReader{table: t, c: Clinic{File: name}}
	if err := r.find(); err != nil {
		return Clinic{}, err
	}
	if len(t.rows) > mostReadings {
		return Clinic{}, problem(name, t.rows[mostReadings].line, "is beyond %d readings: give one mean or median for each pressure", mostReadings)
	}
	for _, row := range t.rows {
		if err := r.take(row); err != nil {
			return Clinic{}, err
		}
	}
	if len(r.c.Readings) == 0 {
		return Clinic{}, problem(name, 0, "has a header, but no readings below it")
	}
	return r.c, nil
}

// A clinicReader goes through the rows of such a file.
type clinicReader struct {
	*table
	c                                                Clinic
	pressure, flow, time, posture, statistic, person int // columns; -1: none
	who                                              string
	clock                                            float64 // of the row before, s
	started                                          float64
}

// find looks for the columns by kind and name.
func (r *clinicReader) find() (err error) {
	if r.pressure, err = readingsColumn(r.table, unit.PressureKind, "pressure"); err != nil {
		return err
	}
	if r.flow, err = readingsColumn(r.table, unit.FlowKind, "leak"); err != nil {
		return err
	}
	r.time, r.posture = r.named("time", "clock"), r.named("position", "posture", "lying")
	r.statistic, r.person = r.named("statistic"), r.named("patient", "person", "subject")
	head := r.columns[r.flow].name
	r.c.Which, r.c.Statistic = whichOf(head), statisticOf(head)
	return nil
}

// named finds a column whose name holds one of the words.
func (r *clinicReader) named(words ...string) int {
	for i, c := range r.columns {
		for _, w := range words {
			if strings.Contains(c.name, w) && i != r.flow && i != r.pressure {
				return i
			}
		}
	}
	return -1
}

// whichOf reads from a head which flow it is; "leak" alone does not say.
func whichOf(head string) explain.Which {
	switch {
	case strings.Contains(head, "unint"), strings.Contains(head, "non-intent"), strings.Contains(head, "excess"):
		return explain.Unintentional
	case strings.Contains(head, "total"):
		return explain.TotalFlow
	}
	return explain.WhichNotSaid
}

// statisticOf reads from a head which figure of a stretch of time it is.
func statisticOf(head string) explain.Statistic {
	switch {
	case strings.Contains(head, "median"), strings.Contains(head, "50th"):
		return explain.Median
	case strings.Contains(head, "95"):
		return explain.Percentile95
	case strings.Contains(head, "mean"), strings.Contains(head, "average"):
		return explain.Mean
	}
	return explain.StatisticNotSaid
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
		return 0, problem(t.name, t.header.line, "several columns could be the %s: head the right one %s, and take the word %s out of the others", word,
			map[string]string{"pressure": "pressure_cmH2O", "leak": "leak_L_per_min"}[word], word)
	}
	return found, nil
}
