package scenario

import (
	"slices"
	"strings"

	"tautline/model/explain"
	"tautline/model/plan"
	"tautline/model/unit"
)

// PatientFormat heads a patient file; the number is that of the format.
const PatientFormat = "tautline patient 1"

// A Patient is what is known of one person, without a name: what the face and
// the sleep are like, what must not be worn, and what was tried. Each part may
// be missing; whoever needs it asks for it.
type Patient struct {
	File  string
	About string // one line in the words of whoever wrote it

	Look    plan.Look
	Gates   plan.Gates
	Therapy Therapy
	Tried   []plan.Visit // oldest first

	Leak  explain.Question // mask, readings and what was seen, if told
	Notes []string         // what is odd about the readings, but was taken
}

// A Part is a section of a patient file that an answer cannot do without.
type Part string

// The parts by the section's name.
const (
	FacePart     Part = "face"
	GatesPart    Part = "gates"
	PressurePart Part = "pressure"
	LimitPart    Part = "limit"
)

// partLines show how a missing part is written.
var partLines = map[Part]string{
	FacePart:     `[face] with ticks = ["narrow bridge"], or ticks = ["none"]`,
	GatesPart:    `[gates] with vomiting, takes_off_alone and implants, each "yes", "no" or "don't know"`,
	PressurePart: `[pressure] with range = ["4 cmH2O", "16 cmH2O"], the lowest and the highest of the therapy`,
	MaskPart:     `[mask] with type = "nasal", "oronasal" or "pillows" and size = "small", "medium" or "large"`,
	ReadingsPart: `[readings] with flow = "total" or "unintentional" and points = [["8 cmH2O", "31 L/min"], ...], or file = "clinic.csv"`,
	LimitPart:    `[limit] with leak = "24 L/min" and line = "70 mmHg", both yours to state`,
}

// A patientReader goes through a patient file, section by section.
type patientReader struct {
	*reader
	p Patient
}

// ParsePatient reads a patient file's content. The error lists all that is wrong
// with it, one sentence a line, each with the place; a part that is needed and
// not there is said too. FORMAT.md says what may stand in such a file.
func ParsePatient(name string, data []byte, needs ...Part) (Patient, error) {
	return ParsePatientBeside(name, data, nil, needs...)
}

// ParsePatientBeside is ParsePatient for a file that may name others, such as
// that of its readings.
func ParsePatientBeside(name string, data []byte, open Opener, needs ...Part) (Patient, error) {
	d, top, err := openDocument(name, data, PatientFormat, "a patient file")
	if err != nil {
		return Patient{}, err
	}
	r := &patientReader{reader: top.reader, p: Patient{File: name}}
	r.open = open
	r.p.About, _ = top.text("about")
	r.look(top)
	r.gates(top)
	r.therapy(top)
	r.outcomes(top)
	r.leak(top)
	top.done()
	for _, part := range needs {
		if !top.has(string(part)) {
			r.fault("", "[%s] is missing, and it has no default: write %s", part, partLines[part])
		}
	}
	return r.p, d.err()
}

// openDocument reads a file's TOML and refuses what is another kind of file.
func openDocument(name string, data []byte, format, what string) (*document, *section, error) {
	if len(data) > largestTOML {
		return nil, nil, problem(name, 0, "is larger than 1 MB: %s is far smaller; name another file", what)
	}
	text, err := Text(name, data)
	if err != nil {
		return nil, nil, err
	}
	d, err := parseDocument(name, text)
	if err != nil {
		return nil, nil, err
	}
	top := &section{reader: &reader{document: d}, values: d.values}
	switch f, ok := top.text("format"); {
	case f == format:
		return d, top, nil
	case ok:
		top.wrong("format", "is %q, and %q is read here: %s", shortened(f), format, otherwise(f))
	case !top.has("format"):
		d.problems = append(d.problems, problem(name, 0, "the first line should be format = %q: without it this is not known to be %s", format, what))
	}
	return nil, nil, d.err()
}

// otherwise says what to do with a file of another kind.
func otherwise(format string) string {
	switch format {
	case Format:
		return "this is a scenario; ask tautline sweep about it"
	case PatientFormat:
		return "this is a patient file; it comes first after tautline plan or tautline explain"
	case StockFormat:
		return "this is a stock file; give it with --stock"
	}
	return "name another file, or write the format that is meant"
}

// An Answer is what a person says to a question; not knowing is one too.
type Answer int

// The answers. The zero value is not knowing.
const (
	DontKnow Answer = iota
	Yes
	No
)

var answerWords = []string{"don't know", "yes", "no"}

func (a Answer) String() string { return answerWords[a] }

// answer reads yes, no or "don't know", as text or as true and false.
func (s *section) answer(key string) (Answer, bool) {
	if b, ok := s.values[key].(bool); ok {
		s.known = append(s.known, key)
		return map[bool]Answer{true: Yes, false: No}[b], true
	}
	w, ok := s.word(key, answerWords)
	return Answer(max(0, slices.Index(answerWords, w))), ok
}

// told is an answer as a plan takes it.
func (s *section) told(key string) plan.Told { a, _ := s.answer(key); return plan.Told(a) }

// asked is an answer without a default: leaving the question out is not the same
// as not knowing.
func (s *section) asked(key, question string) plan.Told {
	a, ok := s.answer(key)
	if !ok && !s.has(key) {
		s.missing(key, key+` = "yes", "no" or "don't know" (`+question+`)`)
	}
	return plan.Told(a)
}

// words reads a list of a few words, none of them twice.
func (s *section) words(key string, known []string) (out []string, ok bool) {
	l, ok := s.list(key)
	if !ok {
		return nil, false
	}
	for _, v := range l {
		t, isText := v.(string)
		if !isText {
			s.wrong(key, "holds %s where text belongs: put it in quotation marks", quoted(v))
			return nil, false
		}
		w, isKnown := s.among(key, t, known)
		switch {
		case !isKnown:
			ok = false
		case slices.Contains(out, w):
			s.wrong(key, "says %q twice: once is enough", w)
			ok = false
		default:
			out = append(out, w)
		}
	}
	return out, ok
}

// unlessUnknown reads a quantity that may also be "don't know".
func (s *section) unlessUnknown(key string, kind *unit.Kind, record *unit.Parameter) (float64, bool) {
	if t, isText := s.values[key].(string); isText && strings.EqualFold(strings.TrimSpace(t), answerWords[DontKnow]) {
		s.known = append(s.known, key)
		return 0, false
	}
	v, there := s.get(key)
	if !there {
		return 0, false
	}
	path := below(s.path, key)
	si, ok := s.parse(path, key, v, kind)
	return si, ok && s.inRange(path, record, si)
}
