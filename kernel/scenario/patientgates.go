package scenario

import (
	"slices"

	"tautline/model/mask"
	"tautline/model/skin"
	"tautline/model/unit"
)

// covers are the types that cover so much of a face.
var covers = map[string]mask.Type{"nostrils": mask.Pillows, "nose": mask.Nasal, "nose and mouth": mask.Oronasal}

// coverWords are how much of a face the person lets be covered, least first.
var coverWords = []string{"nostrils", "nose", "nose and mouth", noIdea}

func (r *patientReader) gates(top *section) {
	s, there := top.section("gates")
	if !there {
		return
	}
	g := &r.p.Gates
	g.Vomiting = s.asked("vomiting", "vomiting, a full stomach or thick secretions")
	g.TakesOffAlone = s.asked("takes_off_alone", "can take the mask off unaided")
	g.Implants = s.asked("implants", "metal in head, eye or chest, of the patient or of whoever shares the bed")
	g.NoseBlocked = s.told("nose_blocked")
	if w, ok := s.word("covers_at_most", coverWords); ok {
		g.Covers = covers[w] // none for "don't know"
	}
	s.done()
}

// A Therapy is what the mask must stand: the pressures that will be met, and
// what leak and skin are held against. All of it is stated, none assumed.
type Therapy struct {
	Range    [2]unit.Pressure
	Limit    unit.Flow
	Line     skin.Line
	Worn     unit.Time
	Position string // how the person sleeps; empty when not said
}

// therapy reads the sections that a scenario has as well.
func (r *patientReader) therapy(top *section) {
	if s, there := top.section("pressure"); there {
		r.therapyRange(s)
		s.done()
	}
	if top.has("limit") {
		r.limit(top)
	}
	if s, there := top.section("posture"); there {
		w, ok := s.word("position", append(slices.Clone(positionNames()), noIdea))
		if !ok && !s.has("position") {
			s.missing("position", `position = "on the back", as in sleep`)
		}
		if w != noIdea {
			r.p.Therapy.Position = w
		}
		s.done()
	}
	t := &r.p.Therapy
	t.Range, t.Limit, t.Line, t.Worn = r.q.Range, r.q.Limit, r.q.Line, r.q.Worn
}
