package scenario

import (
	"fmt"
	"strings"

	"tautline/model/face"
	"tautline/model/unit"
)

// face takes a face from the catalogue and changes in it what is stated. The
// name has no default, so that "average" is a choice and not an oversight.
func (r *reader) face(top *section) {
	s, _ := top.section("face")
	var names []string
	for _, f := range face.Catalogue() {
		names = append(names, f.Name)
	}
	c := &r.q.Case
	if w, ok := s.word("name", names); ok {
		c.Face, _ = face.Find(w)
	} else if !s.has("name") {
		s.missing("name", `name = "average", or another of "`+strings.Join(names[1:], `", "`)+`"`)
	}
	r.faceRecords()
	if v, ok := s.quantity("length", unit.LengthKind, "face length"); ok {
		c.Face.Length = unit.Length(v)
	}
	if v, ok := s.quantity("width", unit.LengthKind, "face width"); ok {
		c.Face.Width = unit.Length(v)
	}
	if v, ok := s.quantity("nose_width", unit.LengthKind, "nose width"); ok {
		c.Face.NoseWidth = unit.Length(v)
	}
	r.deviation(s)
	r.tissue(s)
	r.beard(s)
	r.features(s)
	r.mismatch(s)
	s.done()
}

// faceRecords lists what is known of the face under this mask, with the values
// that the named face has.
func (r *reader) faceRecords() {
	f := &r.q.Case.Face
	sites := r.q.Case.Mask.Sites()
	r.inputs.add(face.Parameters(sites)...)
	named := func(name string, s face.Site, v unit.Length) {
		if p := r.record(name + ", " + s.String()); p != nil && v != 0 {
			origin, source := p.Origin, "the invented face \""+f.Name+"\""
			*p = p.With(float64(v))
			p.Origin, p.Source = origin, source
		}
	}
	for _, s := range sites {
		named("deviation", s, f.Deviation[s])
		named("beard", s, f.Beard[s])
	}
	for i := range f.Features {
		r.featureRecords(i, unit.Assumed, "the invented face \""+f.Name+"\"")
	}
}

// featureRecords lists one local feature of the face.
func (r *reader) featureRecords(i int, origin unit.Origin, source string) {
	f := r.q.Case.Face.Features[i]
	for _, one := range []struct {
		record unit.Parameter
		value  unit.Length
	}{{face.FeatureOffset, f.Offset}, {face.FeatureWidth, f.Width}, {face.FeatureDepth, f.Depth}} {
		p := one.record.With(float64(one.value))
		p.Name = fmt.Sprintf("%s, %s (%d)", p.Name, f.Site, i+1)
		p.Origin, p.Source = origin, source
		r.inputs.add(p)
	}
}

// deviation comes on top of the named face's own.
func (r *reader) deviation(faces *section) {
	s, _ := faces.section("deviation")
	own := r.q.Case.Face.Deviation
	s.lengthsBySite("deviation", func(site face.Site, v unit.Length) {
		total := own[site] + v
		path := s.path + "." + site.ID()
		if p := r.record("deviation, " + site.String()); r.inRange(path, p, float64(total)) {
			*p = p.With(float64(total))
			r.q.Case.Face.Deviation[site] = total
		}
	})
	s.done()
}

// beard reads the hair under the cushion, by its length.
func (r *reader) beard(faces *section) {
	s, _ := faces.section("beard")
	s.lengthsBySite("beard", func(site face.Site, v unit.Length) { r.q.Case.Face.Beard[site] = v })
	s.done()
}

// tissue reads what lies under each site: an indenter's modulus, and how deep it
// is to the bone.
func (r *reader) tissue(faces *section) {
	s, _ := faces.section("tissue")
	s.bySite(func(key string, site face.Site) {
		one, there := s.section(key)
		if !there {
			return
		}
		t := &r.q.Case.Face.Tissue[site]
		if v, ok := one.quantity("modulus", unit.PressureKind, "tissue modulus, "+site.String()); ok {
			t.Modulus = unit.Pressure(v)
		}
		if v, ok := one.quantity("thickness", unit.LengthKind, "tissue thickness, "+site.String()); ok {
			t.Thickness = unit.Length(v)
		}
		one.done()
	})
	s.done()
}

// features adds folds, scars, tubes and the like to those of the named face.
func (r *reader) features(faces *section) {
	on := siteIDs(r.q.Case.Mask.Sites())
	for _, s := range faces.sections("feature") {
		f := face.Feature{Width: unit.Length(face.FeatureWidth.SI())}
		id, ok := s.word("site", on)
		if !ok && !s.has("site") {
			s.fault(s.path, "a feature of the face needs its place: write site = %q", on[0])
		}
		f.Site, _ = face.ParseSite(id)
		if v, ok := s.within("offset", &face.FeatureOffset); ok {
			f.Offset = unit.Length(v)
		}
		if v, ok := s.within("width", &face.FeatureWidth); ok {
			f.Width = unit.Length(v)
		}
		if v, ok := s.within("depth", &face.FeatureDepth); ok {
			f.Depth = unit.Length(v)
		} else if !s.has("depth") {
			s.fault(s.path, `a feature of the face needs its depth: write depth = "2 mm", or "-2 mm" for a ridge`)
		}
		s.done()
		c := &r.q.Case
		c.Face.Features = append(c.Face.Features, f)
		r.featureRecords(len(c.Face.Features)-1, unit.Stated, "")
	}
}

// within reads a length against a record that is not in the list itself.
func (s *section) within(key string, record *unit.Parameter) (float64, bool) {
	v, there := s.get(key)
	if !there {
		return 0, false
	}
	path := below(s.path, key)
	si, ok := s.parse(path, key, v, unit.LengthKind)
	return si, ok && s.inRange(path, record, si)
}

// siteIDs lists sites by the names that files use.
func siteIDs(on []face.Site) []string {
	var ids []string
	for _, s := range on {
		ids = append(ids, s.ID())
	}
	return ids
}
