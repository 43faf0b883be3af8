package scenario

import (
	"path/filepath"

	"tautline/model/airway"
	"tautline/model/fit"
	"tautline/model/population"
	"tautline/model/unit"
)

// Format heads a scenario file; the number is that of the format.
const Format = "tautline scenario 1"

// A Scenario is a whole case with what is asked of it, as a file states it.
type Scenario struct {
	File     string
	About    string // one line in the words of whoever wrote it
	Question fit.Question
	Night    Night
	Breath   airway.Setup // who breathes behind the mask, and at which levels

	inputs []unit.Parameter
	people population.Question // without what is asked of each face
}

// largestScenario is in bytes; one that states everything, segment by segment,
// stays below a tenth of it.
const largestScenario = 1 << 20

// An Opener gives the content of a file that a scenario names, such as its vent
// curve; the name is as written in the scenario.
type Opener func(name string) ([]byte, error)

// Open reads a scenario file; files that it names are looked for in its folder.
func Open(path string) (Scenario, error) {
	data, err := ReadFile(path)
	if err != nil {
		return Scenario{}, err
	}
	return Parse(path, data, Beside(path))
}

// Beside opens files by names that count from a file's folder.
func Beside(path string) Opener {
	return func(name string) ([]byte, error) {
		if !filepath.IsAbs(name) {
			name = filepath.Join(filepath.Dir(path), name)
		}
		return ReadFile(name)
	}
}

// Parse reads a scenario from a file's content. The error lists all that is
// wrong with it, one sentence a line, each with the place. FORMAT.md says what
// may stand in a scenario.
func Parse(name string, data []byte, open Opener) (Scenario, error) {
	if len(data) > largestScenario {
		return Scenario{}, problem(name, 0, "is larger than 1 MB: a scenario is far smaller; name another file")
	}
	text, err := Text(name, data)
	if err != nil {
		return Scenario{}, err
	}
	d, err := parseDocument(name, text)
	if err != nil {
		return Scenario{}, err
	}
	r := &reader{document: d, open: open}
	top := &section{reader: r, values: d.values}
	if !r.format(top) {
		return Scenario{}, d.err()
	}
	return r.scenario(top)
}

// format refuses a file that is something else altogether, before its keys are
// complained about.
func (r *reader) format(top *section) bool {
	f, ok := top.text("format")
	switch {
	case f == Format:
		return true
	case ok && f == ventFormat:
		top.wrong("format", "is %q: this is a vent's geometry; name it in a scenario, or ask tautline vent about it", f)
	case ok:
		top.wrong("format", "is %q, and %q is read here", shortened(f), Format)
	case !top.has("format"):
		r.problems = append(r.problems, problem(r.file, 0, "the first line should be format = %q: without it this is not known to be a scenario", Format))
	}
	return false
}

// A reader goes through a scenario, section by section.
type reader struct {
	*document
	open Opener
	inputs
	q      fit.Question
	slept  Night
	setup  airway.Setup
	people population.Question
}

func (r *reader) scenario(top *section) (Scenario, error) {
	about, _ := top.text("about")
	r.mask(top)
	r.face(top)
	r.cushion(top)
	r.posture(top)
	r.straps(top)
	r.pressure(top)
	r.limit(top)
	r.hose(top)
	r.circuit(top)
	r.gas(top)
	r.constants(top)
	r.breath(top)
	r.sweep(top)
	r.night(top)
	r.population(top)
	top.done()
	if len(r.problems) == 0 {
		r.whole()
	}
	if err := r.err(); err != nil {
		return Scenario{}, err
	}
	return Scenario{File: r.file, About: about, Question: r.q, Breath: r.setup, Night: r.slept, inputs: r.list(), people: r.people}, nil
}

// whole lets the model look at what no single section can know.
func (r *reader) whole() {
	if err := r.q.Check(); err != nil {
		r.fault("", "%v", err)
		return
	}
	if _, err := r.q.Case.Problem(); err != nil {
		r.fault("mask", "%v", err)
	}
	if err := r.setup.Check(); err != nil {
		r.fault("breathing", "%v", err)
	}
}
