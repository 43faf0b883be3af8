package words

import (
	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

// A Point is what a fitting does at one set pressure. All its numbers can be
// read by name: at.Leak, at.LiftOff, at.Site("bridge").Contact.
type Point struct {
	fit.Point
	name, position string
	extra          []picture.Option
}

// At gives the balance at a set pressure: what leaks, where, and how hard the
// cushion presses at each site.
//
// Equation: push of the cushion = strap pull at pressure - force of the air on the frame, and the same for the turning moments; net margin = contact - mask pressure
// Unit: a pressure, such as 12*CmH2O
// Example: fit.At(12*CmH2O)
func (f Fitting) At(set unit.Pressure) Point {
	p, err := f.model().At(set)
	check(err)
	return Point{Point: p, name: f.name(), position: f.on.Case.Position.Name}
}

// Site gives what holds at one site, by its name in tables or in files.
//
// Example: fit.At(12*CmH2O).Site("bridge").Contact
func (p Point) Site(name string) fit.SiteState {
	var known []string
	asked, isSite := face.ParseSite(name)
	for _, s := range p.Sites {
		if isSite && s.Site == asked || s.Site.String() == name {
			return s
		}
		known = append(known, s.Site.ID())
	}
	panic(unknown("site", name, known))
}

// Sentence says what happens, in one or two sentences.
func (p Point) Sentence() string { return report.PointSentence(p.Point, p.position) }

// String is the answer as text: the sentences and the table by site.
func (p Point) String() string { return p.sheet().text() }

// Mimebundle shows the sentences, the rim and the tables.
func (p Point) Mimebundle() map[string]any { return p.sheet().bundle() }

func (p Point) sheet() sheet {
	return sheet{
		caution:   true,
		sentences: []string{p.Sentence(), report.OpeningSentence(p.Point)},
		pictures:  []*picture.Picture{picture.Rim(p.Point, append([]picture.Option{picture.Named(p.name)}, p.extra...)...)},
		tables: []table{
			{caption: "The whole mask", rows: report.PointRows(p.Point)},
			{caption: "By site: contact (largest and mean), net margin, gap and leak", head: 2, rows: report.SiteRows(p.Point)},
		},
	}
}
