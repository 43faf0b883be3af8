package scenario

import (
	"fmt"
	"strings"

	"tautline/model/explain"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/gas"
	"tautline/model/mask"
	"tautline/model/unit"
	"tautline/model/vent"
)

// The sections of a patient file that tell of a leak.
const (
	MaskPart     Part = "mask"
	ReadingsPart Part = "readings"
)

// ExplainParts are the sections that the question "why does it leak" cannot do
// without.
func ExplainParts() []Part { return []Part{MaskPart, ReadingsPart} }

// leak reads what is told of a leak: the mask on the face, its straps, the
// readings, and what was seen and tried at the bedside.
func (r *patientReader) leak(top *section) {
	if s, there := top.section("mask"); there {
		r.wornMask(s)
		s.done()
	}
	if s, there := top.section("straps"); there {
		r.wornStraps(s)
		s.done()
	}
	if s, there := top.section("readings"); there {
		r.readings(s)
		s.done()
	}
	if s, there := top.section("seen"); there {
		for _, t := range Tellings() {
			if _, isFinding := explain.ParseFinding(t.Key); isFinding {
				r.tell(s, t)
			}
		}
		for _, key := range []string{"air_felt_at", "sore_at"} {
			r.tellSites(s, key)
		}
		s.done()
	}
}

// wornMask reads the mask that the readings were taken with.
func (r *patientReader) wornMask(s *section) {
	kind, size := s.maskChosen()
	m, err := mask.Find(kind, size)
	if err != nil {
		return // said already
	}
	r.q.Case = fit.NewCase(m, face.Average(), 0, fit.Position{})
	r.vent(s)
	r.p.Leak.Mask = r.q.Case.Mask
}

// wornStraps reads how tight the straps are: by feel, on a scale, or by tabs.
func (r *patientReader) wornStraps(s *section) {
	if t, isText := s.values["force"].(string); isText && strings.EqualFold(strings.TrimSpace(t), noIdea) {
		s.known = append(s.known, "force")
		return
	}
	if s.has("tabs") && len(r.q.Case.Mask.Rims) == 0 {
		s.wrong("tabs", "need the mask: write [mask] with its type and size")
		return
	}
	r.inputs.add(fit.StrapRange, fit.TabRange)
	r.force(s, false)
	pull := r.q.Case.Straps.Pull
	if r.p.Leak.Straps = [2]unit.Force{pull, pull}; r.q.Guess[1] > 0 {
		r.p.Leak.Straps = r.q.Guess
	}
}

// tell reads one answer in words; true and false stand for yes and no.
func (r *patientReader) tell(s *section, t Telling) {
	v, there := s.get(t.Key)
	if !there {
		return
	}
	text, isText := v.(string)
	if b, isBool := v.(bool); isBool {
		text, isText = map[bool]string{true: "yes", false: "no"}[b], true
	}
	if !isText {
		s.wrong(t.Key, "is %s where text belongs: say %s", quoted(v), t.Choices())
		return
	}
	if err := t.Tell(&r.p.Leak, text); err != nil {
		s.fault(below(s.path, t.Key), "%v", err)
	}
}

// tellSites reads a list of sites, or one.
func (r *patientReader) tellSites(s *section, key string) {
	v, there := s.get(key)
	if !there {
		return
	}
	names, isText := v.(string)
	if !isText {
		list, _ := v.([]any)
		var all []string
		for _, item := range list {
			text, _ := item.(string)
			all = append(all, text)
		}
		names = strings.Join(all, ",")
	}
	if err := TellSites(&r.p.Leak, key, names); err != nil {
		s.fault(below(s.path, key), "%v", err)
	}
}

// ExplainQuestion is a patient's leak as the model is asked about it.
func ExplainQuestion(p Patient) (explain.Question, error) {
	q := p.Leak
	q.Range, q.Limit, q.Line, q.Worn = p.Therapy.Range, p.Therapy.Limit, p.Therapy.Line, p.Therapy.Worn
	return q, ReadyToExplain(p.File, &q)
}

// ReadyToExplain refuses a question that cannot be answered, in the file's name.
func ReadyToExplain(name string, q *explain.Question) error {
	if err := TouchedSites(q); err != nil {
		return problem(name, 0, "%v", err)
	}
	if err := q.Check(); err != nil {
		return problem(name, 0, "cannot be explained: %v", err)
	}
	return nil
}

// TouchedSites refuses a site that the mask does not touch.
func TouchedSites(q *explain.Question) error {
	on := q.Mask.Sites()
	for _, site := range append(append([]face.Site{}, q.Felt...), q.Sore...) {
		if !onMask(on, site) && len(on) > 0 {
			return fmt.Errorf("a mask of the type %s does not touch %s; it touches: %s", q.Mask.Type, "the "+site.String(), strings.Join(siteKeys(on), ", "))
		}
	}
	return nil
}

func onMask(on []face.Site, site face.Site) bool {
	for _, s := range on {
		if s == site {
			return true
		}
	}
	return false
}

// IsTOML tells a patient file from a table of readings: by its name's ending,
// or, from standard input, by what begins it.
func IsTOML(name string, data []byte) bool {
	if strings.HasSuffix(strings.ToLower(name), ".toml") {
		return true
	}
	text, err := Text(name, data)
	if err != nil || strings.HasSuffix(strings.ToLower(name), ".csv") {
		return false
	}
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
			return line[0] == '[' || strings.HasPrefix(line, "format")
		}
	}
	return false
}

// MaskType reads a type by any of its words.
func MaskType(word string) (mask.Type, bool) {
	t, ok := typeWords[strings.ToLower(strings.TrimSpace(word))]
	return t, ok
}

// BenchVent reads a vent's curve as measured on a bench.
func BenchVent(name string, data []byte) (vent.Vent, error) { return Vent(name, data, gas.AtBench()) }
