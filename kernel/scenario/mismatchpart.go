package scenario

import (
	"fmt"
	"strings"

	"tautline/model/face"
	"tautline/model/unit"
)

// mismatchRecord bounds a mismatch that is stated as a whole.
var mismatchRecord = unit.Parameter{Name: "mismatch", Unit: "mm", Low: -25, High: 25,
	Meaning: "rim to face, undeformed; negative: the face stands proud", Origin: unit.Assumed, Source: "range assumed"}

// mismatch states the whole mismatch, site by site or segment by segment. By
// site it is the face that is changed, so that another size still differs.
func (r *reader) mismatch(faces *section) {
	s, there := faces.section("mismatch")
	if !there {
		return
	}
	if s.has("segments") {
		if len(s.values) > 1 {
			s.wrong("segments", "state the whole rim: take out the single sites beside them")
		}
		r.mismatchSegments(s)
		return
	}
	c := &r.q.Case
	for _, site := range c.Mask.Sites() {
		p := mismatchRecord
		p.Name += ", " + site.String()
		r.inputs.add(p)
	}
	s.lengthsBySite("mismatch", func(site face.Site, v unit.Length) {
		c.Face.Deviation[site] += v - c.Mask.Mismatch(&c.Face, site)
		r.inputs.dropNamed("profile, "+site.String(), "deviation, "+site.String())
	})
	r.inputs.drop(func(p unit.Parameter) bool { // those that stay made up of profile and deviation
		return strings.HasPrefix(p.Name, "mismatch, ") && p.Origin != unit.Stated
	})
	s.known = append(s.known, "segments")
	s.done()
}

// mismatchSegments takes a mismatch as it is, for a face that was scanned or a
// case from another program. The list itself says how finely the rim is cut.
func (r *reader) mismatchSegments(s *section) {
	list, ok := s.list("segments")
	if !ok {
		return
	}
	c := &r.q.Case
	for i, item := range list {
		path := fmt.Sprintf("%s.segments[%d]", s.path, i)
		v, ok := r.parse(path, "segments", item, unit.LengthKind)
		if !ok || !r.inRange(path, &mismatchRecord, v) {
			return
		}
		c.Mismatch = append(c.Mismatch, unit.Length(v))
	}
	rims := len(c.Mask.Rims)
	if len(list)%rims != 0 {
		s.wrong("segments", "hold %d values for %d rims: give each rim as many", len(list), rims)
		return
	}
	c.Segments = len(list) / rims
	for _, name := range []string{"profile, ", "deviation, ", "size effect", "feature "} {
		r.inputs.dropStarting(name)
	}
	for i, v := range c.Mismatch {
		p := mismatchRecord.With(float64(v))
		p.Name = fmt.Sprintf("mismatch, segment %d", i+1)
		r.inputs.add(p)
	}
}
