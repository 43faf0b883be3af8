// Package face holds what a mask meets: the sites of the rim, the tissue under
// each of them and how far the face's shape departs from the rim's.
package face

import "strings"

// A Site is a stretch of the rim, named after what lies under it. Left and
// right are the wearer's own.
type Site int

// The sites in the order in which tables list them. A nasal mask has no
// corners and no chin, an oronasal mask no lip, pillows only the nostrils.
const (
	Bridge Site = iota
	NoseSideLeft
	NoseSideRight
	CheekLeft
	CheekRight
	CornerLeft
	CornerRight
	Lip
	Chin
	NostrilLeft
	NostrilRight
	SiteCount // how many sites there are; not a site
)

var siteIDs = [SiteCount]string{"bridge", "nose_side_left", "nose_side_right",
	"cheek_left", "cheek_right", "corner_left", "corner_right", "lip", "chin",
	"nostril_left", "nostril_right"}

var siteWords = [SiteCount]string{"bridge", "left nose side", "right nose side",
	"left cheek", "right cheek", "left corner of the mouth", "right corner of the mouth",
	"upper lip", "chin", "left nostril", "right nostril"}

// ID is the site's name in files: "nose_side_left".
func (s Site) ID() string { return siteIDs[s] }

// String is the site's name in a sentence: "left nose side".
func (s Site) String() string { return siteWords[s] }

// Mirror gives the site on the other side of the face; those on the midline
// are their own mirror.
func (s Site) Mirror() Site {
	switch s {
	case NoseSideLeft, CheekLeft, CornerLeft, NostrilLeft:
		return s + 1
	case NoseSideRight, CheekRight, CornerRight, NostrilRight:
		return s - 1
	}
	return s
}

// ParseSite reads a site's name as files write it; spaces and hyphens pass for
// underscores. The second result is false when there is no such site.
func ParseSite(id string) (Site, bool) {
	id = strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(strings.TrimSpace(id)))
	for s, known := range siteIDs {
		if id == known {
			return Site(s), true
		}
	}
	return 0, false
}

// SiteIDs lists all names that ParseSite reads.
func SiteIDs() []string { return siteIDs[:] }
