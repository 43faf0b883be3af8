package scenario

import (
	"slices"
	"strings"

	"tautline/model/face"
	"tautline/model/unit"
)

// A scenario names sites as results do, "cheek_left"; "cheek" alone stands for
// both sides.

// siteKeys lists the keys that name a site of the mask, pairs included.
func siteKeys(on []face.Site) []string {
	var keys []string
	for _, s := range on {
		if pair, isLeft := strings.CutSuffix(s.ID(), "_left"); isLeft {
			keys = append(keys, pair)
		}
		keys = append(keys, s.ID())
	}
	return keys
}

// sitesOf reads a site's key; nil when there is none of that name.
func sitesOf(key string) []face.Site {
	if s, ok := face.ParseSite(key); ok {
		return []face.Site{s}
	}
	if s, ok := face.ParseSite(key + "_left"); ok {
		return []face.Site{s, s.Mirror()}
	}
	return nil
}

// bySite goes through a table whose keys are sites. Pairs come before single
// sites, so that a side may differ from its pair.
func (s *section) bySite(visit func(key string, site face.Site)) {
	keys := sortedKeys(s.values)
	slices.SortStableFunc(keys, func(a, b string) int { return len(sitesOf(b)) - len(sitesOf(a)) })
	on := s.q.Case.Mask.Sites()
	for _, key := range keys {
		sites := sitesOf(key)
		if sites == nil {
			continue
		}
		for _, site := range sites {
			if !slices.Contains(on, site) {
				s.fault(below(s.path, key), "a mask of the type %s does not touch the %s%s",
					s.q.Case.Mask.Type, site, "; it touches: "+strings.Join(siteKeys(on), ", "))
				break
			}
			visit(key, site)
		}
		s.known = append(s.known, key)
	}
	// What is left over is offered the sites of this mask.
	s.known = append(s.known, siteKeys(on)...)
}

// lengthsBySite reads a length for each site; name makes the record's name.
func (s *section) lengthsBySite(record string, use func(face.Site, unit.Length)) {
	s.bySite(func(key string, site face.Site) {
		if v, ok := s.quantity(key, unit.LengthKind, record+", "+site.String()); ok {
			use(site, unit.Length(v))
		}
	})
}
